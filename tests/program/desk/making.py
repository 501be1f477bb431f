"""A ready plan as the planner writes it, for pages that read one."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from django.utils import timezone

from program.planning.outcome import FundUse, Home, Outcome, Stay, Wait, WeekUse
from program.planning.plan import Plan as Planned
from tests.factories import make_plan

if TYPE_CHECKING:
    from program.cases.models import Case
    from program.planning.models import Plan


def make_outcome(home: Case, held: Case | None = None) -> Outcome:
    """Return an outcome that sends one case home, and holds another."""
    monday = home.program.today() - dt.timedelta(days=home.program.today().weekday())
    days = {"first_on": monday, "last_on": monday + dt.timedelta(days=2)}
    waits = (
        (Wait(case_id=held.number, name="x", need_weight=3, lacks="A person.", held=True),)
        if held
        else ()
    )
    going = Home(
        case_id=home.number,
        name="x",
        work="Tires",
        need_weight=8,
        start_on=monday,
        from_on=monday + dt.timedelta(days=2),
        by_on=monday + dt.timedelta(days=4),
    )
    fund = FundUse(
        code="GEN",
        name="general fund",
        free_cents=100_000,
        kept_cents=20_000,
        plan_cents=12_345,
        set_aside_cents=5_000,
    )
    return Outcome(
        plan=Planned(cases=(), stages=()),
        homes=(going,),
        waits=waits,
        stays=(Stay(case_id=home.number, bay="Bay 1", **days),),
        weeks=(WeekUse(starts_on=monday, minutes_there=600, minutes_used=540),),
        funds=(fund,),
    )


def make_ready_plan(home: Case, held: Case | None = None, **fields: Any) -> Plan:
    """Return a computed plan that nobody has approved."""
    outcome = make_outcome(home, held)
    defaults = {
        "state": "ready",
        "result": outcome.to_json(),
        "computed_at": timezone.now(),
        "first_week_on": outcome.weeks[0].starts_on,
    }
    return make_plan(**defaults | fields)
