"""The months of the books as they stand, and the duties of a year with what was done of them."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.urls import reverse

from program.closing import duties
from program.closing.duties import Due, Duty, Standing
from program.closing.kinds import StepKind
from program.closing.models import CloseStep, DutyDone
from program.closing.steps import MonthState, in_the_way, named
from program.grants.queries import due_claims
from program.ledger.fiscal import first_of, fiscal_span, fiscal_year, months, next_month
from program.ledger.kept_models import Turnover
from program.ledger.models import ShutMonth
from shared.policy.queries import policies
from vehicles.shop.models import Equipment

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shared.accounts.models import Program
    from shared.problems import Problem

LATE = dt.timedelta(days=90)  # a duty that is later than this has its place on the page of its year


@dataclass(frozen=True, kw_only=True)
class MonthRow:
    """One month of the books: its state, who shut it, and how many lines of its list are ticked."""

    month: dt.date
    state: MonthState
    ticked: int
    shut: ShutMonth | None = None

    @property
    def name(self) -> str:
        """The month as a sentence names it."""
        return named(self.month)


@dataclass(frozen=True, kw_only=True)
class DutyRow:
    """A duty of a year, how it stands, and what somebody said of it."""

    due: Due
    standing: Standing
    done: DutyDone | None = None

    @property
    def month(self) -> dt.date | None:
        """The first day of the month in which it is due."""
        return first_of(self.due.on) if self.due.on else None


# ---- months ----


def first_fiscal_month(program: Program, on: dt.date) -> int:
    """Return the month in which the program's fiscal year begins."""
    return policies(program, on)["fiscal_year_month"]


def year_at(program: Program, on: dt.date) -> int:
    """Return the fiscal year of a day."""
    return fiscal_year(on, first_month=first_fiscal_month(program, on))


def span_of(program: Program, year: int, today: dt.date) -> tuple[dt.date, dt.date]:
    """Return the first and the last day of a fiscal year."""
    return fiscal_span(year, first_month=first_fiscal_month(program, today))


def booked_months(program: Program) -> list[dt.date]:
    """Return the first day of each month in which something was booked, in order."""
    rows = Turnover.objects.filter(program=program).order_by("month")
    return list(rows.values_list("month", flat=True).distinct())


def shut_months(program: Program) -> dict[dt.date, ShutMonth]:
    """Return the months that are shut now."""
    rows = ShutMonth.objects.filter(program=program, opened_at=None).select_related("shut_by")
    return {row.month: row for row in rows}


def open_before(program: Program, month: dt.date) -> list[dt.date]:
    """Return the earlier months in which something was booked and which are not shut."""
    shut = shut_months(program)
    return [one for one in booked_months(program) if one < month and one not in shut]


def ticks(program: Program, month: dt.date) -> dict[StepKind, CloseStep]:
    """Return the lines of a month's list that stand ticked."""
    rows = CloseStep.objects.filter(program=program, month=month, undone_at=None)
    return {StepKind(row.kind): row for row in rows.select_related("by")}


def undone_ticks(program: Program, month: dt.date) -> list[CloseStep]:
    """Return the ticks that were taken back, in order."""
    rows = CloseStep.objects.filter(program=program, month=month, undone_at__isnull=False)
    return list(rows.select_related("by"))


def what_stands_against(program: Program, month: dt.date, today: dt.date) -> list[Problem]:
    """Return why a month can't be shut; empty when it can."""
    return in_the_way(
        month=month,
        today=today,
        ticked=ticks(program, month).keys(),
        open_before=open_before(program, month),
    )


def history(program: Program, month: dt.date) -> list[ShutMonth]:
    """Return each time the month was shut, newest first, with who opened it and why."""
    rows = ShutMonth.objects.filter(program=program, month=month)
    return list(rows.select_related("shut_by", "opened_by"))


def month_rows(program: Program, year: int, today: dt.date) -> list[MonthRow]:
    """Return the months of a fiscal year as they stand."""
    shut, booked = shut_months(program), booked_months(program)
    ticked: dict[dt.date, set[StepKind]] = defaultdict(set)
    for month, kind in CloseStep.objects.filter(program=program, undone_at=None).values_list(
        "month", "kind"
    ):
        ticked[month].add(StepKind(kind))
    found = []
    for month in months(*span_of(program, year, today)):
        earlier = [one for one in booked if one < month and one not in shut]
        against = in_the_way(month=month, today=today, ticked=ticked[month], open_before=earlier)
        state = _state(month, today, is_shut=month in shut, ready=not against)
        if state is MonthState.OPEN and month not in booked and not ticked[month]:
            state = MonthState.EMPTY
        found.append(
            MonthRow(month=month, state=state, ticked=len(ticked[month]), shut=shut.get(month))
        )
    return found


def _state(month: dt.date, today: dt.date, *, is_shut: bool, ready: bool) -> MonthState:
    if is_shut:
        return MonthState.SHUT
    if today < next_month(month):
        return MonthState.AHEAD
    return MonthState.READY if ready else MonthState.OPEN


# ---- duties ----


def duty_rows(program: Program, year: int, today: dt.date) -> list[DutyRow]:
    """Return the duties of a calendar year by day, those whose day only a paper names last."""
    rows = DutyDone.objects.filter(program=program, year=year, undone_at=None)
    done = {row.code: row for row in rows.select_related("by")}
    applies = {code: row.applies for code, row in done.items()}
    first = first_fiscal_month(program, today)
    catalogue = duties.year_of(duties.load(), year, first_month=first)
    known = [due for due in _known(program, year, today) if due.on and due.on.year == year]
    return [
        DutyRow(
            due=due,
            standing=duties.standing(due, today, applies),
            done=done.get(due.duty.code),
        )
        for due in duties.in_order([*catalogue, *known])
    ]


def next_duties(program: Program, today: dt.date) -> list[DutyRow]:
    """Return what is due within 30 days, or was within the last 90 and is not done, by day."""
    since, until = today - LATE, today + duties.SOON
    rows = [row for year in {since.year, until.year} for row in duty_rows(program, year, today)]
    return sorted(
        (
            row
            for row in rows
            if row.standing in (Standing.OVERDUE, Standing.SOON)
            and row.due.on
            and since <= row.due.on
        ),
        key=lambda row: (row.due.on or until, row.due.duty.code),
    )


def _known(program: Program, year: int, today: dt.date) -> Iterable[Due]:
    """Yield the duties whose day the program knows from its own rows."""
    for piece in Equipment.objects.filter(program=program, retired_on=None, due_on__year=year):
        duty = Duty(
            code=f"equipment-{piece.pk}",
            title=f"Inspect: {piece.name}",
            rule="shop",
            who="lead technician",
            how="Its day moves on the page of the shop, where the inspection is recorded.",
            source="The shop’s list of equipment",
        )
        page = reverse("shop:equipment_page", args=[piece.pk])
        yield Due(duty=duty, on=piece.due_on, page=page)
    for claim in due_claims(program, max(today, dt.date(year, 12, 31))):
        what = "report" if claim.report else "claim"
        duty = Duty(
            code=f"{what}-{claim.grant_id}-{claim.cycle.until_on}",
            title=f"Send the {what} for {claim.cycle.name}: {claim.name}",
            rule="grant",
            who="treasurer",
            source="The grant’s award letter, as recorded",
        )
        page = reverse("grants:grant_page", args=[claim.grant_id])
        yield Due(duty=duty, on=claim.due_on, page=page)
