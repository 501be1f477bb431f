"""A plan as a person reads it: on the page, on the wall and on the terminal.

Read from what was computed and from the names of the cases that the reader may see.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.utils import timezone

from program.cases.models import Case
from program.planning.problem import MINUTES, OPEN_DAYS
from program.planning.queries import outcome_of
from program.planning.states import PlanState
from shared.dates import add_weeks, short_date
from sponsors.pledges.models import Supply
from sponsors.pledges.states import SupplyState
from vehicles.repairs.models import Need

if TYPE_CHECKING:
    from collections.abc import Iterable

    from program.planning.models import Plan
    from program.planning.outcome import Clash, FundUse, Home, Outcome, Stay, Wait, Wanted, WeekUse
    from shared.accounts.models import User

WITHHELD = "Withheld from you"
SHOWN_WAITS = 12
NUMBERS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten")


@dataclass(frozen=True, kw_only=True)
class HomeRow:
    """One car that goes home."""

    number: str
    household: str
    car: str
    work: str
    need_weight: int
    minutes: int
    cash_cents: int
    paid_by: tuple[tuple[str, int], ...]
    from_on: dt.date
    by_on: dt.date
    plan: int = 0

    @property
    def days(self) -> str:
        """The two days between which the car goes home."""
        return f"{short_date(self.from_on)} – {short_date(self.by_on)}"


@dataclass(frozen=True, kw_only=True)
class WaitRow:
    """One car that waits, and why."""

    number: str
    household: str
    car: str
    need_weight: int
    lacks: str
    held: bool
    reasons: tuple[str, ...]
    exact: bool = True
    plan: int = 0


@dataclass(frozen=True, kw_only=True)
class PartRow:
    """Parts of one kind for one car, where they come from, and the day the work starts."""

    number: str
    part: str
    count: int
    source: str
    by_on: dt.date


@dataclass(frozen=True, kw_only=True)
class WeekSheet:
    """Everything that is said about one plan."""

    number: int
    approved: bool
    made_on: dt.date
    first_on: dt.date
    last_on: dt.date
    value: int
    bound: int
    proven: bool
    homes: tuple[HomeRow, ...]
    held: tuple[WaitRow, ...]
    waits: tuple[WaitRow, ...]
    wanted: tuple[Wanted, ...]
    parts: tuple[PartRow, ...]
    stays: tuple[Stay, ...]
    weeks: tuple[WeekUse, ...]
    funds: tuple[FundUse, ...]
    problems: tuple[str, ...]
    clashes: tuple[Clash, ...] = ()
    help: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    cost_p50: int = 0
    cost_p80: int = 0
    pins_cost: int = 0

    @property
    def first_waits(self) -> tuple[WaitRow, ...]:
        """The cars that wait with most need; the page shows no more of them."""
        return self.waits[:SHOWN_WAITS]

    @property
    def cash_cents(self) -> int:
        """What the plan newly sets aside."""
        return sum(row.cash_cents for row in self.homes)

    @property
    def paying_funds(self) -> int:
        """How many funds pay."""
        return sum(1 for fund in self.funds if fund.plan_cents)

    @property
    def headline(self) -> str:
        """How many cars go home, as a heading."""
        count = len(self.homes)
        return f"{in_words(count)} {'car goes' if count == 1 else 'cars go'} home"

    @property
    def carried(self) -> str:
        """The need of the cars that go home, as a sentence's beginning."""
        they = "It carries" if len(self.homes) == 1 else "They carry"
        return f"{they} {self.value:,} {'point' if self.value == 1 else 'points'} of need"

    @property
    def proof(self) -> str:
        """How far the choice is proven, as a clause without its full stop."""
        if self.proven:
            return f"Proven: no other choice brings more than {self.value:,} home"
        return f"At most {self.bound - self.value:,} more could be reached"


def in_words(count: int) -> str:
    """Return a count at the start of a sentence: in words up to ten."""
    return NUMBERS[count] if count < len(NUMBERS) else str(count)


def week_sheet(plan: Plan, user: User | None = None) -> WeekSheet:
    """Return what a plan says; names of cases that are withheld from `user` are left out."""
    outcome = outcome_of(plan)
    everyone = Case.objects.filter(program_id=plan.program_id)
    cases = everyone if user is None else Case.objects.for_user(user)
    names = _names(cases.select_related("household", "vehicle"))
    waits = [_wait_row(wait, names, plan.number) for wait in outcome.waits]
    return WeekSheet(
        number=plan.number,
        approved=plan.state == PlanState.APPROVED,
        made_on=timezone.localdate(plan.computed_at or plan.asked_at, plan.program.zone),
        first_on=plan.first_week_on,
        last_on=_last_day(plan),
        value=plan.value,
        bound=plan.bound,
        proven=plan.proven,
        homes=tuple(_home_row(home, outcome, names, plan.number) for home in outcome.homes),
        held=tuple(row for row in waits if row.held),
        waits=tuple(row for row in waits if not row.held),
        wanted=outcome.wanted,
        parts=_part_rows(outcome),
        stays=outcome.stays,
        weeks=outcome.weeks,
        funds=outcome.funds,
        problems=outcome.problems,
        clashes=outcome.clashes,
        help=outcome.help,
        changes=outcome.changes,
        cost_p50=outcome.cost_p50,
        cost_p80=outcome.cost_p80,
        pins_cost=outcome.pins_cost,
    )


Names = dict[str, tuple[str, str]]


def _names(cases: Iterable[Case]) -> Names:
    return {case.number: (str(case.household or ""), str(case.vehicle or "")) for case in cases}


def _last_day(plan: Plan) -> dt.date:
    """Return the Friday of the last week."""
    return add_weeks(plan.first_week_on, plan.weeks - 1) + dt.timedelta(days=OPEN_DAYS - 1)


def _home_row(home: Home, outcome: Outcome, names: Names, plan: int) -> HomeRow:
    planned = outcome.plan.case(home.case_id)
    funds = {fund.code: fund.name for fund in outcome.funds}
    paid: dict[str, int] = {}
    for payment in planned.payments if planned else ():
        name = funds[payment.fund_id]
        paid[name] = paid.get(name, 0) + payment.cents
    household, car = names.get(home.case_id, (WITHHELD, ""))
    return HomeRow(
        number=home.case_id,
        household=household,
        car=car,
        work=home.work,
        need_weight=home.need_weight,
        minutes=planned.used(MINUTES) if planned else 0,
        cash_cents=planned.cash_cents if planned else 0,
        paid_by=tuple(sorted(paid.items())),
        from_on=home.from_on,
        by_on=home.by_on,
        plan=plan,
    )


def _wait_row(wait: Wait, names: Names, plan: int) -> WaitRow:
    household, car = names.get(wait.case_id, (WITHHELD, ""))
    return WaitRow(
        number=wait.case_id,
        household=household,
        car=car,
        need_weight=wait.need_weight,
        lacks=wait.lacks,
        held=wait.held,
        reasons=(*wait.reasons, *((wait.swap,) if wait.swap else ())),
        exact=wait.exact,
        plan=plan,
    )


def _part_rows(outcome: Outcome) -> tuple[PartRow, ...]:
    """Return what the plan takes for each car, soonest first; equal parts are counted together."""
    taken = [
        (home, int(part.need_id.partition(".")[0]), int(part.supply_id) if part.supply_id else 0)
        for home in outcome.homes
        if (planned := outcome.plan.case(home.case_id))
        for part in planned.parts
    ]
    needs = Need.objects.in_bulk({need for _, need, _ in taken})
    supplies = Supply.objects.select_related("pledge__sponsor").in_bulk(
        {supply for _, _, supply in taken if supply}
    )
    counted: Counter[tuple[dt.date, str, str, str]] = Counter()
    for home, need, supply in taken:
        part = needs[need].title if need in needs else ""
        counted[home.start_on, home.case_id, part, _source(supplies.get(supply))] += 1
    return tuple(
        PartRow(number=number, part=part, count=count, source=source, by_on=by_on)
        for (by_on, number, part, source), count in sorted(counted.items())
    )


def _source(supply: Supply | None) -> str:
    """Return where a part comes from, in words."""
    if supply is None:
        return "to buy"
    if supply.state == SupplyState.ON_SHELF:
        return "on the shelf"
    if supply.pledge:
        return str(supply.pledge.sponsor)
    return SupplyState(supply.state).label.lower()
