"""The plan's pictures: which car stands in which bay, and what each fund has left."""

from __future__ import annotations

import datetime as dt
from itertools import chain
from typing import TYPE_CHECKING

from program.planning.problem import OPEN_DAYS
from shared import boards
from shared.charts import Chart, FundBar, fund_bars
from shared.dates import add_weeks

if TYPE_CHECKING:
    from program.planning.models import Plan
    from program.planning.sheet import WeekSheet


def open_days(plan: Plan) -> list[dt.date]:
    """Return the days of a plan on which the shop is open."""
    mondays = (add_weeks(plan.first_week_on, number) for number in range(plan.weeks))
    return list(
        chain.from_iterable(
            (monday + dt.timedelta(days=day) for day in range(OPEN_DAYS)) for monday in mondays
        )
    )


def bay_board(plan: Plan, sheet: WeekSheet) -> Chart:
    """Return the weeks and bays as a picture."""
    days = open_days(plan)
    names = {row.number: row.household.split()[-1] for row in sheet.homes}
    stays = [
        boards.Stay(
            bay=stay.bay,
            first=days.index(stay.first_on),
            days=days.index(stay.last_on) - days.index(stay.first_on) + 1,
            label=f"{stay.case_id} {names.get(stay.case_id, '')}".strip(),
            short=stay.case_id.partition("-")[2],
        )
        for stay in sheet.stays
    ]
    return boards.board(days, sorted({stay.bay for stay in stays}), stays)


def fund_picture(sheet: WeekSheet) -> Chart:
    """Return the funds as bars: set aside before, this plan, left."""
    return fund_bars(
        [
            FundBar(
                name=fund.name[:1].upper() + fund.name[1:],
                set_aside=fund.set_aside_cents,
                this_plan=fund.plan_cents,
                left=fund.left_cents,
            )
            for fund in sheet.funds
        ]
    )
