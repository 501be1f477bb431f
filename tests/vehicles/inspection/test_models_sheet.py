"""Inspections, points not read, set classes and local limits: what the database refuses."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.utils import timezone

from tests.factories import (
    TODAY,
    make_finding,
    make_inspection,
    make_intake,
    make_limit,
    make_user,
)
from tests.refusals import assert_refused
from tests.vehicles.rows import unsaved
from vehicles.models import Inspection, NotRead, Regrade

pytestmark = pytest.mark.django_db
CLASS = "This becomes is not known to the program."


def not_read(**fields: Any) -> NotRead:
    stay = make_intake()
    defaults = {"program": stay.program, "intake": stay, "criterion": "horn", "by": make_user()}
    return NotRead.objects.create(**{"because": "Weather or light"} | defaults | fields)


def regrade(**fields: Any) -> Regrade:
    finding = make_finding()
    defaults = {"program": finding.program, "finding": finding, "was": "dangerous"}
    others = {"becomes": "minor", "because": "The gauge.", "by": make_user(), "waits": True}
    return Regrade.objects.create(**defaults | others | fields)


def test_an_inspection_has_a_known_depth() -> None:
    row = unsaved(make_inspection(make_intake()), depth="deep")
    assert_refused(row, "inspection_depth_known", "This depth is not known to the program.")


def test_one_inspection_of_a_depth_is_open() -> None:
    row = make_inspection(make_intake())
    assert_refused(unsaved(row), "inspection_one_open", "This sheet is open already.")
    unsaved(row, ended_at=timezone.now()).save()
    assert list(Inspection.objects.open()) == [row]


def test_why_a_point_is_not_read_stands_once() -> None:
    row = not_read()
    sentence = "Somebody said already why this point is not read."
    assert_refused(unsaved(row), "not_read_said_once", sentence)
    unsaved(row, lifted_at=timezone.now()).save()


def test_a_class_is_set_to_one_that_is_known() -> None:
    assert_refused(unsaved(regrade(), waits=False, becomes="bad"), "regrade_class_known", CLASS)


def test_a_class_is_set_for_something() -> None:
    row = unsaved(regrade(), finding=None)
    sentence = "A class is set for a reading or a finding."
    assert_refused(row, "regrade_of_something", sentence)


def test_a_class_is_lowered_by_two_people() -> None:
    row = regrade()
    row.second = row.by
    sentence = "The second person has to be somebody else."
    assert_refused(row, "regrade_second_is_another", sentence)


def test_one_change_of_a_class_waits() -> None:
    sentence = "A change of this class waits for its second person."
    assert_refused(unsaved(regrade()), "regrade_one_waits", sentence)


def test_a_local_limit_is_set_once_a_day() -> None:
    sentence = "This limit is set for that day already."
    assert_refused(unsaved(make_limit()), "local_limit_once_a_day", sentence)


def test_a_local_limit_never_ends_before_it_begins() -> None:
    row = make_limit()
    row.ended_on = TODAY - dt.timedelta(days=1)
    sentence = "A limit can't end before it begins."
    assert_refused(row, "local_limit_dates_in_order", sentence)


def test_rows_say_what_they_are() -> None:
    row = make_inspection(make_intake())
    assert str(row) == f"Full sheet, {row.intake}"
    assert str(not_read()) == "Weather or light"
    assert str(regrade()) == "dangerous to minor"
    assert str(make_limit()) == "tire-tread, 5.2.3 e.2: 4/32 in"
