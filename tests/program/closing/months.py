"""Months of small books, gone through and shut."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from program.closing.actions import shut_month, tick_step
from program.closing.kinds import StepKind
from shared.accounts.roles import RoleKind
from tests.factories import make_entry, make_fund, make_program, make_user

if TYPE_CHECKING:
    from program.models import Fund, ShutMonth
    from shared.models import User

SEPTEMBER, OCTOBER, NOVEMBER = (date(2026, month, 1) for month in (9, 10, 11))
OPEN_YET = "Compared by hand."


def treasurer() -> User:
    return make_user(RoleKind.TREASURER)


def gift(month: date, cents: int = 100_00) -> Fund:
    """Return a fund that was given something in a month."""
    fund = make_fund()
    make_entry(("1010", "4010", cents, fund), on=month)
    return fund


def tick_all(month: date, by: User) -> None:
    """Tick every line of a month's list, with the reason where the books don't agree."""
    for kind in StepKind:
        tick_step(program=make_program(), month=month, kind=kind, note=OPEN_YET, by=by)


def shut(month: date, by: User) -> ShutMonth:
    """Go through a month and shut it."""
    tick_all(month, by)
    return shut_month(program=make_program(), month=month, by=by)
