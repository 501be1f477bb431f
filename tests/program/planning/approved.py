"""A plan of two cars, and its approval."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from program.models import PlannedCase
from program.planning.actions import (
    approve_plan,
)
from program.planning.jobs import input_of
from tests.factories import make_user
from tests.program.planning.weeks import (
    computed,
    make_money,
    make_ready,
    make_shop,
    make_work,
    stay_of,
)

if TYPE_CHECKING:
    from program.models import Plan
    from shared.models import Program


def shop_with_two_cars() -> Program:
    """Return a shop that can pay for both of its cars: 200 dollars each."""
    program = make_shop()
    make_work(make_ready("26-041", name="Dana Haskell", weight=8))
    make_work(make_ready("26-042", name="Lan Nguyen", weight=5))
    make_money()
    return program


def approve(plan: Plan, **fields: Any) -> Plan:
    now = fields.pop("now", None) or input_of(plan)
    return approve_plan(plan=plan, now=now, by=fields.pop("by", None) or make_user())


def promised() -> Plan:
    """Return an approved plan of two cars, both promised for last Friday."""
    shop_with_two_cars()
    plan = approve(computed())
    today = plan.program.today()
    days = {
        "home_from_on": today - dt.timedelta(days=5),
        "home_by_on": today - dt.timedelta(days=3),
    }
    PlannedCase.objects.update(**days)
    return plan


def leaves(planned: PlannedCase, days: int) -> None:
    """Let a car go home so many days after the day promised."""
    stay = stay_of(planned.case)
    stay.left_on = planned.home_by_on + dt.timedelta(days=days)
    stay.arrived_on = planned.home_from_on - dt.timedelta(days=9)
    stay.save()
