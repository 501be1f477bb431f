"""Rows of the shared app for tests."""

from __future__ import annotations

import datetime as dt
import itertools
from typing import Any
from uuid import uuid4

from shared.accounts.roles import RoleKind
from shared.models import (
    AccessLink,
    Address,
    Credential,
    Person,
    Program,
    Role,
    Skill,
    User,
    WeekHours,
)
from shared.outbox.contact import Channel, MaySay
from shared.people.kinds import PaperKind
from vehicles.shop.systems import System

LONG_AGO = dt.date(2020, 1, 1)
TODAY = dt.date(2026, 11, 30)  # a Monday

numbers = itertools.count(1)


def make_program(**fields: Any) -> Program:
    """Return the one program, made at its first use; with fields, a program of its own."""
    if not fields and (there := Program.objects.order_by("pk").first()):
        return there
    defaults: dict[str, Any] = {
        "name": "Osier Street Garage",
        "town": "Bramwick",
        "region": "OH",
        "postal_address": "14 Osier Street, Bramwick, OH 43999",
        "phone": "555-0100",
        "email": "desk@osier-street.example",
        "time_zone": "America/New_York",
    }
    return Program.objects.create(**defaults | fields)


def make_user(
    role: RoleKind | None = RoleKind.COORDINATOR, *, person: bool = True, **fields: Any
) -> User:
    """Return a user who holds one role since 2020 (none for None).

    A technician is also a person of the shop who may do everything, unless `person` is False.
    """
    number = next(numbers)
    program = fields.pop("program", None) or make_program()
    defaults = {"username": f"user{number}", "first_name": "Imke", "last_name": f"Rasmus {number}"}
    user = User(program=program, **defaults | fields)
    user.set_unusable_password()
    user.save()
    if role:
        Role.objects.create(program=program, user=user, kind=role, since_on=LONG_AGO)
    if person and role in (RoleKind.TECHNICIAN, RoleKind.LEAD_TECHNICIAN):
        make_able(make_person(program=program, user=user, name=str(user)))
    return user


def make_address(**fields: Any) -> Address:
    """Return a mail address that may be told how things go."""
    defaults: dict[str, Any] = {
        "program": fields.get("program") or make_program(),
        "channel": Channel.EMAIL,
        "email": f"person{next(numbers)}@bramwick.example",
        "says": MaySay.PROGRESS,
    }
    return Address.objects.create(**defaults | fields)


def make_link(purpose: str, **fields: Any) -> AccessLink:
    """Return a private link that has neither expired nor been taken back."""
    defaults = {"program": fields.get("program") or make_program(), "public_id": uuid4()}
    return AccessLink.objects.create(purpose=purpose, **defaults | fields)


def make_person(**fields: Any) -> Person:
    """Return a paid technician who works at book pace and always comes."""
    defaults: dict[str, Any] = {
        "program": fields.get("program") or make_program(),
        "name": "Rosalind Amadi",
        "kind": "paid",
    }
    return Person.objects.create(**defaults | fields)


def make_able(person: Person) -> Person:
    """Give a person an age, every skill and every paper, and return them."""
    person.born_on = dt.date(1980, 5, 1)
    person.save()
    row: dict[str, Any] = {"program": person.program, "person": person, "since_on": LONG_AGO}
    codes = (*System, "lift", "road_test", "sign_off", "high_voltage", "refrigerant")
    Skill.objects.bulk_create(Skill(code=code, **row) for code in codes)
    Credential.objects.bulk_create(Credential(kind=kind, **row) for kind in PaperKind)
    return person


def make_hours(**fields: Any) -> WeekHours:
    """Return 20 hours of one person in the week of `TODAY`."""
    defaults: dict[str, Any] = {
        "program": fields.get("program") or make_program(),
        "week_on": TODAY,
        "minutes": 1200,
    }
    person = fields.pop("person", None) or make_person(program=defaults["program"])
    return WeekHours.objects.create(person=person, **defaults | fields)
