"""Readings and findings: what the database refuses, what stands, and who sees it."""

from __future__ import annotations

import pytest
from django.utils import timezone

from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_program,
    make_reading,
    make_user,
)
from tests.refusals import assert_refused
from tests.vehicles.rows import unsaved
from vehicles.models import Finding, Reading

pytestmark = pytest.mark.django_db
CLASS = "This deficiency is not known to the program."
SEVERITY = "Severity is 1, 2, 3 or 4."


def test_a_reading_has_a_known_class() -> None:
    row = unsaved(make_reading(), position="RF", deficiency="bad")
    assert_refused(row, "reading_class_known", CLASS)


def test_a_reading_has_a_known_severity() -> None:
    row = unsaved(make_reading(), position="RF", severity=5)
    assert_refused(row, "reading_severity_known", SEVERITY)


def test_one_reading_of_a_point_stands() -> None:
    reading = make_reading()
    sentence = "Somebody else recorded this point meanwhile."
    assert_refused(unsaved(reading), "reading_one_stands", sentence)
    unsaved(reading, replaced_at=timezone.now()).save()


def test_a_finding_has_a_known_class() -> None:
    row = unsaved(make_finding(), deficiency="bad")
    assert_refused(row, "finding_class_known", CLASS)


def test_a_finding_has_a_known_severity() -> None:
    assert_refused(unsaved(make_finding(), severity=0), "finding_severity_known", SEVERITY)


def test_a_finding_is_never_its_own_cause() -> None:
    finding = make_finding()
    finding.caused_by = finding
    sentence = "A finding can't be its own cause."
    assert_refused(finding, "finding_never_its_own_cause", sentence)


def test_only_readings_that_nothing_replaced_stand() -> None:
    stands = make_reading()
    unsaved(stands, replaced_at=timezone.now()).save()
    assert list(Reading.objects.current()) == [stands]


def test_a_user_sees_the_readings_of_their_cars() -> None:
    user = make_user()
    seen = make_reading()
    make_reading(intake=make_intake(program=make_program(name="Weir Street Garage")))
    tied = make_reading()
    tied.intake.vehicle.withheld_from.add(user)
    assert list(Reading.objects.for_user(user)) == [seen]


def test_a_finding_is_open_until_cleared_or_withdrawn() -> None:
    open_one = make_finding()
    make_finding(cleared_on=TODAY)
    make_finding(withdrawn_because="The point was read again.")
    assert list(Finding.objects.open()) == [open_one]


def test_rows_say_what_they_are() -> None:
    assert str(make_reading()) == "1/32 in of tread, the limit is 2/32 in."
    assert str(make_finding()) == "Front tire: tread 1/32 in"
