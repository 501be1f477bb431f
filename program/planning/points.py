"""One case of a plan, and one question to it, as a person reads them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.planning.problem import BAY_DAYS, by_id
from program.planning.queries import facts_of, outcome_of
from program.planning.reasons import why_in
from program.planning.trying import Change, ChangeKind
from program.planning.wording import amount_of, opening
from shared.money import usd
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable

    from program.cases.models import Case
    from program.planning.models import Plan, WhatIf
    from program.planning.problem import PlanInput


@dataclass(frozen=True, kw_only=True)
class CaseSheet:
    """Why one case goes home by a plan, or waits. Not `exact`: only a bound was worked out yet.

    Not `proven`: the search for the least that brings it in ended before it was settled.
    """

    goes_home: bool
    need_weight: int
    lead: str
    reasons: tuple[str, ...]
    held: bool = False
    exact: bool = True
    proven: bool = True


def case_sheet(plan: Plan, case: Case) -> CaseSheet | None:
    """Return what a plan says of a case, or None when it had not heard of it."""
    outcome = outcome_of(plan)
    wait = next((row for row in outcome.waits if row.case_id == case.number), None)
    if wait:
        return CaseSheet(
            goes_home=False,
            need_weight=wait.need_weight,
            lead=wait.lacks if wait.held else f"It {wait.lacks}.",
            reasons=(*wait.reasons, *((wait.swap,) if wait.swap else ())),
            held=wait.held,
            exact=wait.exact,
            proven=wait.proven,
        )
    if outcome.plan.case(case.number) is None:
        return None
    why = why_in(facts_of(plan), outcome.plan, case.number)
    home = next(row for row in outcome.homes if row.case_id == case.number)
    return CaseSheet(
        goes_home=True,
        need_weight=home.need_weight,
        lead=f"Work: {home.work}.",
        reasons=tuple(str(sentence) for sentence in why.sentences),
    )


def described(question: WhatIf, facts: PlanInput) -> str:
    """Return what was asked, as one phrase: `$500.00 more in the general fund and 26-046 in`."""
    changes = [Change.from_json(row) for row in question.changes]
    parts = [str(phrase) for phrase in _phrases(changes, facts)]
    return opening(" and ".join(parts))


def _phrases(changes: Iterable[Change], facts: PlanInput) -> Iterable[Say]:
    """Yield each change once; hours that count under several names are one change."""
    seen: set[tuple[str, int, int]] = set()
    for change in changes:
        key = (change.kind, change.amount, change.week)
        if change.kind == ChangeKind.TIME and key in seen:
            continue
        seen.add(key)
        yield _phrase(change, facts)


def _phrase(change: Change, facts: PlanInput) -> Say:
    funds, parts = by_id(facts.funds), {p.id: p for item in facts.items for p in item.parts}
    if change.kind == ChangeKind.MONEY:
        label = funds[change.what].label if change.what else "the fund for anything"
        return say("{amount} more in {fund}", amount=usd(change.amount), fund=label)
    if change.kind in (ChangeKind.TIME, ChangeKind.BAY):
        name = change.what or (BAY_DAYS if change.kind == ChangeKind.BAY else "minutes")
        week = facts.weeks[change.week].starts_on
        return say(
            "{what} more from {day}",
            what=amount_of(name, change.amount),
            day=f"{week:%B} {week.day}",
        )
    if change.kind == ChangeKind.PART:
        part = parts.get(change.what)
        return say("{part} given", part=part.label if part else change.what)
    said = {
        ChangeKind.IN: say("{case} has to go home", case=change.what),
        ChangeKind.OUT: say("{case} waits", case=change.what),
    }
    return said.get(change.kind, say("{kind} of {what}", kind=change.kind.value, what=change.what))
