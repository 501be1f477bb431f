"""Needs and supplies whose every field has a valid default; a test states what it is about."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

from sponsors.matching.compatibility import NeedLine, SupplyLine
from vehicles.repairs.fitment import Car, Fitment, Part, System

TODAY = date(2026, 11, 25)
WORK_DAY = date(2026, 12, 7)
FOCUS = Car(make="Ford", model="Focus", year=2012)


def make_part(kind: str = "alternator", system: System = System.CHARGING, **stated: Any) -> Part:
    facts = {"make": "Ford", "model": "Focus", "year_from": 2010, "year_to": 2014, **stated}
    return Part(kind=kind, system=system, fitment=Fitment(**facts))


def make_need(id_: int = 1, **fields: Any) -> NeedLine:
    part = Part(kind="alternator", system=System.CHARGING)
    need = NeedLine(
        id=id_, tier=2, opened_on=TODAY, needed_on=WORK_DAY, part=part, car=FOCUS, county="Bramwick"
    )
    return replace(need, **fields)


def make_supply(id_: int = 1, **fields: Any) -> SupplyLine:
    return replace(SupplyLine(id=id_, pledge_id=10 * id_, part=make_part()), **fields)
