"""A diagnosis told so that somebody who was not there can follow it and check it.

How likely each fault was is found again after each observation, in the order in which they were
recorded; so each step shows what it changed, given all that was seen before it. The product of the
steps is the whole change of the odds (Bayes’ rule, applied observation by observation).

>>> odds_ratio(0.5, 0.75), odds_ratio(0.5, 0.0), odds_ratio(0.0, 0.0)
(3.0, 0.0, 1.0)
>>> plain_list(["3", "5", "8"]), plain_list(["3"])
('3, 5 and 8', '3')
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf
from typing import TYPE_CHECKING, Final

from vehicles.diagnosis.conclusions import Standing, proof_of
from vehicles.diagnosis.evidence import times
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.inference import Contradiction, Reasoner
from vehicles.diagnosis.looking import Contradicted, Looking, looking
from vehicles.diagnosis.wording import in_short

if TYPE_CHECKING:
    from collections.abc import Sequence

    from vehicles.diagnosis.belief import Belief
    from vehicles.diagnosis.conclusions import Judged
    from vehicles.diagnosis.fault_model import Check
    from vehicles.diagnosis.known import Record
    from vehicles.diagnosis.values import Session, Step

MOST_NAMED: Final = 3
LEAST_DROP: Final = 0.8  # odds that fell by less are not named
UNLISTED: Final = "a cause that is not listed"
NONE_LISTED: Final = "none of the listed faults"
NOTHING_EXPLAINS: Final = "No cause explains all of this together"


@dataclass(frozen=True, kw_only=True)
class Turn:
    """What led after one observation, and how likely it was; no figure where all can’t be true."""

    seen: str
    leading: str
    p: float | None


@dataclass(frozen=True, kw_only=True)
class Fall:
    """One observation at which the odds of a fault fell: its number, what it showed, how far."""

    number: int
    seen: str
    factor: str


@dataclass(frozen=True, kw_only=True)
class Ruled:
    """A fault ruled out: its probability at first and now, and what did it, the most first."""

    title: str
    before: float
    now: float
    by: tuple[Fall, ...]


@dataclass(frozen=True, kw_only=True)
class Case:
    """A whole diagnosis: the record, what is computed from it, and how it came to that."""

    record: Record
    session: Session
    found: Looking | Contradicted
    turns: tuple[Turn, ...]
    ruled_out: tuple[Ruled, ...]
    unsettled: tuple[Judged, ...]

    @property
    def looking(self) -> Looking | None:
        """What follows from the observations; None where they contradict each other."""
        return None if isinstance(self.found, Contradicted) else self.found

    def number_of(self, check: str) -> int:
        """Return the number of the observation that stands for a check, 0 where none does."""
        codes = [step.check for step in self.session.steps]
        return codes.index(check) + 1 if check in codes else 0


def explain(record: Record, session: Session) -> Case:
    """Return a diagnosis with what follows from it and how each observation moved it."""
    reasoner = Reasoner(session.model)
    found = looking(session)
    seen = [one for one in enumerate(session.steps, start=1) if one[1].is_seen]
    beliefs = _replayed(reasoner, [step for _, step in seen])
    return Case(
        record=record,
        session=session,
        found=found,
        turns=tuple(_turns(session, seen, beliefs)),
        ruled_out=tuple(_ruled_out(session, found, seen, beliefs)),
        unsettled=tuple(_unsettled(record, found)),
    )


def shown(session: Session, step: Step) -> str:
    """Return what a check showed, in the words of the model, or why it could not be done."""
    check = session.model.check(step.check)
    return label_of(check, step.outcome) if step.is_seen else step.could_not


def label_of(check: Check, outcome: str) -> str:
    """Return an outcome in the words of the model."""
    return check.outcomes[check.place(outcome)].label


def proof_in_words(case: Case, fault: str) -> str:
    """Return what was seen on the part itself, with the number of each; empty where nothing was."""
    model = case.session.model
    named = [
        f"{in_short(model.check(code).title, label_of(model.check(code), outcome))}"
        f" (observation {case.number_of(code)})"
        for code, outcome in proof_of(model, fault, case.session.observed)
    ]
    return "; ".join(named)


def odds_ratio(before: float, after: float) -> float:
    """Return by how much the odds of something rose; what was impossible stays as it is."""
    if before <= 0 or before >= 1:
        return 1.0
    if after >= 1:
        return inf
    return (after / (1 - after)) / (before / (1 - before))


def plain_list(names: Sequence[str]) -> str:
    """Return names as a part of a sentence."""
    *first, last = names
    return f"{', '.join(first)} and {last}" if first else last


def sources_of_checks(case: Case) -> list[tuple[str, bool, str]]:
    """Return each source of the checks done, whether its text was seen, and of which it is."""
    groups: dict[tuple[str, bool], list[str]] = {}
    for number, step in enumerate(case.session.steps, start=1):
        check = case.session.model.check(step.check)
        groups.setdefault((check.source, check.seen), []).append(str(number))
    return [
        (source, seen, f"observation{'s' if len(numbers) > 1 else ''} {plain_list(numbers)}")
        for (source, seen), numbers in groups.items()
    ]


def unlisted_name(session: Session) -> str:
    """Return what stands for everything that the model does not list."""
    return NONE_LISTED if session.model.causes is Causes.SEVERAL else UNLISTED


# ---- how it came to that ----


def _replayed(reasoner: Reasoner, seen: Sequence[Step]) -> list[Belief | None]:
    """Return what is believed before anything, and after each; None once all can’t be true."""
    beliefs: list[Belief | None] = [reasoner.believe({})]
    observed: dict[str, str] = {}
    for step in seen:
        observed[step.check] = step.outcome
        try:
            beliefs.append(reasoner.believe(observed))
        except Contradiction:
            beliefs.append(None)
    return beliefs


def _turns(
    session: Session, seen: Sequence[tuple[int, Step]], beliefs: Sequence[Belief | None]
) -> list[Turn]:
    told = ["Before anything was seen"]
    for number, step in seen:
        title = session.model.check(step.check).title
        told.append(f"{number}. {title}: {shown(session, step)}")
    return [_turn(session, text, belief) for text, belief in zip(told, beliefs, strict=True)]


def _turn(session: Session, seen: str, belief: Belief | None) -> Turn:
    if belief is None:
        return Turn(seen=seen, leading=NOTHING_EXPLAINS, p=None)
    codes = [fault.code for fault in session.model.faults]
    first = max(codes, key=lambda code: round(belief.present[code], 9))
    if round(belief.unlisted, 9) > round(belief.present[first], 9):
        name = unlisted_name(session)
        return Turn(seen=seen, leading=f"{name[:1].upper()}{name[1:]}", p=belief.unlisted)
    return Turn(seen=seen, leading=session.model.fault(first).title, p=belief.present[first])


def _ruled_out(
    session: Session,
    found: Looking | Contradicted,
    seen: Sequence[tuple[int, Step]],
    beliefs: Sequence[Belief | None],
) -> list[Ruled]:
    """Return the faults ruled out, those first that were likeliest at the beginning."""
    known = [belief for belief in beliefs if belief]
    if isinstance(found, Contradicted) or not seen:
        return []
    ruled = []
    for one in found.conclusion.of(Standing.RULED_OUT):
        chances = [belief.present[one.fault.code] for belief in known]
        ruled.append(
            Ruled(
                title=one.fault.title,
                before=chances[0],
                now=chances[-1],
                by=tuple(_fell(session, seen, chances)),
            )
        )
    return sorted(ruled, key=lambda one: -one.before)


def _fell(
    session: Session, seen: Sequence[tuple[int, Step]], chances: Sequence[float]
) -> list[Fall]:
    """Return the observations at which the odds fell most, the largest fall first."""
    falls = [
        (odds_ratio(before, after), number, step)
        for (number, step), before, after in zip(seen, chances, chances[1:], strict=False)
    ]
    return [
        Fall(
            number=number,
            seen=in_short(session.model.check(step.check).title, shown(session, step)),
            factor=str(times(ratio)).replace("÷ ", "÷\u00a0"),
        )
        for ratio, number, step in sorted(falls, key=lambda one: (one[0], one[1]))[:MOST_NAMED]
        if ratio < LEAST_DROP
    ]


def _unsettled(record: Record, found: Looking | Contradicted) -> list[Judged]:
    """Return the faults neither concluded nor ruled out, the likeliest first."""
    if isinstance(found, Contradicted):
        return []
    signed = {one.fault for one in record.concluded}
    return [
        one
        for standing in (Standing.CONFIRMED, Standing.PROBABLE, Standing.OPEN)
        for one in found.conclusion.of(standing)
        if one.fault.code not in signed
    ]
