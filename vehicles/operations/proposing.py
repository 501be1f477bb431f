"""From findings to the repairs that clear them: the least work, each finding once.

>>> from vehicles.intake.car import CarFacts
>>> from vehicles.operations.catalogue import load
>>> bald = [Found(id=7, criterion="tire-tread", position="RR", reason="5.2.3 e.2")]
>>> jobs, left = propose(bald, load(), CarFacts())
>>> jobs[0].title, str(jobs[0].why), left
('Replace tire, rear right', 'Clears: tread depth, rear right.', [])

A way is better when it asks less: its likely minutes, with a dollar of usual parts or of work done
elsewhere counted as a minute, fifteen more for each job by itself, and what it brings along.
Source of that weight: program policy. A person edits what is proposed, and may refuse it.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from itertools import chain, combinations
from typing import TYPE_CHECKING, Final

from shared.say import say
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.operations.operation import Per, Points, axle_of, in_words, where
from vehicles.operations.selection import Way, in_order, select

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from shared.say import Say
    from vehicles.intake.car import CarFacts
    from vehicles.operations.operation import Operation
    from vehicles.shop.systems import System

CENTS_A_MINUTE: Final = 100
JOB_MINUTES: Final = 15


@dataclass(frozen=True, kw_only=True)
class Found:
    """A finding that no open repair clears yet; `criterion` and `reason` are codes, or empty.

    A fault that a diagnosis concluded names its `operation`, and `title` says what it is.
    """

    id: int
    criterion: str
    position: str = ""
    reason: str = ""
    operation: str = ""
    title: str = ""
    deficiency: DeficiencyClass = DeficiencyClass.MAJOR

    def is_cleared_by(self, operation: Operation) -> bool:
        """Return whether the operation clears this, wherever it is."""
        own = self.operation == operation.code
        return own or operation.clears_what(self.criterion, self.reason) is not None


@dataclass(frozen=True, kw_only=True)
class ProposedPart:
    """A part that a proposed repair takes; `price` is that of one, in cents.

    `position` is where it goes, in the words of `Fitment.position`; empty where it does not matter.
    """

    kind: str
    title: str
    system: System
    quantity: int
    unit: str
    position: str
    price: Points
    price_source: str


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """A repair that somebody may accept, edit or refuse.

    `first` holds the keys of those proposals that come before it, `assumed` what nobody noted of
    the car and has to be looked at. One that clears nothing follows from another.
    """

    key: str
    operation: Operation
    title: str
    findings: tuple[int, ...]
    places: tuple[str, ...]
    deficiency: DeficiencyClass  # the worst of what it clears
    minutes: Points
    parts: tuple[ProposedPart, ...]
    sublet_cents: int
    first: tuple[str, ...]
    why: Say
    assumed: tuple[Say, ...] = ()

    @property
    def needs_lift(self) -> bool:
        """Whether the car has to be raised."""
        return self.operation.needs_lift

    @property
    def cautions(self) -> tuple[str, ...]:
        """The codes of its cautions."""
        return self.operation.cautions


@dataclass(frozen=True, kw_only=True)
class _Job:
    """One operation at one group of places."""

    operation: Operation
    group: str = ""
    places: tuple[str, ...] = ()
    clears: frozenset[int] = frozenset()

    @property
    def key(self) -> str:
        at = "+".join(self.places) if self.operation.per is Per.PLACE else self.group
        return f"{self.operation.code}@{at}" if at else self.operation.code


def propose(
    findings: Iterable[Found], operations: Mapping[str, Operation], car: CarFacts
) -> tuple[list[Proposal], list[Found]]:
    """Return the repairs that clear the findings, in the order of the work, and what none clears.

    Each finding is cleared by one repair or stands in the second list, which is in order of ids.
    Repairs that always follow, such as the alignment after a tie rod, come along and clear nothing.
    The order of `findings` changes nothing.
    """
    known = {found.id: found for found in sorted(findings, key=lambda one: one.id)}
    fitting = [one for one in operations.values() if one.fits(car)]
    jobs = {job.key: job for one in fitting for job in _jobs(one, known.values())}
    left = set(known).difference(*(job.clears for job in jobs.values()))
    proposals: list[Proposal] = []
    taken = set(left)
    for key in _chosen(jobs, set(known) - left, operations):
        cleared = [known[one] for one in sorted(jobs[key].clears - taken)]
        proposals.append(_proposal(jobs[key], cleared, car))
        taken |= jobs[key].clears
    brought = _brought(proposals, operations, car)
    return in_order([*proposals, *brought], operations), [known[one] for one in sorted(left)]


def _chosen(
    jobs: Mapping[str, _Job], wanted: set[int], operations: Mapping[str, Operation]
) -> list[str]:
    """Return the keys of the jobs that clear all that is wanted with the least effort."""
    ways = (
        Way(key=job.key, effort=_effort(job, operations), clears=job.clears)
        for job in jobs.values()
    )
    return [way.key for way in select(ways, wanted)]


def _jobs(operation: Operation, findings: Iterable[Found]) -> Iterator[_Job]:
    """Yield each job of the operation that clears some finding, with all those it clears."""
    groups: dict[str, list[tuple[int, tuple[str, ...]]]] = defaultdict(list)
    for one in findings:
        places = operation.served(one.position)
        if places is not None and one.is_cleared_by(operation):
            groups[operation.group(places)].append((one.id, places))
    for group, served in groups.items():
        for places in _choices(operation, served):
            clears = frozenset(one for one, asked in served if set(asked) <= set(places))
            if clears:
                yield _Job(operation=operation, group=group, places=places, clears=clears)


def _choices(
    operation: Operation, served: Iterable[tuple[int, tuple[str, ...]]]
) -> Iterator[tuple[str, ...]]:
    """Yield the sets of places that one job may take in: any of an axle, or all at once."""
    places = sorted({place for _, asked in served for place in asked})
    if operation.per is not Per.PLACE or not places:
        yield tuple(places)
        return
    sizes = range(1, len(places) + 1)
    yield from chain.from_iterable(combinations(places, size) for size in sizes)


def _effort(job: _Job, operations: Mapping[str, Operation]) -> int:
    """Return what the job asks, in cents, with all that it brings along."""
    count = len(job.places)
    parts = sum(
        job.operation.quantity_for(part, count) * part.price.likely for part in job.operation.parts
    )
    own = (job.operation.minutes_for(count).likely + JOB_MINUTES) * CENTS_A_MINUTE
    brought = (_effort(_Job(operation=operations[one]), operations) for one in job.operation.brings)
    return own + parts + job.operation.sublet_for(count) + sum(brought)


def _proposal(job: _Job, cleared: Sequence[Found], car: CarFacts) -> Proposal:
    """Return the job as something to accept, with what it clears."""
    points = (_point(job.operation, one) for one in cleared)
    return Proposal(
        key=job.key,
        operation=job.operation,
        title=_title(job),
        findings=tuple(one.id for one in cleared),
        places=job.places,
        deficiency=max(
            (one.deficiency for one in cleared),
            key=lambda one: one.rank,
            default=DeficiencyClass.NONE,
        ),
        minutes=job.operation.minutes_for(len(job.places)),
        parts=tuple(_parts(job)),
        sublet_cents=job.operation.sublet_for(len(job.places)),
        first=(),
        why=say("Clears: {what}.", what="; ".join(dict.fromkeys(points))),
        assumed=tuple(
            say("Nobody noted whether the car has {what}: look first.", what=one.label)
            for one in job.operation.applies
            if one.holds(car) is None
        ),
    )


def _point(operation: Operation, found: Found) -> str:
    """Return what a finding is about: `tread depth, rear right`."""
    clears = operation.clears_what(found.criterion, found.reason)
    title = _small(clears.title if clears else found.title or found.criterion)
    return f"{title}, {where(found.position)}" if found.position else title


def _small(title: str) -> str:
    """Return a title as it stands inside a sentence; initials stay as they are."""
    return title if title[:2].isupper() else title[:1].lower() + title[1:]


def _title(job: _Job) -> str:
    """Return the operation's title, with the place where it could be done elsewhere too."""
    operation = job.operation
    if operation.per is Per.CAR or len(operation.positions) == 1:
        return operation.title
    if operation.per is Per.PLACE:
        place = in_words(job.places)
    else:
        axles = {axle_of(one) for one in operation.positions}
        place = job.group if len(axles) > 1 else ""
    return f"{operation.title}, {place}" if place else operation.title


def _parts(job: _Job) -> Iterator[ProposedPart]:
    operation = job.operation
    axles = {axle_of(one) for one in (job.places or operation.positions)}
    axle = min(axles) if len(axles) == 1 else ""
    for part in operation.parts:
        quantity = operation.quantity_for(part, len(job.places))
        place = where(job.places[0]) if part.per_place and len(job.places) == 1 else axle
        yield ProposedPart(
            kind=part.kind,
            title=part.title,
            system=operation.system,
            quantity=quantity,
            unit=part.unit,
            position=place if place != "across" and operation.per is not Per.CAR else "",
            price=part.price,
            price_source=part.source,
        )


def _brought(
    proposals: Sequence[Proposal], operations: Mapping[str, Operation], car: CarFacts
) -> Iterator[Proposal]:
    """Yield what follows from the proposals and is not among them, each once."""
    there = {one.key for one in proposals}
    because: dict[str, list[str]] = defaultdict(list)
    waiting = [(one.title, code) for one in proposals for code in one.operation.brings]
    while waiting:
        title, code = waiting.pop(0)
        if code in there or not operations[code].fits(car):
            continue
        if code not in because:
            waiting.extend((operations[code].title, one) for one in operations[code].brings)
        because[code].append(_small(title))
    for code, titles in because.items():
        job = _proposal(_Job(operation=operations[code]), (), car)
        yield replace(job, why=say("Follows: {what}.", what="; ".join(titles)))
