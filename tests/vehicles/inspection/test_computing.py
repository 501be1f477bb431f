"""The facts of a report, put together from what stands about a stay."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shared.accounts.roles import RoleKind
from tests.factories import (
    make_finding,
    make_inspection,
    make_intake,
    make_limit,
    make_reading,
    make_user,
)
from vehicles.inspection.actions import record_not_read, record_reading
from vehicles.inspection.computing import report_of
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.grading import answer, regrade
from vehicles.inspection.reading import Missed, Typed
from vehicles.inspection.wording import spanish, speak
from vehicles.models import Intake, Reading

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from shared.models import User
    from vehicles.inspection.values import Report

pytestmark = pytest.mark.django_db


def technician(stay: Intake) -> User:
    return make_user(RoleKind.LEAD_TECHNICIAN, program=stay.program)


def read(stay: Intake, by: User, code: str, at: str, value: str, unit: str = "") -> Reading:
    typed = Typed(criterion=code, position=at, value=value, unit=unit)
    return record_reading(intake=stay, typed=typed, by=by)


def report(stay: Intake) -> Report:
    return report_of(Intake.objects.select_related("vehicle", "program").get(pk=stay.pk), "R-1-1")


def test_a_stay_without_readings_knows_nothing() -> None:
    one = report(make_intake())
    assert (one.read, one.wrong, one.looks, one.readers) == (0, (), (), ())
    assert one.left == one.total > 100
    assert one.odometer_mi == 148_190


def test_what_was_read_becomes_a_finding_with_its_grounds() -> None:
    stay = make_intake()
    by = technician(stay)
    reading = read(stay, by, "tire-tread", "LF", "1/32")
    [one] = report(stay).wrong
    assert (one.title, one.place, one.deficiency) == ("Tread depth", "front left", "dangerous")
    assert one.sentence == "1/32 in of tread, the limit is 2/32 in."
    assert (one.limit, one.us_reject, one.eu_class) == ("2/32 in", True, "dangerous")
    assert (one.source, one.text_seen) == (reading.source, reading.text_seen)
    assert (one.by, one.on) == (reading.read_by, reading.read_on)
    assert one.why == "Tread is below the legal minimum"


def test_a_local_limit_stands_beside_the_shipped_one() -> None:
    stay = make_intake()
    by = technician(stay)
    limit = make_limit(program=stay.program, by=by, since_on=stay.program.today())
    read(stay, by, "tire-tread", "LF", "3/32")
    [one] = report(stay).wrong
    assert (one.limit, one.shipped_limit, one.limit_because) == (
        "4/32 in",
        "2/32 in",
        limit.because,
    )
    assert speak(one.said, spanish()).startswith("3/32 pulg de dibujo")


def test_classes_that_people_set_are_told_with_their_people() -> None:
    stay = make_intake()
    by, other = technician(stay), technician(stay)
    reading = read(stay, by, "tire-tread", "LF", "1/32")
    row = regrade(
        reading=reading, becomes=DeficiencyClass.MINOR, because="Gauge slipped.", title="", by=by
    )
    assert report(stay).wrong[0].regrades[0].waits
    answer(regrade=row, agree=True, because="", by=other)
    [one] = report(stay).wrong
    assert (one.deficiency, one.eu_class) == ("minor", "dangerous")
    assert (one.regrades[0].by, one.regrades[0].second) == (str(by), str(other))
    assert one.regrades[0].applies


def test_findings_stand_worst_first_and_mended_ones_last() -> None:
    stay = make_intake()
    day = stay.program.today()
    make_finding(intake=stay, title="mended", cleared_on=day)
    make_finding(intake=stay, title="minor", deficiency="minor")
    make_finding(intake=stay, title="held", deficiency="minor", never_release=True)
    make_finding(intake=stay, title="danger")
    make_finding(intake=stay, title="strands", deficiency="none", strands=True)
    made = report(stay)
    assert [one.title for one in made.wrong] == ["danger", "held", "minor", "strands", "mended"]
    assert [one.title for one in made.closed] == ["mended"]


def test_a_point_not_read_says_why_and_is_not_good() -> None:
    stay = make_intake()
    missed = Missed(criterion="horn", because="Battery is out.")
    record_not_read(intake=stay, missed=missed, by=technician(stay))
    made = report(stay)
    [horn] = [one for one in made.skipped if one.title == "Horn"]
    assert (horn.because, horn.places) == ("Battery is out.", ())
    assert [texts for _, texts in made.good if "Horn" in texts] == []


def test_a_reason_without_a_class_is_no_good_reading() -> None:
    """Tires over ten years: maker advice, no class (common practice, no source)."""
    stay = make_intake()
    read(stay, technician(stay), "tire-age", "LF", "11")
    made = report(stay)
    assert [(one.title, one.place) for one in made.noted] == [("Tire age", "front left")]
    assert made.good == ()


def test_good_numbers_near_their_limit_and_uneven_pairs_are_told() -> None:
    stay = make_intake()
    by = technician(stay)
    read(stay, by, "brake-pads", "LF-inner", "3", "mm")
    read(stay, by, "brake-pads", "LF-outer", "8", "mm")
    made = report(stay)
    assert (
        "Full sheet, look under",
        ("Brake pads: front inner left 3 mm, front outer left 8 mm",),
    ) in (made.good)
    assert [(one.title, one.place) for one in made.near] == [("Brake pads", "front inner left")]
    assert str(made.pairs[0].sentence).startswith("5 mm between front left outer")


def test_a_look_alone_asks_only_for_its_own_points() -> None:
    stay, other = make_intake(), make_intake()
    make_inspection(stay, "look", odometer_mi=148_200)
    assert report(stay).total < report(other).total
    assert report(stay).odometer_mi == 148_200
    assert report(stay).looks[0].depth == "20-minute look"


def test_the_final_sheet_is_counted_beside_the_full_one() -> None:
    stay = make_intake()
    make_inspection(stay, "full", ended_at="2026-11-24T10:00Z", unread=3)
    full = report(stay).total
    make_inspection(stay, "final")
    made = report(stay)
    assert made.total > full
    assert [one.title for one in made.skipped if one.title == "Final sheet: Horn"] == [
        "Final sheet: Horn"
    ]


def test_a_stay_that_ended_still_has_its_report() -> None:
    stay = make_intake()
    stay.left_on = stay.program.today()
    stay.save()
    made = report(stay)
    assert made.ended_on == stay.left_on
    assert "Stay ended" in dict(made.facts)


def test_a_criterion_that_the_catalogue_dropped_keeps_its_finding() -> None:
    stay = make_intake()
    reading = make_reading(intake=stay, criterion="gone")
    make_finding(intake=stay, reading=reading, title="Gone: worn")
    [one] = report(stay).wrong
    assert (one.title, one.place, one.eu_class) == ("Gone: worn", "", None)
    assert str(one.said) == reading.sentence


def test_the_queries_do_not_grow_with_what_was_read(
    django_assert_max_num_queries: DjangoAssertNumQueries,
) -> None:
    stay = make_intake()
    by = technician(stay)
    for at in ("LF", "RF", "LR", "RR"):
        read(stay, by, "tire-tread", at, "1/32")
        read(stay, by, "tire-wear", at, "good")
    with django_assert_max_num_queries(20):
        report(stay)
