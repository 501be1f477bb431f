"""The planner's model for CP-SAT: variables, rules and sums, without any aim.

Money has no variables of its own: a set of bills can be paid if and only if, for every union of
the sets of funds that may pay them, the bills payable only inside it don't pass its money. Only
where there would be too many unions, each fund's share of each sum is a variable.
Source: Hall 1935, Gale 1957 (the rule); both cited from memory.

>>> Relief().cents
False
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from itertools import product
from typing import TYPE_CHECKING, Any

from program.planning.demand import Demand, barred, bounded, demands
from program.planning.splitting import Split

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from ortools.sat.python import cp_model

    from program.planning.hands import Kind
    from program.planning.problem import Fund, Item, PartNeed, PlanInput

    Expr = Any  # a linear expression, a variable or a whole number

BIG_CENTS = 10**9
BIG_AMOUNT = 10**6
MOST_UNIONS = 64  # of payer sets; with more, the shares that funds pay are fewer than the rows


@dataclass(frozen=True, kw_only=True)
class Relief:
    """What may be added to the input to see what it would change."""

    cents: bool = False  # money that may pay anything
    resources: frozenset[str] = frozenset()  # names of which more is there in each week
    gifts: Mapping[str, int] = field(default_factory=dict)  # kind of part -> most units given


class Model:
    """A CP-SAT model of one input; `y` is true for each case that goes home."""

    def __init__(
        self,
        plan_input: PlanInput,
        *,
        extras: bool,
        relief: Relief = Relief(),
    ) -> None:
        from ortools.sat.python import cp_model  # noqa: PLC0415 (it takes half a second)

        self.plan_input = plan_input
        self.cp = cp_model.CpModel()
        self.weeks = range(len(plan_input.weeks))
        self.resources, self.rows = bounded(plan_input), demands(plan_input)
        self.ready = {supply.id: supply.week for supply in plan_input.supplies}
        self.y: dict[str, cp_model.IntVar] = {}
        self.starts: dict[tuple[str, int], cp_model.IntVar] = {}
        self.homes: dict[tuple[str, int], cp_model.IntVar] = {}
        self.done: dict[str, cp_model.IntVar] = {}
        self.supplied: dict[tuple[str, str], cp_model.IntVar] = {}
        self.bought: dict[str, Expr] = {}
        self.given: dict[str, cp_model.IntVar] = {}
        self.prices: dict[str, int] = {}
        self.cost: dict[str, Expr] = {}
        self.amount: dict[tuple[str, int, str], Expr] = {}
        self.kinds: dict[tuple[str, int, Kind], cp_model.IntVar] = {}
        self.extras: list[str] = []
        self._add_relief(relief)
        for row in self.rows:
            self._add_case(row, extras=extras)
        self._add_supplies()
        self._add_capacities()
        self._add_money()
        if extras:
            self._add_allowance()

    def _add_relief(self, relief: Relief) -> None:
        self.gift = {
            kind: self.cp.new_int_var(0, most, f"gift {kind}")
            for kind, most in sorted(relief.gifts.items())
        }
        self.more_cents = self.cp.new_int_var(0, BIG_CENTS if relief.cents else 0, "more cents")
        self.more = {
            (week, name): self.cp.new_int_var(0, BIG_AMOUNT, f"more {week} {name}")
            for week, name in product(self.weeks, sorted(relief.resources & {*self.resources}))
        }

    def _add_case(self, row: Demand, *, extras: bool) -> None:
        case = row.case
        y = self.y[case.id] = self.cp.new_bool_var(f"y {case.id}")
        if barred(self.plan_input, case):
            self.cp.add(y == 0)
        for week in self.weeks:
            self.starts[case.id, week] = self.cp.new_bool_var(f"start {case.id} {week}")
            self.homes[case.id, week] = self.cp.new_bool_var(f"home {case.id} {week}")
            if week < case.earliest_week:
                self.cp.add(self.starts[case.id, week] == 0)
        self.cp.add(sum(self.starts[case.id, week] for week in self.weeks) == y)
        self.cp.add(sum(self.homes[case.id, week] for week in self.weeks) == y)
        for item in row.must:
            self.done[item.id] = y
        for item in row.extras if extras else ():
            self.extras.append(item.id)
            self.done[item.id] = self.cp.new_bool_var(f"item {item.id}")
            self.cp.add_implication(self.done[item.id], y)
        items = row.items if extras else row.must
        for item in items:
            self._add_item(item)
        Split(self, row, items).add()

    def _add_item(self, item: Item) -> None:
        for before in item.prerequisites:
            self.cp.add_implication(self.done[item.id], self.done[before])
        parts = [self._add_part(item, part) for part in item.parts]
        cost = item.cash_cents * self.done[item.id] + sum(parts)
        if item.set_aside_cents:
            most = item.cash_cents + sum(part.price_cents or 0 for part in item.parts)
            paid_anew = self.cp.new_int_var(0, most, f"cost {item.id}")
            self.cp.add(paid_anew >= cost - item.set_aside_cents)
            cost = paid_anew
        if item.cash_cents or any(part.price_cents for part in item.parts):
            self.cost[item.id] = cost

    def _add_part(self, item: Item, part: PartNeed) -> Expr:
        """Add the ways to have one part; return what is paid for it."""
        done = self.done[item.id]
        for supply_id in sorted(set(part.supply_ids)):
            used = self.cp.new_bool_var(f"supply {part.id} {supply_id}")
            self.supplied[part.id, supply_id] = used
            self._not_before(item.case_id, self.ready[supply_id], used)
        ways: list[Expr] = [self.supplied[part.id, name] for name in sorted(set(part.supply_ids))]
        if part.gift_kind in self.gift:
            given = self.given[part.id] = self.cp.new_bool_var(f"given {part.id}")
            self._not_before(item.case_id, self.plan_input.gift_week, given)
            ways.append(given)
        if part.price_cents is not None:
            bought = self.cp.new_bool_var(f"bought {part.id}") if ways else done
            self.bought[part.id] = bought
            self.prices[part.id] = part.price_cents
            self._not_before(item.case_id, part.buy_week, bought)
            ways.append(bought)
        self.cp.add(sum(ways) == done)
        return (part.price_cents or 0) * self.bought.get(part.id, 0)

    def _not_before(self, case_id: str, week: int, used: cp_model.IntVar) -> None:
        """A part must be there before its car takes a bay."""
        early = [self.starts[case_id, before] for before in self.weeks if before < week]
        if early:
            self.cp.add(sum(early) + used <= self.y[case_id])

    def _add_supplies(self) -> None:
        uses: defaultdict[str, list[cp_model.IntVar]] = defaultdict(list)
        for (_, name), used in self.supplied.items():
            uses[name].append(used)
        for supply in self.plan_input.supplies:
            if len(uses[supply.id]) > supply.quantity:
                self.cp.add(sum(uses[supply.id]) <= supply.quantity)
        kinds = {part.id: part.gift_kind for item in self.plan_input.items for part in item.parts}
        for kind, gift in self.gift.items():
            self.cp.add(sum(var for name, var in self.given.items() if kinds[name] == kind) <= gift)

    def present(self, case_id: str, week: int) -> Expr:
        """Return 1 when the car has started and not gone home before the week."""
        begun = sum(self.starts[case_id, w] for w in self.weeks if w <= week)
        return begun - self._gone(case_id, week)

    def between(self, case_id: str, week: int) -> Expr:
        """Return 1 in a week after the car's first and before its last."""
        begun = sum(self.starts[case_id, w] for w in self.weeks if w < week)
        return begun - self._gone(case_id, week) - self.homes[case_id, week]

    def _gone(self, case_id: str, week: int) -> Expr:
        return sum(self.homes[case_id, w] for w in self.weeks if w < week)

    def _add_capacities(self) -> None:
        for week, name in product(self.weeks, self.resources):
            there = self.plan_input.weeks[week].capacity.get(name, 0)
            standing, most, used = 0, 0, self._used(week, name)
            for row in self.rows:
                stands = row.case.stands.get(name, 0)
                if stands and not row.case.comes:
                    most += stands
                    standing += stands * (1 - self._gone(row.case.id, week))
            fits = self.cp.add(used + standing <= there + self.more.get((week, name), 0))
            if most > there:
                # What stands here is nobody's choice; but then nothing may be added to it.
                full = self.cp.new_bool_var(f"full {week} {name}")
                fits.only_enforce_if(~full)
                self.cp.add(used == 0).only_enforce_if(full)

    def _used(self, week: int, name: str) -> Expr:
        """Return what the plan takes of a resource, what stands here already not counted."""
        used = sum(self.amount[row.case.id, week, name] for row in self.rows)
        for case in (row.case for row in self.rows if row.case.comes):
            if case.stands.get(name):
                used += case.stands[name] * self.present(case.id, week)
        return used

    def _add_money(self) -> None:
        reserve = self.plan_input.reserve_percent
        money = {fund.id: fund.spendable_cents(reserve) for fund in self.plan_input.funds}
        can_pay(self, self.plan_input.funds, money, self.more_cents)

    def _add_allowance(self) -> None:
        if self.plan_input.extras_cents is not None:
            extra = [self.cost.get(item.id, 0) for row in self.rows for item in row.extras]
            self.cp.add(sum(extra) <= self.plan_input.extras_cents)


def can_pay(model: Model, funds: Iterable[Fund], money: Mapping[str, Expr], more: Expr = 0) -> None:
    """Add the rule that the bills can be paid from the money of each fund, and more of anybody's.

    There is one row for each union of payer sets; where they would be too many, bills of the same
    payers are one sum, of which each of them pays a share.
    """
    listed = list(funds)
    owed: dict[frozenset[str], Expr] = {}
    for item_id, cost in model.cost.items():
        payers = frozenset(fund.id for fund in listed if fund.may_pay(item_id))
        owed[payers] = owed.get(payers, 0) + cost
    rows = all_unions(owed)
    if rows is None:
        _add_shares(model, owed, money, more)
        return
    for union in rows:
        inside = sum(cost for payers, cost in owed.items() if payers <= union)
        model.cp.add(inside <= sum(money[name] for name in sorted(union)) + more)


def _add_shares(
    model: Model, owed: Mapping[frozenset[str], Expr], money: Mapping[str, Expr], more: Expr
) -> None:
    shares: dict[str, list[Expr]] = {name: [] for name in ("", *money)}  # of "" nobody is asked
    for number, payers in enumerate(sorted(owed, key=sorted)):
        paid = []
        for name in ("", *sorted(payers)):
            paid.append(model.cp.new_int_var(0, BIG_CENTS, f"share {number} {name}"))
            shares[name].append(paid[-1])
        model.cp.add(sum(paid) >= owed[payers])
    for name, own in shares.items():
        model.cp.add(sum(own) <= (money[name] if name else more))


def all_unions(sets: Iterable[frozenset[str]]) -> list[frozenset[str]] | None:
    """Return every union of some of the sets, in a fixed order; None when there are too many.

    >>> [sorted(union) for union in all_unions([frozenset("a"), frozenset("b"), frozenset("a")])]
    [['a'], ['b'], ['a', 'b']]
    """
    found: set[frozenset[str]] = set()
    for own in sorted(set(sets), key=sorted):
        found |= {own | other for other in found} | {own}
        if len(found) > MOST_UNIONS:
            return None
    return sorted(found, key=lambda union: (len(union), sorted(union)))


def unions(sets: Iterable[frozenset[str]]) -> list[frozenset[str]]:
    """Return every union of some of the sets; of too many the sets alone and all of them as one."""
    listed = sorted(set(sets), key=lambda own: (len(own), sorted(own)))
    found = all_unions(listed)
    return [*listed, frozenset().union(*listed)] if found is None else found
