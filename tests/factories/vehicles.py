"""Rows of the vehicles app for tests."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

from shared.accounts.roles import RoleKind
from tests.factories.shared import TODAY, make_program, make_user, numbers
from vehicles.codes.trouble_codes import decode
from vehicles.custody.acts import Act
from vehicles.intake.vin import check_digit
from vehicles.models import (
    Bay,
    CodeScan,
    Condition,
    Consent,
    Content,
    Finding,
    Inspection,
    Intake,
    KeyTag,
    LocalLimit,
    Need,
    Owner,
    Reading,
    RepairItem,
    Standing,
    Tow,
    TroubleCode,
    Vehicle,
)

LONG_AGO = dt.date(2020, 1, 1)  # whatever the clock says, a consent of that day is in force


def make_bay(**fields: Any) -> Bay:
    """Return an open bay without a lift."""
    defaults: dict[str, Any] = {
        "program": fields.get("program") or make_program(),
        "name": f"Bay {next(numbers)}",
    }
    return Bay.objects.create(**defaults | fields)


def make_vin() -> str:
    """Return a VIN that nobody else has and whose check digit is right; the maker is invented."""
    draft = f"1ZZAA00A0B0{next(numbers):06}"
    return draft[:8] + check_digit(draft) + draft[9:]


def make_vehicle(**fields: Any) -> Vehicle:
    """Return a 2012 Toyota Corolla, in assessment."""
    step = fields.pop("step", "assessment")
    defaults: dict[str, Any] = {
        "program": fields.get("program") or make_program(),
        "vin": make_vin(),
        "vin_note": "invented",
        "year": 2012,
        "make": "Toyota",
        "model": "Corolla",
    }
    vehicle = Vehicle.objects.create(**defaults | fields)
    Condition.objects.create(program=vehicle.program, vehicle=vehicle, step=step)
    return vehicle


def make_owner(stay: Intake, name: str = "Dana Haskell", **fields: Any) -> Owner:
    """Return an owner whom the title names."""
    defaults = {"kind": "title", "paper_seen_on": TODAY}
    return Owner.objects.create(
        program=stay.program, vehicle=stay.vehicle, name=name, **defaults | fields
    )


def make_consent(owner: Owner, stay: Intake, act: str = "repair", **fields: Any) -> Consent:
    """Return a consent given on `TODAY`."""
    defaults = {"given_on": TODAY}
    return Consent.objects.create(
        program=stay.program, intake=stay, owner=owner, act=act, **defaults | fields
    )


def make_intake(**fields: Any) -> Intake:
    """Return an open stay that began a week before `TODAY`; its owner said yes to all.

    `consents` are the acts to which the owner said yes; without any, nobody is known as owner.
    """
    consents = fields.pop("consents", tuple(Act))
    program = fields.get("program") or make_program()
    vehicle = fields.pop("vehicle", None) or make_vehicle(program=program)
    defaults: dict[str, Any] = {
        "program": vehicle.program,
        "arrived_on": TODAY - dt.timedelta(days=7),
        "complaint": "It grinds when I brake.",
        "odometer_mi": 148_190,
        "miles_per_week": 200,
    }
    stay = Intake.objects.create(vehicle=vehicle, **defaults | fields)
    if consents:
        owner = stay.vehicle.owners.filter(kind="title").first() or make_owner(stay)
        Consent.objects.bulk_create(
            Consent(program=stay.program, intake=stay, owner=owner, act=act, given_on=LONG_AGO)
            for act in consents
        )
    return stay


def make_standing(stay: Intake, **fields: Any) -> Standing:
    """Return answers by which nothing stands against the car."""
    defaults = {
        "paper": "title",
        "joined": "any",
        "lien": "none",
        "hold": "none",
        "stolen": "no",
        "papers_agree": True,
        "asked_on": TODAY,
        "asked_by": fields.pop("asked_by", None) or make_user(),
    }
    return Standing.objects.create(program=stay.program, intake=stay, **defaults | fields)


def make_key_tag(stay: Intake, **fields: Any) -> KeyTag:
    """Return two keys under a tag of their own, on a hook."""
    defaults = {"tag": f"K{next(numbers)}", "keys": 2, "holder": "Hook 3"}
    return KeyTag.objects.create(program=stay.program, intake=stay, **defaults | fields)


def make_content(stay: Intake, **fields: Any) -> Content:
    """Return a child seat that lies in the car."""
    defaults = {
        "client_key": uuid4(),
        "kind": "child_seat",
        "what": "Child seat",
        "listed_on": TODAY,
        "by": fields.pop("by", None) or make_user(),
    }
    return Content.objects.create(program=stay.program, intake=stay, **defaults | fields)


def make_tow(stay: Intake, **fields: Any) -> Tow:
    """Return a tow that brought the car, paid by the program."""
    defaults = {
        "direction": "in",
        "kind": "flatbed",
        "hauler": "Weir Street Towing",
        "from_place": "Mill Road",
        "to_place": "14 Osier Street",
        "on": TODAY,
        "payer": "program",
        "by": fields.pop("by", None) or make_user(),
        "client_key": uuid4(),
    }
    return Tow.objects.create(program=stay.program, intake=stay, **defaults | fields)


def _judged(**fields: Any) -> dict[str, Any]:
    defaults = {
        "system": "tires",
        "deficiency": "dangerous",
        "severity": 1,
        "us_reject": True,
        "reason_key": "5.2.3 e.2",
        "sentence": "1/32 in of tread, the limit is 2/32 in.",
        "source": "49 CFR 570.9(a)",
    }
    return defaults | fields


def make_reading(**fields: Any) -> Reading:
    """Return a tread reading of 1/32 in, as it was judged."""
    intake = fields.pop("intake", None) or make_intake()
    defaults = {
        "program": intake.program,
        "criterion": "tire-tread-min",
        "position": "LF",
        "typed": "1",
        "unit": "32nds",
        "catalogue_version": "test",
        "read_on": TODAY,
        "read_by": "R. Amadi",
    }
    return Reading.objects.create(intake=intake, **defaults | _judged(**fields))


def make_finding(**fields: Any) -> Finding:
    """Return a dangerous finding: tread below the limit."""
    intake = fields.pop("intake", None) or make_intake()
    defaults = {
        "program": intake.program,
        "title": "Front tire: tread 1/32 in",
        "found_on": TODAY,
        "found_by": "R. Amadi",
    }
    return Finding.objects.create(intake=intake, **defaults | _judged(**fields))


def make_inspection(stay: Intake, depth: str = "full", **fields: Any) -> Inspection:
    """Return an inspection of a stay that goes on, in the hands of one user."""
    user = fields.pop("user", None) or make_user(RoleKind.TECHNICIAN, program=stay.program)
    defaults = {"program": stay.program, "depth": depth, "begun_by": user, "hands": user}
    return Inspection.objects.create(intake=stay, **defaults | fields)


def make_scan(stay: Intake, codes: str = "", **fields: Any) -> CodeScan:
    """Return a reading of the codes named, each confirmed; without any, of all modules."""
    scan = CodeScan.objects.create(
        **{
            "program": stay.program,
            "intake": stay,
            "pasted": codes,
            "complete": not codes,
            "battery_volts": "12.6",
            "by": fields.pop("by", None) or make_user(),
        }
        | fields
    )
    TroubleCode.objects.bulk_create(
        TroubleCode(
            program=stay.program,
            scan=scan,
            code=one,
            storage="confirmed",
            meaning=decode(one).meaning,
            severity=decode(one).severity or "",
        )
        for one in codes.split()
    )
    return scan


def make_limit(**fields: Any) -> LocalLimit:
    """Return a stricter limit for tread, 4/32 in from `TODAY` on."""
    defaults = {
        "program": fields.get("program") or make_program(),
        "criterion": "tire-tread",
        "reason": "5.2.3 e.2",
        "typed": "4/32 in",
        "since_on": TODAY,
        "because": "The state asks for more.",
        "by": fields.get("by") or make_user(),
    }
    return LocalLimit.objects.create(**defaults | fields)


def make_item(**fields: Any) -> RepairItem:
    """Return an open item of one hour that clears the given findings."""
    intake = fields.pop("intake", None) or make_intake()
    findings = fields.pop("findings", [])
    defaults = {
        "program": intake.program,
        "title": "Two front tires",
        "system": "tires",
        "labor_low_minutes": 40,
        "labor_likely_minutes": 60,
        "labor_high_minutes": 90,
        "tier": 0,
        "points": 160,
    }
    item = RepairItem.objects.create(intake=intake, **defaults | fields)
    item.findings.set(findings)
    return item


def make_need(**fields: Any) -> Need:
    """Return an open need: one radiator for a 2012 Toyota Corolla, $120.00 if bought."""
    item = fields.pop("item", None) or make_item(system="cooling", title="Radiator")
    defaults = {
        "program": item.program,
        "kind": "radiator",
        "title": "Radiator",
        "system": "cooling",
        "fitment": {"make": "Toyota", "model": "Corolla", "year_from": 2009, "year_to": 2013},
        "car": {"year": 2012, "make": "Toyota", "model": "Corolla"},
        "price_low_cents": 10_000,
        "price_cents": 12_000,
        "price_high_cents": 16_000,
        "approved_text": "A radiator for a family's sedan.",
        "opened_on": TODAY,
    }
    return Need.objects.create(item=item, **defaults | fields)
