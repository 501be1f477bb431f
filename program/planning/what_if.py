"""What if: what a change of the facts would do to a plan, without touching it.

>>> from datetime import date
>>> from program.planning.problem import Case, Fund, Item, PlanInput, Week
>>> from program.planning.selection import select
>>> from program.planning.trying import Change, ChangeKind
>>> given = PlanInput(
...     weeks=(Week(starts_on=date(2026, 11, 30), capacity={}),),
...     cases=(Case(id="26-046", need_weight=9),),
...     items=(Item(id="a", case_id="26-046", tier=1, cash_cents=400_00),),
...     funds=(Fund(id="general", label="general fund", available_cents=0),),
... )
>>> answer = first_answer(given, select(given), [Change(kind=ChangeKind.MONEY, amount=500_00)])
>>> print(answer.sentence)
$500.00 more in the general fund would send home 26-046 and no car less: 9 points more of need.
>>> Answer.from_json(answer.to_json()) == answer
True
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Self

from program.planning.changes import compare
from program.planning.choosing import choose_after
from program.planning.outcome import plan_from_json, plan_to_json
from program.planning.problem import BAY_DAYS, MINUTES, by_id
from program.planning.selection import select
from program.planning.solving import EFFORT
from program.planning.trying import Change, ChangeKind, apply, open_fund
from program.planning.wording import (
    amount_of,
    as_noun,
    case_list,
    listed,
    more,
    opening,
    said,
    unsaid,
    week_of,
)
from shared.money import usd
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from program.planning.plan import Plan
    from program.planning.problem import PlanInput, Supply
    from program.planning.solving import Watch

_NUMBERS = ("before", "value", "bound")
_CASES = ("case_ids", "freed", "displaced")
FIRST_EFFORT = 2.0  # deterministic seconds: a person waits for it


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What the plan would be with the changes: need weight `before` and after, and who moves.

    `freed` go home and didn't, `displaced` did and don't. `bound` is the need weight that no plan
    could pass. `plan` is None while only the need weight has been looked at; then `details` say
    what else is different.
    """

    changes: tuple[Change, ...]
    before: int
    value: int
    bound: int
    case_ids: tuple[str, ...]
    freed: tuple[str, ...] = ()
    displaced: tuple[str, ...] = ()
    sentence: Say
    details: tuple[Say, ...] = ()
    plan: Plan | None = None

    @property
    def gain(self) -> int:
        """Points of need more than in the plan; less than zero when it is less."""
        return self.value - self.before

    @property
    def proven(self) -> bool:
        """Whether no other choice would bring more need home."""
        return self.value == self.bound

    def to_json(self) -> dict[str, Any]:
        """Return the answer as JSON holds it."""
        return {
            "changes": [change.to_json() for change in self.changes],
            **{name: getattr(self, name) for name in _NUMBERS},
            **{name: list(getattr(self, name)) for name in _CASES},
            "sentence": said(self.sentence),
            "details": [said(detail) for detail in self.details],
            "plan": plan_to_json(self.plan) if self.plan else None,
        }

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Self:
        """Return the answer that `to_json` wrote."""
        plan, rows = data["plan"], {name: data[name] for name in _NUMBERS}
        rows |= {name: tuple(data[name]) for name in _CASES}
        return cls(
            changes=tuple(Change.from_json(row) for row in data["changes"]),
            **rows,
            sentence=unsaid(data["sentence"]),
            details=tuple(unsaid(detail) for detail in data["details"]),
            plan=plan_from_json(plan) if plan else None,
        )


def first_answer(
    plan_input: PlanInput,
    plan: Plan,
    changes: Iterable[Change],
    *,
    effort: float = FIRST_EFFORT,
) -> Answer:
    """Return what the changes would do to the need weight, the first aim, and to nothing else.

    Of the choices that bring as much home, it is one that keeps most of the plan's cars.

    Raises:
        ValueError: a change names what isn't there, or leaves less than nothing.
    """
    made = tuple(changes)
    rows = apply(plan_input, made)
    found = choose_after(rows, plan, effort)
    if found.value is None:
        raise ValueError("No plan was found with these changes in the time given.")
    return _answer(plan_input, plan, made, found.case_ids, (found.value, found.bound))


def _answer(
    plan_input: PlanInput,
    plan: Plan,
    changes: tuple[Change, ...],
    chosen: tuple[str, ...],
    reached: tuple[int, int],
) -> Answer:
    freed = tuple(sorted({*chosen} - {*plan.case_ids}))
    displaced = tuple(sorted({*plan.case_ids} - {*chosen}))
    value, bound = reached
    return Answer(
        changes=changes,
        before=plan.value,
        value=value,
        bound=bound,
        case_ids=chosen,
        freed=freed,
        displaced=displaced,
        sentence=_effect(plan_input, changes, (freed, displaced), value - plan.value),
    )


def what_if(
    plan_input: PlanInput,
    plan: Plan,
    changes: Iterable[Change],
    *,
    effort: float = EFFORT,
    watch: Watch | None = None,
) -> Answer:
    """Return the best plan with the changes made, for every aim, and how it differs.

    Among equally good plans it is the one closest to the plan asked about. `first_answer` tells
    the need weight in a moment; this may take as long as a plan.

    Raises:
        ValueError: a change names what isn't there, or leaves less than nothing.
    """
    made = tuple(changes)
    rows = replace(apply(plan_input, made), prior=plan)
    found = select(rows, effort=effort, watch=watch)
    answer = _answer(plan_input, plan, made, found.case_ids, (found.value, found.bound))
    return replace(answer, plan=found, details=compare(plan, found, rows))


def _effect(
    plan_input: PlanInput,
    changes: tuple[Change, ...],
    cases: tuple[tuple[str, ...], tuple[str, ...]],
    gain: int,
) -> Say:
    """Return the whole answer as one sentence."""
    freed, displaced = cases
    cause = listed([told(plan_input, change) for change in changes])
    points = _points(gain)
    if not freed and not displaced:
        return say("{cause} would change nothing: the same cars go home.", cause=cause)
    if not displaced:
        return say(
            "{cause} would send home {cases} and no car less: {points}.",
            cause=cause,
            cases=case_list(freed),
            points=points,
        )
    if not freed:
        return say(
            "{cause} would leave out {cases}: {points}.",
            cause=cause,
            cases=case_list(displaced),
            points=points,
        )
    return say(
        "{cause} would send home {cases} in place of {others}: {points}.",
        cause=cause,
        cases=case_list(freed),
        others=case_list(displaced),
        points=points,
    )


def _points(gain: int) -> Say:
    if gain == 0:
        return say("a tie")
    if gain > 0:
        return more(gain)
    if gain == -1:
        return say("1 point less of need")
    return say("{points} points less of need", points=-gain)


def told(plan_input: PlanInput, change: Change) -> Say:
    """Return a change as it opens a sentence or stands in a list."""
    if change.kind == ChangeKind.MONEY:
        fund = by_id(plan_input.funds).get(change.what) or open_fund(plan_input)
        return _up_or_down(change.amount, say("{cents}", cents=usd(abs(change.amount))), fund.label)
    if change.kind in {ChangeKind.TIME, ChangeKind.BAY}:
        name = change.what or (BAY_DAYS if change.kind == ChangeKind.BAY else MINUTES)
        week = week_of(plan_input.weeks[change.week])
        return _up_or_down(change.amount, amount_of(name, abs(change.amount)), week)
    if change.kind in {ChangeKind.PART, ChangeKind.PRICE}:
        return _of_part(plan_input, change)
    if change.kind == ChangeKind.LATE:
        return _later(by_id(plan_input.supplies)[change.what], change.amount)
    return _TOLD_CASE[change.kind](change.what)


def _up_or_down(amount: int, thing: Say, where: object) -> Say:
    if amount < 0:
        return say("{thing} less in the {where}", thing=thing, where=where)
    return say("{thing} more in the {where}", thing=thing, where=where)


def _later(supply: Supply, weeks: int) -> Say:
    name = opening(supply.label or supply.id)
    if weeks == 1:
        return say("{supply} a week later", supply=name)
    return say("{supply} {weeks} weeks later", supply=name, weeks=weeks)


def _of_part(plan_input: PlanInput, change: Change) -> Say:
    parts = [part for item in plan_input.items for part in item.parts]
    found = next(part for part in parts if change.what in {part.id, part.gift_kind})
    label = found.label or found.id
    if change.kind == ChangeKind.PRICE:
        return say("{part} at {cents}", part=opening(label), cents=usd(change.amount))
    if change.amount == 1:
        return say("One given {part}", part=as_noun(label))
    return say("{count} of “{part}” given", count=change.amount, part=label)


_TOLD_CASE: dict[ChangeKind, Callable[[str], Say]] = {
    ChangeKind.IN: lambda case: say("Taking in {case}", case=case),
    ChangeKind.OUT: lambda case: say("Leaving out {case}", case=case),
    ChangeKind.HOLD: lambda case: say("Holding {case}", case=case),
}
