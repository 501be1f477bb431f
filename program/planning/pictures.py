"""The plan's pictures: which car stands in which bay, and what each fund has left."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from program.planning.problem import OPEN_DAYS
from shared import boards
from shared.charts import Chart, FundBar, fund_bars
from shared.dates import DAYS_A_WEEK

if TYPE_CHECKING:
    from collections.abc import Mapping

    from program.planning.sheet import WeekSheet


def open_days(sheet: WeekSheet) -> list[dt.date]:
    """Return the days on which the shop is open, to the end of the plan or of its last stay."""
    mondays = (sheet.first_on + dt.timedelta(days=n) for n in range(0, _span(sheet), DAYS_A_WEEK))
    return [monday + dt.timedelta(days=day) for monday in mondays for day in range(OPEN_DAYS)]


def _span(sheet: WeekSheet) -> int:
    last_on = max([sheet.last_on, *(stay.last_on for stay in sheet.stays)])
    return (last_on - sheet.first_on).days + 1


def households(sheet: WeekSheet) -> dict[str, str]:
    """Return the last name of each household that gets its car, by case number."""
    return {row.number: row.household.split()[-1] for row in sheet.homes if row.household}


def bay_board(sheet: WeekSheet, names: Mapping[str, str]) -> Chart:
    """Return the weeks and bays as a picture; `names` stand beside the numbers of the cases."""
    days = open_days(sheet)
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
