"""Bays and equipment: what the database refuses, and what is out of use."""

from __future__ import annotations

import datetime as dt
from uuid import uuid4

import pytest

from tests.factories import TODAY, make_bay, make_program
from tests.refusals import assert_refused
from tests.vehicles.rows import unsaved
from vehicles.models import BayClosure, Equipment, EquipmentInspection, Space

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


def test_equipment_has_a_kind_that_the_program_knows() -> None:
    assert_refused(
        unsaved(make_lift(), kind="ramp"),
        "equipment_kind_known",
        "This kind is not known to the program.",
    )


@pytest.mark.parametrize("months", [0, 121])
def test_equipment_is_inspected_from_monthly_to_every_ten_years(months: int) -> None:
    assert_refused(
        unsaved(make_lift(), interval_months=months),
        "equipment_interval_possible",
        "Inspections are 1 to 120 months apart.",
    )


def make_inspection(**fields: object) -> EquipmentInspection:
    defaults = {"program": make_program(), "on": TODAY, "by_name": "Fenwick Lift Service"}
    return EquipmentInspection.objects.create(equipment=make_lift(), **defaults | fields)


def test_an_inspection_is_recorded_once() -> None:
    row = make_inspection(client_key=uuid4())
    assert_refused(
        unsaved(row),
        "inspection_of_equipment_once",
        "This inspection is on record already.",
    )


def test_the_next_inspection_is_due_after_this_one() -> None:
    assert_refused(
        unsaved(make_inspection(), next_due_on=TODAY),
        "inspection_of_equipment_due_later",
        "The next inspection is due after this one.",
    )


def test_a_closure_ends_on_its_first_day_at_the_earliest() -> None:
    row = BayClosure.objects.create(
        program=make_program(), bay=make_bay(), from_on=TODAY, until_on=TODAY, reason="Paint"
    )
    assert_refused(
        unsaved(row, until_on=TODAY - DAY),
        "closure_days_in_order",
        "The last day closed is not before the first.",
    )


def test_a_space_has_its_name_alone() -> None:
    space = Space.objects.create(program=make_program(), name="Space 1")
    assert_refused(unsaved(space), "space_name_once", "There is a space of this name already.")


def test_rows_of_the_shop_name_themselves() -> None:
    row = make_inspection()
    closure = BayClosure(bay=make_bay(name="Bay 9"), reason="Paint")
    assert [str(one) for one in (row, closure, Space(name="Space 2"))] == [
        f"Two-post lift, {TODAY}",
        "Bay 9: Paint",
        "Space 2",
    ]


def test_equipment_is_out_of_use_when_overdue_or_tagged_out() -> None:
    make_lift(name="Lift in date")
    overdue = make_lift(name="Jack", due_on=TODAY - DAY)
    tagged = make_lift(name="Stand", tagged_out=True)
    assert set(Equipment.objects.out_of_use(TODAY)) == {overdue, tagged}


def test_bay_and_equipment_go_by_their_names() -> None:
    assert (str(make_bay(name="Bay 2")), str(make_lift())) == ("Bay 2", "Two-post lift")
