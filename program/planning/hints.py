"""What money, hours and parts are worth while all of them are scarce, and what that proves.

All weeks are taken as one long week, and a case may go home by a fraction: a linear program, which
is solved in a moment. Its prices say which cases are worth what they take. Whatever the prices,
no plan brings more need home than the stock is worth by them, plus what each case is worth beyond
its price. This bound is counted in whole numbers, so that no rounding is in it.

Source: Everett 1963, generalized Lagrange multipliers (the bound); from memory.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = tuple(Case(id=name, need_weight=weight, uses={"minutes": minutes})
...              for name, weight, minutes in [("a", 5, 90), ("b", 4, 40), ("c", 3, 60)])
>>> hint = hint_of(PlanInput(weeks=(week,), cases=rows))
>>> hint.bound, hint.sure(7)
(7, {'b': True})
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from program.planning.demand import barred, bounded, demands
from program.planning.problem import BAY_DAYS
from program.planning.whole import whole

if TYPE_CHECKING:
    from collections.abc import Mapping

    from program.planning.demand import Demand
    from program.planning.problem import Item, PlanInput

UNIT = 10**9  # a point of need weight, in the whole numbers in which prices are counted
NEVER = 10**6  # points: the price of a cent that nobody may pay
Payers = tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Bill:
    """One item's bill: cash less what is set aside, and parts with their price and supplies."""

    payers: Payers
    cents: int
    parts: tuple[tuple[int | None, tuple[str, ...]], ...]


@dataclass(frozen=True, kw_only=True)
class Offer:
    """One case as the prices see it: what it brings and what it takes."""

    case_id: str
    weight: int
    totals: Mapping[str, int]
    bills: tuple[Bill, ...]


@dataclass(frozen=True, kw_only=True)
class Stock:
    """What there is, and what one unit of each is worth once prices are known."""

    resources: Mapping[str, int]
    funds: Mapping[str, int]
    supplies: Mapping[str, int]


@dataclass(frozen=True, kw_only=True)
class Hint:
    """What the prices say of one input; `bound` is need weight that no plan can pass."""

    total: int  # in UNIT
    beyond: Mapping[str, int]  # in UNIT: need weight of each case beyond the price of what it takes

    @property
    def bound(self) -> int:
        """The need weight that no plan can pass."""
        return self.total // UNIT

    def worth(self, row: Demand) -> float:
        """Return need weight for each point of price, to take the best first."""
        weight = row.case.need_weight * UNIT
        return weight / max(weight - self.beyond.get(row.case.id, 0), 1)

    def sure(self, value: int) -> dict[str, bool]:
        """Return the cases that every plan of such a need weight takes, or leaves out.

        To do otherwise costs at least what the case is worth beyond its price, or lacks to it.
        """
        return {
            case_id: beyond > 0
            for case_id, beyond in self.beyond.items()
            if (self.total - abs(beyond)) // UNIT < value
        }


def hint_of(plan_input: PlanInput) -> Hint:
    """Return what the prices of the linear program say; the same for the same input."""
    rows = whole(plan_input)
    offers, stock = _offers(rows), _stock(rows)
    prices = _prices(offers, stock)
    beyond = {offer.case_id: _beyond(offer, prices) for offer in offers}
    value = sum(amount * prices.resources[name] for name, amount in stock.resources.items())
    value += sum(cents * prices.funds[name] for name, cents in stock.funds.items())
    value += sum(units * prices.supplies[name] for name, units in stock.supplies.items())
    value += sum(max(amount, 0) for amount in beyond.values())
    return Hint(total=value, beyond=beyond)


def _stock(rows: PlanInput) -> Stock:
    reserve = rows.reserve_percent
    return Stock(
        resources=dict(sorted(rows.weeks[0].capacity.items())),
        funds={fund.id: fund.spendable_cents(reserve) for fund in rows.funds},
        supplies={row.id: 0 if row.week else row.quantity for row in rows.supplies},
    )


def _offers(rows: PlanInput) -> list[Offer]:
    """Return what each case brings and takes that may be planned and fits the weeks at all."""
    payers = _payers(rows)
    named, days = bounded(rows), len(rows.weeks[0].days)
    found = []
    for row in demands(rows):
        totals = row.totals({item.id for item in row.must}, rows.bay_day_minutes)
        if barred(rows, row.case) or (BAY_DAYS in named and totals.get(BAY_DAYS, 0) > days):
            continue
        found.append(
            Offer(
                case_id=row.case.id,
                weight=row.case.need_weight,
                totals={name: totals[name] for name in named if totals.get(name)},
                bills=tuple(_bill(item, payers[item.id]) for item in row.must),
            )
        )
    return found


def _payers(rows: PlanInput) -> dict[str, Payers]:
    """Return the funds that may pay each item, in their order."""
    found: dict[str, list[str]] = {item.id: [] for item in rows.items}
    for fund in rows.funds:
        for item_id in found if fund.pays is None else fund.pays & found.keys():
            found[item_id].append(fund.id)
    return {item_id: tuple(names) for item_id, names in found.items()}


def _bill(item: Item, payers: Payers) -> Bill:
    parts = tuple(
        (None if part.buy_week else part.price_cents, tuple(sorted(set(part.supply_ids))))
        for part in item.parts
    )
    return Bill(payers=payers, cents=item.cash_cents - item.set_aside_cents, parts=parts)


def _beyond(offer: Offer, prices: Stock) -> int:
    """Return the need weight of a case beyond the least price of what it takes."""
    taken = sum(amount * prices.resources[name] for name, amount in offer.totals.items())
    return offer.weight * UNIT - taken - sum(_least(bill, prices) for bill in offer.bills)


def _least(bill: Bill, prices: Stock) -> int:
    """Return no more than the least price of a bill, whichever way its parts come."""
    cent = min((prices.funds[name] for name in bill.payers), default=NEVER * UNIT)
    price = bill.cents * cent
    for cents, supplies in bill.parts:
        ways = [prices.supplies[name] for name in supplies]
        ways += [] if cents is None else [cents * cent]
        price += min(ways, default=NEVER * UNIT)
    return max(price, 0)


class _Program:
    """The linear program over all weeks as one, built for the library that solves it."""

    def __init__(self, offers: list[Offer], stock: Stock) -> None:
        from ortools.linear_solver import pywraplp  # noqa: PLC0415 (it takes a moment)

        self.solver: Any = pywraplp.Solver.CreateSolver("GLOP")
        self.far = self.solver.infinity()
        self.aim = self.solver.Objective()
        self.aim.SetMaximization()
        self.resources = {name: self._most(there) for name, there in stock.resources.items()}
        self.funds = {name: self._most(cents) for name, cents in stock.funds.items()}
        self.supplies = {name: self._most(units) for name, units in stock.supplies.items()}
        self.owed: dict[Payers, Any] = {}
        for offer in offers:
            self._add(offer)

    def _most(self, there: int) -> Any:
        return self.solver.Constraint(-self.far, there)

    def _owed(self, payers: Payers) -> Any:
        """Return the row in which funds pay what they may pay together."""
        if payers not in self.owed:
            self.owed[payers] = row = self.solver.Constraint(0, self.far)
            for name in payers:
                paid = self.solver.NumVar(0, self.far, "")
                row.SetCoefficient(paid, 1)
                self.funds[name].SetCoefficient(paid, 1)
        return self.owed[payers]

    def _add(self, offer: Offer) -> None:
        goes = self.solver.NumVar(0, 1, "")
        self.aim.SetCoefficient(goes, offer.weight)
        for name, amount in offer.totals.items():
            self.resources[name].SetCoefficient(goes, amount)
        owed: defaultdict[Payers, int] = defaultdict(int)
        for bill in offer.bills:
            owed[bill.payers] += max(bill.cents + sum(cents or 0 for cents, _ in bill.parts), 0)
            for cents, supplies in bill.parts:
                self._add_part(goes, self._owed(bill.payers), cents, supplies)
        for payers, total in owed.items():
            if total:
                self._owed(payers).SetCoefficient(goes, -total)

    def _add_part(self, goes: Any, owed: Any, cents: int | None, supplies: tuple[str, ...]) -> None:
        """Let a supply take the place of money; a part that can't be bought needs one."""
        if not supplies and cents is not None:
            return
        row = self.solver.Constraint(-self.far if cents is not None else 0, 0)
        row.SetCoefficient(goes, -1)
        for name in supplies:
            used = self.solver.NumVar(0, 1, "")
            row.SetCoefficient(used, 1)
            self.supplies[name].SetCoefficient(used, 1)
            owed.SetCoefficient(used, cents or 0)

    def prices(self) -> Stock:
        """Return what one unit of each is worth, in UNIT; zero where no answer was found."""
        if self.solver.Solve() != self.solver.OPTIMAL:
            return Stock(
                resources=dict.fromkeys(self.resources, 0),
                funds=dict.fromkeys(self.funds, 0),
                supplies=dict.fromkeys(self.supplies, 0),
            )
        return Stock(
            resources={name: _price(row) for name, row in self.resources.items()},
            funds={name: _price(row) for name, row in self.funds.items()},
            supplies={name: _price(row) for name, row in self.supplies.items()},
        )


def _price(row: Any) -> int:
    worth: float = row.dual_value()
    return max(round(worth * UNIT), 0)


def _prices(offers: list[Offer], stock: Stock) -> Stock:
    return _Program(offers, stock).prices()
