"""A plan as a person reads it: on the page, on the wall and on the terminal.

Read from what was computed and from the names of the cases that the reader may see.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.cases.models import Case
from program.planning.problem import MINUTES, OPEN_DAYS
from program.planning.queries import outcome_of
from shared.dates import add_weeks, short_date

if TYPE_CHECKING:
    from collections.abc import Iterable

    from program.planning.models import Plan
    from program.planning.outcome import FundUse, Home, Outcome, Stay, Wait, Wanted, WeekUse
    from shared.accounts.models import User

WITHHELD = "Withheld from you"
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


@dataclass(frozen=True, kw_only=True)
class WeekSheet:
    """Everything that is said about one plan."""

    number: int
    first_on: dt.date
    last_on: dt.date
    value: int
    bound: int
    proven: bool
    homes: tuple[HomeRow, ...]
    held: tuple[WaitRow, ...]
    waits: tuple[WaitRow, ...]
    wanted: tuple[Wanted, ...]
    stays: tuple[Stay, ...]
    weeks: tuple[WeekUse, ...]
    funds: tuple[FundUse, ...]
    problems: tuple[str, ...]

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
    def proof(self) -> str:
        """How far the choice is proven, as a clause without its full stop."""
        if self.proven:
            return f"Proven: no other choice brings more than {self.value} home"
        return f"At most {self.bound - self.value} more could be reached"


def in_words(count: int) -> str:
    """Return a count at the start of a sentence: in words up to ten."""
    return NUMBERS[count] if count < len(NUMBERS) else str(count)


def week_sheet(plan: Plan, user: User | None = None) -> WeekSheet:
    """Return what a plan says; names of cases that are withheld from `user` are left out."""
    outcome = outcome_of(plan)
    everyone = Case.objects.filter(program_id=plan.program_id)
    cases = everyone if user is None else Case.objects.for_user(user)
    names = _names(cases.select_related("household", "vehicle"))
    waits = [_wait_row(wait, names) for wait in outcome.waits]
    return WeekSheet(
        number=plan.number,
        first_on=plan.first_week_on,
        last_on=_last_day(plan),
        value=plan.value,
        bound=plan.bound,
        proven=plan.proven,
        homes=tuple(_home_row(home, outcome, names) for home in outcome.homes),
        held=tuple(row for row in waits if row.held),
        waits=tuple(row for row in waits if not row.held),
        wanted=outcome.wanted,
        stays=outcome.stays,
        weeks=outcome.weeks,
        funds=outcome.funds,
        problems=outcome.problems,
    )


Names = dict[str, tuple[str, str]]


def _names(cases: Iterable[Case]) -> Names:
    return {case.number: (str(case.household or ""), str(case.vehicle or "")) for case in cases}


def _last_day(plan: Plan) -> dt.date:
    """Return the Friday of the last week."""
    return add_weeks(plan.first_week_on, plan.weeks - 1) + dt.timedelta(days=OPEN_DAYS - 1)


def _home_row(home: Home, outcome: Outcome, names: Names) -> HomeRow:
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
    )


def _wait_row(wait: Wait, names: Names) -> WaitRow:
    household, car = names.get(wait.case_id, (WITHHELD, ""))
    return WaitRow(
        number=wait.case_id,
        household=household,
        car=car,
        need_weight=wait.need_weight,
        lacks=wait.lacks,
        held=wait.held,
        reasons=(*wait.reasons, *((wait.swap,) if wait.swap else ())),
    )
