"""Rows that break one rule each, from rows that break none."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING, Any, TypeVar

from tests.factories import TODAY, make_finding, make_intake, make_item, make_need, make_reading
from vehicles.models import Consent, Intake, Owner, Prerequisite

if TYPE_CHECKING:
    from django.db.models import Model

ModelT = TypeVar("ModelT", bound="Model")


def unsaved(row: ModelT, **changes: Any) -> ModelT:
    """Return a copy of a row that is not saved yet, with some of its fields changed."""
    other = copy(row)
    other._state = copy(row._state)
    other.pk, other._state.adding = None, True
    for name, value in changes.items():
        setattr(other, name, value)
    return other


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


def full_stay() -> Intake:
    """Return a stay with something of everything."""
    stay = make_intake()
    reading = make_reading(intake=stay, criterion="tire-tread")
    finding = make_finding(intake=stay, reading=reading)
    item = make_item(intake=stay, findings=[finding])
    make_need(item=item)
    Prerequisite.objects.create(
        program=stay.program, item=item, first=make_item(intake=stay, title="Bulb")
    )
    make_consent(make_owner(stay), stay)
    return stay
