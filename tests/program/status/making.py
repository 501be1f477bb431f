"""A case with everything that its household's page tells."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from django.utils import timezone

from program.planning.models import PlannedCase
from tests.factories import (
    TODAY,
    make_address,
    make_case,
    make_household,
    make_intake,
    make_item,
    make_need,
    make_plan,
    make_user,
    make_vehicle,
)

if TYPE_CHECKING:
    from program.cases.models import Case
    from program.planning.models import Plan


def make_told_case(step: str = "repair", **address: Any) -> Case:
    """Return a case in repair with a dangerous item, and a lacking part, open."""
    household = make_household(
        stage="being_served", address=make_address(email="ana@bramwick.example", **address)
    )
    vehicle = make_vehicle(step=step, plate="ABC 123")
    case = make_case(household=household, vehicle=vehicle)
    item = make_item(intake=make_intake(vehicle=vehicle, consents=()))
    make_need(item=item)
    return case


def make_approved_plan(*cases: Case, **fields: Any) -> Plan:
    """Return an approved plan that sends the cases home within days."""
    approved = {"approved_at": timezone.now(), "approved_by": make_user()}
    plan = make_plan(state="approved", **approved | fields)
    day = plan.program.today()
    for case in cases:
        PlannedCase.objects.create(
            program=plan.program,
            plan=plan,
            case=case,
            start_week_on=TODAY,
            home_from_on=day + dt.timedelta(days=2),
            home_by_on=day + dt.timedelta(days=4),
        )
    return plan
