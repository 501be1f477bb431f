"""Rows that break one rule each, from rows that break none."""

from __future__ import annotations

from copy import copy
from typing import TYPE_CHECKING, Any, TypeVar

from tests.factories import (
    make_consent,
    make_finding,
    make_intake,
    make_item,
    make_need,
    make_owner,
    make_reading,
)
from vehicles.models import Prerequisite

if TYPE_CHECKING:
    from django.db.models import Model

    from vehicles.models import Intake

ModelT = TypeVar("ModelT", bound="Model")


def unsaved(row: ModelT, **changes: Any) -> ModelT:
    """Return a copy of a row that is not saved yet, with some of its fields changed."""
    other = copy(row)
    other._state = copy(row._state)
    other.pk, other._state.adding = None, True
    for name, value in changes.items():
        setattr(other, name, value)
    return other


def full_stay() -> Intake:
    """Return a stay with something of everything."""
    stay = make_intake(consents=())
    reading = make_reading(intake=stay, criterion="tire-tread")
    finding = make_finding(intake=stay, reading=reading)
    item = make_item(intake=stay, findings=[finding])
    make_need(item=item)
    Prerequisite.objects.create(
        program=stay.program, item=item, first=make_item(intake=stay, title="Bulb")
    )
    make_consent(make_owner(stay), stay)
    return stay
