"""Bays and equipment: what the database refuses, and what is out of use."""

from __future__ import annotations

import datetime as dt

import pytest

from tests.factories import TODAY, make_bay, make_program
from tests.refusals import assert_refused
from tests.vehicles.rows import unsaved
from vehicles.models import Equipment

pytestmark = pytest.mark.django_db
DAY = dt.timedelta(days=1)


def make_lift(**fields: object) -> Equipment:
    defaults = {"program": make_program(), "name": "Two-post lift", "due_on": TODAY}
    return Equipment.objects.create(**defaults | fields)


def test_a_bay_has_its_name_alone() -> None:
    assert_refused(
        unsaved(make_bay(name="Bay 1")), "bay_name_once", "There is a bay of this name already."
    )


def test_equipment_is_due_after_it_was_inspected() -> None:
    lift = make_lift(inspected_on=TODAY - DAY)
    assert_refused(
        unsaved(lift, inspected_on=TODAY),
        "equipment_due_after_inspection",
        "The next inspection is due after the last one.",
    )


def test_equipment_is_out_of_use_when_overdue_or_tagged_out() -> None:
    make_lift(name="Lift in date")
    overdue = make_lift(name="Jack", due_on=TODAY - DAY)
    tagged = make_lift(name="Stand", tagged_out=True)
    assert set(Equipment.objects.out_of_use(TODAY)) == {overdue, tagged}


def test_bay_and_equipment_go_by_their_names() -> None:
    assert (str(make_bay(name="Bay 2")), str(make_lift())) == ("Bay 2", "Two-post lift")
