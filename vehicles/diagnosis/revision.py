r"""What one text of a fault model changes in another: its figures, and its lines.

>>> [(one.sign, one.text) for one in line_changes("a\nb\n", "a\nc\n")]
[(' ', 'a'), ('−', 'b'), ('+', 'c')]
>>> hundred(0.005), hundred(0.45), row_of((0.2, 0.5, 0.3))
('0.5', '45', '20, 50, 30')
"""

from __future__ import annotations

from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import TYPE_CHECKING, Final

from shared.money import usd
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from vehicles.diagnosis.fault_model import Effort, FaultModel

MOST_LINES: Final = 3_000  # comparing takes the square of it; the longest shipped text has 900
AROUND: Final = 2  # lines shown before and after a change
NOTHING: Final = "–"


@dataclass(frozen=True, kw_only=True)
class Figure:
    """One figure that changed: what it is of, as it was, and as it is."""

    of: Say
    before: str
    after: str


@dataclass(frozen=True, kw_only=True)
class Changes:
    """The figures that changed, by what they are; shares are in a hundred."""

    weights: tuple[Figure, ...]
    links: tuple[Figure, ...]
    rows: tuple[Figure, ...]
    work: tuple[Figure, ...]

    @property
    def all(self) -> tuple[Figure, ...]:
        """All of them, in that order."""
        return (*self.weights, *self.links, *self.rows, *self.work)

    @property
    def summary(self) -> Say:
        """How many changed, in one sentence."""
        counts = [
            _count(len(self.weights), say("1 weight"), "weights"),
            _count(len(self.links), say("1 link between faults"), "links between faults"),
            _count(len(self.rows), say("1 row of a check"), "rows of checks"),
            _count(len(self.work), say("1 figure of work"), "figures of work"),
        ]
        listed = ", ".join(str(one) for one in counts if one)
        if not listed:
            return say("No figure changed, only words.")
        return say("Changed: {listed}.", listed=listed)


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of a comparison: taken out, put in, the same, or left out here."""

    sign: str
    text: str


def changes(old: FaultModel | None, new: FaultModel) -> Changes:
    """Return the figures that differ; without an old model, all of the new one."""
    return Changes(
        weights=_differing(_weights(old), _weights(new)),
        links=_differing(_links(old), _links(new)),
        rows=_differing(_rows(old), _rows(new)),
        work=_differing(_work(old), _work(new)),
    )


def line_changes(old: str, new: str) -> tuple[Line, ...] | None:
    """Return what differs line by line with the lines around, or None where that is too long."""
    before, after = old.splitlines(), new.splitlines()
    if max(len(before), len(after)) > MOST_LINES:
        return None
    groups = SequenceMatcher(None, before, after).get_grouped_opcodes(AROUND)
    return tuple(_lines(list(groups), before, after))


def hundred(share: float) -> str:
    """Return a share as so many in a hundred, with no more digits than it has."""
    return f"{100 * share:.4g}"


def row_of(shares: Iterable[float]) -> str:
    """Return the shares of one row, in a hundred."""
    return ", ".join(hundred(one) for one in shares)


def _lines(
    groups: Sequence[Sequence[tuple[str, int, int, int, int]]],
    before: Sequence[str],
    after: Sequence[str],
) -> Iterator[Line]:
    for place, group in enumerate(groups):
        if place:
            yield Line(sign="…", text="")
        for kind, a, b, c, d in group:
            if kind == "equal":
                yield from (Line(sign=" ", text=text) for text in before[a:b])
                continue
            yield from (Line(sign="−", text=text) for text in before[a:b])
            yield from (Line(sign="+", text=text) for text in after[c:d])


Named = dict[tuple[str, ...], tuple[Say, str]]


def _differing(old: Mapping[tuple[str, ...], tuple[Say, str]], new: Named) -> tuple[Figure, ...]:
    """Return what stands in one alone, or in both with another figure."""
    found = []
    for key in dict.fromkeys([*new, *old]):
        before = old[key][1] if key in old else NOTHING
        of, after = new[key] if key in new else (old[key][0], NOTHING)
        if before != after:
            found.append(Figure(of=of, before=before, after=after))
    return tuple(found)


def _weights(model: FaultModel | None) -> Named:
    if model is None:
        return {}
    found: Named = {
        (one.code,): (say("{title}", title=one.title), hundred(one.weight)) for one in model.faults
    }
    if model.unlisted:
        found["",] = (say("Cause not listed"), hundred(model.unlisted))
    return found


def _links(model: FaultModel | None) -> Named:
    if model is None:
        return {}
    titles = {one.code: one.title for one in model.faults}
    return {
        (one.code, cause): (
            say("{cause} brings about {title}", cause=titles[cause], title=one.title),
            hundred(share),
        )
        for one in model.faults
        for cause, share in one.caused_by.items()
    }


def _rows(model: FaultModel | None) -> Named:
    if model is None:
        return {}
    titles = {one.code: one.title for one in model.faults}
    found: Named = {}
    for check in model.checks:
        found[check.code, ""] = (
            say("{check}, on a sound car", check=check.title),
            row_of(check.sound),
        )
        for fault, row in check.given.items():
            of = say("{check}, with {fault}", check=check.title, fault=titles[fault])
            found[check.code, fault] = (of, row_of(row))
    return found


def _work(model: FaultModel | None) -> Named:
    if model is None:
        return {}
    found: Named = {("specialist",): (say("Specialist"), _effort(model.specialist.effort))}
    for fault in model.faults:
        look, repair = say("{title}: look", title=fault.title), say("{title}", title=fault.title)
        found["look", fault.code] = (look, _effort(fault.look))
        found["repair", fault.code] = (repair, _effort(fault.repair))
    for check in model.checks:
        found["check", check.code] = (say("{title}", title=check.title), _effort(check.effort))
    return found


def _effort(effort: Effort) -> str:
    minutes = f"{effort.minutes} min"
    return f"{minutes}, {usd(effort.cents)}" if effort.cents else minutes


def _count(count: int, one: Say, many: str) -> Say | None:
    if not count:
        return None
    return one if count == 1 else say("{count} {many}", count=count, many=many)
