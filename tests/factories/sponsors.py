"""Rows of the sponsors app for tests."""

from __future__ import annotations

import datetime as dt
from typing import Any

from shared.accounts.roles import RoleKind
from sponsors.models import Contact, Pledge, Sponsor, Supply
from sponsors.pledges.states import SupplySource, SupplyState
from tests.factories.shared import TODAY, make_address, make_program, make_user, numbers


def make_sponsor(**fields: Any) -> Sponsor:
    """Return a sponsor that may be written to."""
    program = fields.pop("program", None) or make_program()
    defaults: dict[str, Any] = {
        "name": f"Larkspur Radiator Shop {next(numbers)}",
        "town": "Bramwick",
        "since_on": dt.date(2024, 1, 1),
    }
    address = fields.pop("address", None) or make_address(program=program)
    return Sponsor.objects.create(program=program, address=address, **defaults | fields)


def make_contact(**fields: Any) -> Contact:
    """Return a user with the role of sponsor who signs in for a sponsor."""
    sponsor = fields.pop("sponsor", None) or make_sponsor()
    user = fields.pop("user", None) or make_user(RoleKind.SPONSOR, program=sponsor.program)
    return Contact.objects.create(program=sponsor.program, sponsor=sponsor, user=user)


def make_pledge(**fields: Any) -> Pledge:
    """Return a pledge of one radiator that fits a 2009 to 2013 Corolla, with its unit of supply."""
    sponsor = fields.pop("sponsor", None) or make_sponsor()
    defaults = {
        "program": sponsor.program,
        "kind": "radiator",
        "title": "Radiator, Toyota Corolla 2009 to 2013",
        "system": "cooling",
        "fitment": {"make": "Toyota", "model": "Corolla", "year_from": 2009, "year_to": 2013},
        "quantity": 1,
        "pledged_on": TODAY - dt.timedelta(days=3),
    }
    pledge = Pledge.objects.create(sponsor=sponsor, **defaults | fields)
    for number in range(1, pledge.quantity + 1):
        make_supply(pledge=pledge, number=number)
    return pledge


def make_supply(**fields: Any) -> Supply:
    """Return one unit: of the given pledge, or a radiator on the shelf."""
    pledge = fields.get("pledge")
    defaults = {
        "program": pledge.program if pledge else make_program(),
        "kind": pledge.kind if pledge else "radiator",
        "title": pledge.title if pledge else "Radiator",
        "system": pledge.system if pledge else "cooling",
        "fitment": pledge.fitment if pledge else {},
        "source": SupplySource.PLEDGE if pledge else SupplySource.SHELF,
        "state": SupplyState.PLEDGED if pledge else SupplyState.ON_SHELF,
        "expires_on": pledge.expires_on if pledge else None,
    }
    return Supply.objects.create(**defaults | fields)
