"""The sheet: every point that a car here can have, and what is left of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.utils import timezone

from tests.factories import TODAY, make_finding, make_intake, make_reading
from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import Group
from vehicles.inspection.gathering import sheet_of
from vehicles.inspection.points import Point, place_of
from vehicles.inspection.queries import (
    criteria_of_sheet,
    open_findings,
    with_sheet_state,
)
from vehicles.models import Intake, Reading

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

TOTAL = sum(len(one.positions or ("",)) for one in load().criteria.values() if one.fitted_us)
HERE = TOTAL - 1  # the usual car is of 2012: one point is of cars up to 2000
ASKED = HERE - 11  # and takes equipment that a shop without any has not


def point(code: str, position: str, **fields: object) -> Point:
    reading = Reading(**{"deficiency": "none", "unit": "32nds"} | fields)
    return Point(criterion=load()[code], position=position, reading=reading)


@pytest.mark.parametrize(
    ("position", "place"),
    [
        ("LF", ("front", 0, True)),
        ("RR", ("rear", 1, True)),
        ("RF-lower", ("front lower", 1, True)),
        ("right", ("", 1, True)),
        ("rear-center", ("rear center", 0, False)),
        ("", ("", 0, False)),
    ],
)
def test_a_place_lies_in_a_line_of_the_car(position: str, place: tuple[str, int, bool]) -> None:
    assert place_of(position) == place


@pytest.mark.parametrize(
    ("position", "title"),
    [("RR", "Tread depth, rear right"), ("", "Tread depth")],
)
def test_a_point_is_named_with_its_place(position: str, title: str) -> None:
    assert Point(criterion=load()["tire-tread"], position=position).title == title


@pytest.mark.parametrize(
    ("code", "fields", "words"),
    [
        ("tire-tread", {"typed": "3"}, "3/32 in"),
        ("tire-tread", {"typed": "1.6", "unit": "mm"}, "1.6 mm"),
        ("tire-tread", {"typed": "1.6 mm", "unit": "mm"}, "1.6 mm"),
        ("tire-tread", {"typed": "3", "unit": ""}, "3"),
        ("tire-pressure", {"typed": "20", "unit": "percent"}, "20%"),
        ("brake-rotor", {"typed": "0.9 min 0.88", "unit": "in"}, "0.9 in"),
        ("stop-lamps", {"typed": "Good", "unit": ""}, "good"),
        ("stop-lamps", {"typed": "4.3.1 a.2", "unit": "", "deficiency": "major"}, "major"),
        ("stop-lamps", {"typed": "4.3.1 a.2", "unit": ""}, "noted"),
    ],
)
def test_a_reading_is_short_on_its_button(code: str, fields: dict[str, str], words: str) -> None:
    assert point(code, "LF", **fields).in_words == words


def test_a_point_without_a_reading_says_so() -> None:
    assert Point(criterion=load()["horn"]).in_words == "not read"


def test_what_is_not_fitted_here_is_not_on_the_sheet() -> None:
    codes = [criterion.code for criterion in criteria_of_sheet()]
    assert "rear-fog-lamp" not in codes
    assert len(codes) == sum(one.fitted_us for one in load().criteria.values())


def test_the_sheet_goes_round_the_car_then_in_then_under() -> None:
    groups = [criterion.group for criterion in criteria_of_sheet()]
    assert groups == sorted(groups, key=list(Group).index)


@pytest.mark.django_db
def test_a_new_sheet_is_all_unread(django_assert_num_queries: DjangoAssertNumQueries) -> None:
    stay = make_intake()
    with django_assert_num_queries(8):
        sheet = sheet_of(stay)
    assert (sheet.read, sheet.left, sheet.total) == (0, ASKED, ASKED)
    assert sum(left for _, left, _ in sheet.groups) == ASKED


@pytest.mark.django_db
def test_only_readings_that_stand_on_this_stay_are_counted() -> None:
    stay = make_intake()
    bad = make_reading(intake=stay, criterion="tire-tread", position="LF")
    good = make_reading(intake=stay, criterion="tire-tread", position="RF", deficiency="none")
    make_reading(intake=stay, criterion="horn", position="", replaced_at=timezone.now())
    make_reading(criterion="tire-tread", position="LR")
    make_reading(intake=stay, criterion="tire-tread", position="roof")
    sheet = sheet_of(stay)
    section = sheet.section("tire-tread")
    assert section
    assert [one.reading for one in section.faults] == [bad]
    assert [one.reading for one in section.good] == [good]
    assert (section.left, sheet.left, section.is_paired) == (2, ASKED - 2, True)


@pytest.mark.django_db
def test_a_reading_that_strands_the_car_is_a_fault_without_a_class() -> None:
    stay = make_intake()
    make_reading(intake=stay, criterion="horn", position="", deficiency="none", strands=True)
    section = sheet_of(stay).section("horn")
    assert section
    assert (len(section.faults), section.good, section.is_paired) == (1, [], False)


@pytest.mark.django_db
def test_left_and_right_lie_side_by_side_and_others_alone() -> None:
    section = sheet_of(make_intake()).section("tire-age")
    assert section
    lines = [
        (row.label, [one.position if one else None for one in row.points]) for row in section.rows
    ]
    assert lines == [
        ("front", ["LF", "RF"]),
        ("rear", ["LR", "RR"]),
        ("spare", ["spare"]),
    ]


@pytest.mark.django_db
def test_a_point_and_a_section_that_there_are_not_are_none() -> None:
    sheet = sheet_of(make_intake())
    assert (sheet.point("tire-tread", "roof"), sheet.section("rear-fog-lamp")) == (None, None)


@pytest.mark.django_db
def test_the_next_unread_point_comes_after_this_one_or_from_the_start() -> None:
    stay = make_intake()
    make_reading(intake=stay, criterion="tire-tread", position="RF")
    sheet = sheet_of(stay)
    first, last = sheet.point("tire-tread", "LF"), list(sheet.points)[-1]
    assert first
    following = sheet.next_unread(first)
    assert following
    assert (following.position, sheet.next_unread(last)) == ("LR", first)


@pytest.mark.django_db
def test_on_a_sheet_all_read_nothing_follows() -> None:
    stay = make_intake()
    for criterion in criteria_of_sheet():
        for position in criterion.positions or ("",):
            make_reading(intake=stay, criterion=criterion.code, position=position)
    sheet = sheet_of(stay)
    assert (sheet.left, sheet.next_unread(next(sheet.points))) == (0, None)


@pytest.mark.django_db
def test_a_list_of_stays_knows_what_is_left_and_the_worst_open_class(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    stay, fresh = make_intake(), make_intake()
    make_reading(intake=stay, criterion="tire-tread", position="LF")
    make_reading(intake=stay, criterion="tire-tread", position="RF")
    make_reading(intake=stay, criterion="horn", position="", replaced_at=timezone.now())
    make_reading(intake=stay, criterion="older-catalogue", position="")
    make_finding(intake=stay, deficiency="minor")
    make_finding(intake=stay, deficiency="major")
    make_finding(intake=stay, deficiency="dangerous", cleared_on=TODAY)
    with django_assert_num_queries(1):
        rows = list(with_sheet_state(Intake.objects.order_by("pk")))
    names = ("pk", "read", "left", "worst")
    assert [tuple(getattr(row, name) for name in names) for row in rows] == [
        (stay.pk, 2, HERE - 2, 2),
        (fresh.pk, 0, HERE, 0),
    ]


@pytest.mark.django_db
def test_open_findings_stand_worst_first() -> None:
    stay = make_intake()
    minor = make_finding(intake=stay, deficiency="minor")
    dangerous = make_finding(intake=stay, deficiency="dangerous")
    also_minor = make_finding(intake=stay, deficiency="minor")
    make_finding(intake=stay, cleared_on=TODAY)
    make_finding()
    assert open_findings(stay) == [dangerous, minor, also_minor]
