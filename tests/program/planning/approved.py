"""A plan of two cars, and its approval."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from program.planning.actions import (
    approve_plan,
)
from program.planning.jobs import input_of
from tests.factories import make_user
from tests.program.planning.weeks import (
    make_money,
    make_ready,
    make_shop,
    make_work,
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
