"""Rows of wheels for tests."""

from __future__ import annotations

from typing import Any

from shared.accounts.roles import RoleKind
from tests.factories import make_intake, make_user
from tests.vehicles.shop.rows import make_piece
from vehicles.models import Equipment, WheelTorque


def make_wrench(**fields: Any) -> Equipment:
    """Return a torque wrench in date."""
    return make_piece(
        **{"name": "Torque wrench, 1/2 in", "kind": "torque_wrench", "bay": None} | fields
    )


def make_torque(**fields: Any) -> WheelTorque:
    """Return all wheels of a stay, torqued to 80 lb-ft with a wrench in date."""
    stay = fields.pop("intake", None) or make_intake()
    wrench = fields.pop("wrench", None) or make_wrench(program=stay.program)
    by = fields.pop("by", None) or make_user(RoleKind.TECHNICIAN)
    defaults: dict[str, Any] = {"foot_pounds": 80, "wrench_due_on": wrench.due_on}
    return WheelTorque.objects.create(
        program=stay.program, intake=stay, wrench=wrench, by=by, **defaults | fields
    )
