"""What to ask for first: the parts which, if given, would free the most need.

Bounds come at once; exact values one after another, best bound first, until no bound that is left
can beat what was found.

>>> from datetime import date
>>> from program.planning.problem import Case, Item, PartNeed, PlanInput, Week
>>> from program.planning.selection import select
>>> radiator = PartNeed(id="n1", label="radiator")
>>> given = PlanInput(
...     weeks=(Week(starts_on=date(2026, 11, 30), capacity={}),),
...     cases=(Case(id="26-043", need_weight=8),),
...     items=(Item(id="a", case_id="26-043", tier=1, parts=(radiator,)),),
... )
>>> for ask in ask_first(given, select(given)):
...     print(ask.sentence)
One radiator would free 26-043: 8 points more of need.
>>> [(str(ask.sentence), ask.exact) for ask in ask_bounds(given, select(given))]
[('One radiator could free 8 points more of need at most.', False)]
"""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from program.planning.canonical import canonical
from program.planning.demand import barred, demands, parts_of
from program.planning.gains import better, bound_of
from program.planning.solving import Attention
from program.planning.telling import could_free, frees, one, saves
from program.planning.trying import GIFT, Change, ChangeKind, with_gift

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from program.planning.plan import Plan
    from program.planning.problem import PartNeed, PlanInput
    from program.planning.solving import Watch
    from shared.say import Say

ASKS = 10
DOING = "What to ask for first"
AT_ONCE = 2  # solved beside each other: a small computer has two cores


@dataclass(frozen=True, kw_only=True)
class Ask:
    """One part of a kind: the cases it would free, and the need weight they add.

    `need_id` is the need that the gift would fill in that plan. `displaced` are chosen cases that
    would wait instead, when that still brings more need home. `cents_saved` is its price when the
    program would otherwise buy it. No gift of it gains more than `bound`; `exact` when it gains
    just `gain`.
    """

    kind: str
    need_id: str
    label: str
    freed: tuple[str, ...] = ()
    displaced: tuple[str, ...] = ()
    gain: int = 0
    cents_saved: int = 0
    sentence: Say
    exact: bool = True
    bound: int = 0


def ask_first(
    plan_input: PlanInput,
    plan: Plan,
    *,
    limit: int = ASKS,
    ask_floor_cents: int = 0,
    watch: Watch | None = None,
) -> list[Ask]:
    """Return the parts to ask for, most need first, then those that would only save money.

    Each row stands alone: one unit of that kind is given, nothing else changes. A gift can free a
    second car by the money that it saves. A part that frees nobody is left out when it costs less
    than the floor: it is cheaper to buy it than to ask for it.
    """
    bounds = ask_bounds(plan_input, plan, ask_floor_cents=ask_floor_cents)
    found = ask_exact(
        plan_input,
        plan,
        bounds,
        limit=limit,
        ask_floor_cents=ask_floor_cents,
        watch=watch,
    )
    return [ask for ask in found if ask.exact or ask.gain][:limit]


def ask_bounds(plan_input: PlanInput, plan: Plan, *, ask_floor_cents: int = 0) -> tuple[Ask, ...]:
    """Return every kind of part with the most that one unit of it could free, highest first.

    Kinds that are proven to free nothing follow where they would save money.
    """
    asking = _Asking(canonical(plan_input), plan)
    rows = [asking.bound(kind) for kind in asking.kinds]
    could = sorted((ask for ask in rows if ask.bound), key=_rank)
    return (*could, *asking.savings({ask.kind for ask in could}, ask_floor_cents))


def ask_exact(
    plan_input: PlanInput,
    plan: Plan,
    bounds: Iterable[Ask],
    *,
    limit: int = ASKS,
    ask_floor_cents: int = 0,
    watch: Watch | None = None,
) -> tuple[Ask, ...]:
    """Return the rows of `ask_bounds`, the best of them settled, most need first.

    Bounds are settled from the best down until `limit` rows gain as much as any bound that is left
    could; the rest stay bounds, as all do that are left when the watch stops.
    """
    asking, attention = _Asking(canonical(plan_input), plan), Attention(watch)
    waiting, settled = [ask for ask in bounds if not ask.exact], list[Ask]()
    while waiting and not attention.stop() and not _enough(settled, waiting[0].bound, limit):
        settled += asking.settle(waiting[:AT_ONCE])
        waiting = waiting[AT_ONCE:]
        attention.tell(len(settled) * 100 // (len(settled) + len(waiting)), DOING)
    settled = sorted((ask for ask in settled if ask.gain or not ask.exact), key=_rank)
    rows = [*settled, *waiting]
    return (*rows, *asking.savings({ask.kind for ask in rows}, ask_floor_cents))


def _enough(settled: Iterable[Ask], bound: int, limit: int) -> bool:
    """Return whether so many rows gain as much as any of those left could."""
    return sum(ask.gain >= bound for ask in settled) >= limit


def _rank(ask: Ask) -> tuple[int, int, str]:
    return -ask.gain, -ask.bound, ask.kind


class _Asking:
    """One plan's parts that could be asked for."""

    def __init__(self, rows: PlanInput, plan: Plan) -> None:
        self.rows, self.plan = rows, plan
        weights: dict[str, tuple[int, str]] = {}
        self.parts: dict[str, PartNeed] = {}
        for row in demands(rows):
            if not barred(rows, row.case):
                own = parts_of(row.must)
                self.parts |= own
                weights |= dict.fromkeys(own, (-row.case.need_weight, row.case.id))
        self.kinds = sorted({part.gift_kind for part in self.parts.values()})
        self.first: dict[str, PartNeed] = {}
        for name in sorted(self.parts, key=lambda name: (weights[name], name)):
            self.first.setdefault(self.parts[name].gift_kind, self.parts[name])

    def bound(self, kind: str) -> Ask:
        """Return the most that a gift of a kind could free."""
        part, (most, _) = self.first[kind], bound_of(self._given(kind), self.plan)
        label = part.label or part.id
        return Ask(
            kind=kind,
            need_id=part.id,
            label=label,
            cents_saved=part.price_cents or 0,
            sentence=could_free(one(label), most),
            exact=not most,
            bound=most,
        )

    def settle(self, asks: Iterable[Ask]) -> list[Ask]:
        """Return the rows with what their gifts free, solved beside each other."""
        with ThreadPoolExecutor(AT_ONCE) as pool:
            return list(pool.map(self._settle, asks))

    def _settle(self, ask: Ask) -> Ask:
        gain = better(self._given(ask.kind), self.plan, added=GIFT + ask.kind)
        if not gain.points:
            sentence = could_free(one(ask.label), gain.bound)
            return replace(ask, bound=gain.bound, exact=gain.exact, sentence=sentence)
        part = self.parts[gain.used[0]] if gain.used else self.first[ask.kind]
        label = part.label or part.id
        return replace(
            ask,
            need_id=part.id,
            label=label,
            freed=gain.freed,
            displaced=gain.displaced,
            gain=gain.points,
            cents_saved=part.price_cents or 0,
            sentence=frees(label, gain.freed, gain.displaced, gain.points),
            exact=gain.exact,
            bound=gain.bound,
        )

    def _given(self, kind: str) -> PlanInput:
        return with_gift(self.rows, Change(kind=ChangeKind.PART, what=kind, amount=1))

    def savings(self, without: Collection[str], floor_cents: int) -> list[Ask]:
        """Return what the plan buys and a gift would save, dearest first, one of each kind."""
        sources = [source for case in self.plan.cases for source in case.parts]
        paid = {source.need_id for source in sources if source.supply_id is None and source.cents}
        bought = [part for name, part in self.parts.items() if name in paid]
        bought.sort(key=lambda part: (-(part.price_cents or 0), part.id))
        found: dict[str, Ask] = {}
        for part in bought:
            cents = part.price_cents or 0
            if part.gift_kind not in without and cents >= floor_cents:
                found.setdefault(part.gift_kind, _saving(part, cents))
        return list(found.values())


def _saving(part: PartNeed, cents: int) -> Ask:
    label = part.label or part.id
    return Ask(
        kind=part.gift_kind,
        need_id=part.id,
        label=label,
        cents_saved=cents,
        sentence=saves(label, cents),
    )
