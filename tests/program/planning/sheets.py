"""A week with a car that goes home, one that lacks money, one that needs a person."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.planning.sheet import week_sheet
from tests.factories import make_need, make_supply
from tests.program.planning.weeks import (
    computed,
    make_money,
    make_ready,
    make_shop,
    make_work,
)

if TYPE_CHECKING:
    from program.planning.sheet import WeekSheet


def week() -> WeekSheet:
    """Return a week: one car goes home, one lacks money, one needs a person."""
    make_shop()
    make_money(50_000)
    need = make_need(item=make_work(make_ready("26-041", name="Dana Haskell")), quantity=2)
    make_supply(fitment=need.fitment)
    make_work(make_ready("26-042", name="Karl Iverson", weight=4), sublet_cents=60_000)
    held = make_ready("26-043", name="Lan Nguyen")
    assert held.household is not None
    held.household.stage = "deciding"
    held.household.save()
    return week_sheet(computed())
