"""Rows of the program app for tests."""

from __future__ import annotations

import datetime as dt
from typing import Any

from program.models import Case, Entry, Fund, Household, Plan, Transfer
from tests.factories.shared import TODAY, make_address, make_program, numbers
from tests.factories.vehicles import make_vehicle


def make_household(**fields: Any) -> Household:
    """Return a household that waits, may be written to, and carries 8 points of need."""
    program = fields.pop("program", None) or make_program()
    defaults: dict[str, Any] = {
        "name": "Dana Haskell",
        "children": 2,
        "county": "Alder",
        "miles_per_week": 200,
        "stage": "waiting",
        "stage_since_on": TODAY - dt.timedelta(days=20),
        "safe_contact_on": TODAY - dt.timedelta(days=20),
        "need_weight": 8,
    }
    address = fields.pop("address", None) or make_address(program=program)
    return Household.objects.create(program=program, address=address, **defaults | fields)


def make_case(**fields: Any) -> Case:
    """Return an open case of a household and a vehicle in assessment, without a stay."""
    program = fields.pop("program", None) or make_program()
    household = fields.pop("household", None) or make_household(program=program)
    vehicle = fields.pop("vehicle", None) or make_vehicle(program=program)
    defaults = {
        "number": f"26-{next(numbers):03}",
        "opened_on": TODAY - dt.timedelta(days=20),
    }
    return Case.objects.create(
        program=program, household=household, vehicle=vehicle, **defaults | fields
    )


def make_fund(**fields: Any) -> Fund:
    """Return an open fund without donor restriction and without money."""
    number = next(numbers)
    defaults: dict[str, Any] = {
        "program": fields.get("program") or make_program(),
        "code": f"fund{number}",
        "name": f"General fund {number}",
        "opened_on": dt.date(2026, 1, 1),
    }
    return Fund.objects.create(**defaults | fields)


def make_entry(*transfers: tuple[str, str, int, Fund], **fields: Any) -> Entry:
    """Return an entry of transfers given as (debit, credit, cents, fund)."""
    program = fields.pop("program", None) or make_program()
    defaults = {"key": f"test:{next(numbers)}", "on": TODAY, "what": "Gift"}
    entry = Entry.objects.create(program=program, **defaults | fields)
    for debit, credit, cents, fund in transfers:
        Transfer.objects.create(
            program=program, entry=entry, debit=debit, credit=credit, cents=cents, fund=fund
        )
    return entry


def make_plan(**fields: Any) -> Plan:
    """Return a plan that was asked for and not yet computed."""
    defaults: dict[str, Any] = {
        "program": fields.get("program") or make_program(),
        "number": next(numbers),
        "first_week_on": TODAY,
        "weeks": 3,
    }
    return Plan.objects.create(**defaults | fields)
