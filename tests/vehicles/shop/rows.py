"""Rows of the shop for tests."""

from __future__ import annotations

import datetime as dt
from typing import Any

from tests.factories import make_bay, make_program
from vehicles.models import Equipment

DAY = dt.timedelta(days=1)


def today() -> dt.date:
    return make_program().today()


def make_piece(**fields: Any) -> Equipment:
    """Return a lift that was inspected a month ago and stops a bay of its own."""
    program = fields.pop("program", None) or make_program()
    defaults: dict[str, Any] = {
        "name": "Two-post lift",
        "kind": "lift",
        "inspected_on": program.today() - 30 * DAY,
        "due_on": program.today() + 300 * DAY,
    }
    if "bay" not in fields:
        defaults["bay"] = make_bay(program=program, has_lift=True)
    return Equipment.objects.create(program=program, **defaults | fields)
