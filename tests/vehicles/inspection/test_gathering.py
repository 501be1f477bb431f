"""A sheet put together: the car’s points, what stands, what no longer counts, what was before."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.utils import timezone

from shared.accounts.roles import RoleKind
from tests.factories import (
    make_finding,
    make_inspection,
    make_intake,
    make_item,
    make_reading,
    make_user,
    make_vehicle,
)
from vehicles.inspection.catalogue import load
from vehicles.inspection.depths import Depth
from vehicles.inspection.gathering import bare_point, points_at, sheet_of, sheet_with_point
from vehicles.models import Equipment, Intake, LocalLimit, NotRead, Regrade

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from vehicles.inspection.sheet import Sheet

pytestmark = pytest.mark.django_db
#: All points of a usual car of 2012, and those that take a tester which no shop has unlisted.
HERE, TESTERS = 280, 11


def today(stay: Intake) -> dt.date:
    return stay.program.today()


def read(stay: Intake, typed: str = "5", **fields: Any) -> Any:
    defaults = {"criterion": "tire-tread", "deficiency": "none", "read_on": today(stay)}
    return make_reading(intake=stay, typed=typed, **defaults | fields)


def point(sheet: Sheet, code: str, position: str) -> Any:
    return sheet.point(code, position)


def section(sheet: Sheet, code: str) -> Any:
    return sheet.section(code)


def test_a_new_sheet_is_all_unread_but_for_testers_the_shop_has_not(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    stay = make_intake()
    with django_assert_num_queries(8):
        sheet = sheet_of(stay)
    assert (sheet.depth, sheet.read, sheet.left) == (Depth.FULL, 0, HERE - TESTERS)
    assert sum(left for _, left, _ in sheet.groups) == sheet.left
    assert points_at(stay, Depth.FULL) == HERE


def test_the_number_of_queries_does_not_grow_with_what_was_read(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    stay = make_intake()
    for position in ("LF", "RF", "LR"):
        reading = read(stay, position=position, deficiency="dangerous")
        finding = make_finding(intake=stay, reading=reading)
        Regrade.objects.create(
            program=stay.program,
            finding=finding,
            was="major",
            becomes="dangerous",
            because="It is bald.",
            by=make_user(RoleKind.TECHNICIAN),
        )
    with django_assert_num_queries(8):
        changes = point(sheet_of(stay), "tire-tread", "LF").regrades
        assert len([str(row.by) for row in changes]) == 1
    with django_assert_num_queries(9):
        sheet_of(stay, Depth.FINAL)


def test_a_car_is_asked_only_for_what_it_has() -> None:
    drums = make_intake(vehicle=make_vehicle(rear_brakes="drum", fuel="electric"))
    sheet = sheet_of(drums)
    pads = section(sheet, "brake-pads")
    assert pads
    assert {point.position[:2] for point in pads.points} == {"LF", "RF"}
    gone = {missing.criterion.code: missing.because for missing in sheet.missing}
    assert "exhaust-fumes" in gone
    assert gone["rear-fog-lamp"] == "not fitted to cars built for the United States"


def test_only_readings_that_stand_on_this_stay_count() -> None:
    stay = make_intake()
    bad = read(stay, deficiency="dangerous")
    good = read(stay, position="RF")
    read(stay, criterion="horn", position="", replaced_at=timezone.now())
    read(make_intake(), position="LR")
    read(stay, position="roof")
    found = section(sheet_of(stay), "tire-tread")
    assert [one.reading for one in found.faults] == [bad]
    assert [one.reading for one in found.good] == [good]
    assert (found.left, found.is_paired) == (2, True)


def test_the_sheet_that_is_open_is_shown_else_the_last_one() -> None:
    stay = make_intake()
    look = make_inspection(stay, "look")
    assert sheet_of(stay).depth is Depth.LOOK
    assert sheet_of(stay).is_open
    look.ended_at = timezone.now()
    look.save()
    assert (sheet_of(stay).depth, sheet_of(stay).is_open) == (Depth.LOOK, False)
    make_inspection(stay, "final", odometer_mi=148_200)
    assert sheet_of(stay).depth is Depth.FINAL
    assert sheet_of(stay, Depth.FULL).depth is Depth.FULL


def test_the_look_and_the_full_sheet_fill_the_same_points_and_the_final_its_own() -> None:
    stay = make_intake()
    reading = read(stay)
    look, final = sheet_of(stay, Depth.LOOK), sheet_of(stay, Depth.FINAL)
    at = ("tire-tread", "LF")
    assert point(look, *at).reading == reading
    assert (point(final, *at).reading, point(final, *at).last) == (None, reading)


@pytest.mark.parametrize(
    ("days", "miles", "why"),
    [
        (0, 0, ""),
        (7, 50, ""),
        (8, 0, "The final readings are 8 days old; they are good for 7 days."),
        (1, 51, "The car ran 51 miles since the final readings; they are good for 50 miles."),
    ],
)
def test_final_readings_expire_by_days_and_miles(days: int, miles: int, why: str) -> None:
    stay = make_intake()
    now = timezone.now()
    first = now - dt.timedelta(days=days, hours=1)
    make_inspection(stay, "final", odometer_mi=148_200, begun_at=first, ended_at=now)
    day = today(stay) - dt.timedelta(days=days)
    reading = read(stay, final=True, read_on=day, recorded_at=first + dt.timedelta(minutes=5))
    make_inspection(stay, "final", odometer_mi=148_200 + miles)
    found = point(sheet_of(stay), "tire-tread", "LF")
    assert str(found.again or "") == why
    assert (found.reading or found.stale, found.seen_id) == (reading, reading.pk)
    assert found.in_words == ("read again" if why else "5/32 in")


def test_final_readings_expire_by_later_work_and_are_left_to_read() -> None:
    stay = make_intake()
    make_inspection(stay, "final", odometer_mi=148_200)
    read(stay, final=True, read_on=today(stay) - dt.timedelta(days=1))
    before = sheet_of(stay)
    make_item(intake=stay, state="done", done_on=today(stay))
    after = sheet_of(stay)
    assert str(section(after, "tire-tread").again) == "Work was done after the final readings."
    assert (before.read, after.read, after.left) == (1, 0, before.left + 1)


def test_what_was_read_on_earlier_stays_stands_beside_it() -> None:
    vehicle = make_vehicle()
    older = make_intake(
        vehicle=vehicle, arrived_on=dt.date(2026, 3, 2), left_on=dt.date(2026, 3, 9)
    )
    before = read(older, "7")
    stay = make_intake(vehicle=vehicle)
    found = point(sheet_of(stay), "tire-tread", "LF")
    assert (found.reading, found.last, found.last_in_words) == (None, before, "7/32 in")


def test_a_point_not_read_stays_unread_with_its_reason() -> None:
    stay, user = make_intake(), make_user(RoleKind.TECHNICIAN)
    NotRead.objects.create(
        program=stay.program, intake=stay, criterion="horn", because="Weather", by=user
    )
    sheet = sheet_of(stay)
    assert point(sheet, "horn", "").not_read.because == "Weather"
    assert sheet.left == HERE - TESTERS
    assert point(sheet_of(stay, Depth.FINAL), "horn", "").not_read is None


def test_another_reading_settles_a_point() -> None:
    stay = make_intake()
    code = load()["brake-efficiency"].settled_by[0]
    read(stay, "20", criterion=code, position="", unit="ft")
    found = section(sheet_of(stay), "brake-efficiency")
    assert (found.settled, found.in_the_way) == (True, False)


def test_equipment_on_the_list_is_there_unless_out_of_use() -> None:
    stay = make_intake()
    tester = Equipment.objects.create(
        program=stay.program, name="Exhaust gas analyzer", due_on=today(stay)
    )
    assert section(sheet_of(stay), "exhaust-gas").in_the_way
    tester.tagged_out = True
    tester.save()
    found = section(sheet_of(stay), "exhaust-gas")
    assert (found.in_the_way, found.lacked) == (
        False,
        [("exhaust gas analyzer", "out of use")],
    )


def test_a_local_limit_is_on_the_sheet_with_the_shipped_one() -> None:
    stay = make_intake()
    LocalLimit.objects.create(
        program=stay.program,
        criterion="tire-tread",
        reason="5.2.3 e.2",
        typed="4",
        since_on=today(stay),
        because="The state asks for more.",
        by=make_user(),
    )
    criterion = section(sheet_of(stay), "tire-tread").criterion
    assert (criterion.limits[0].value, criterion.shipped_limits[0].value) == (4, 2)


def test_a_point_is_found_on_the_sheet_that_has_it() -> None:
    stay = make_intake()
    make_inspection(stay, "final", odometer_mi=148_200)
    at = ("tire-tread", "LF")
    depths = [
        found[0].depth if (found := sheet_with_point(stay, at, final=final)) else None
        for final in (None, True, False)
    ]
    assert depths == [Depth.FINAL, Depth.FINAL, Depth.FULL]
    assert sheet_with_point(stay, ("tire-color", ""), final=None) is None
    assert sheet_with_point(stay, ("tire-color", ""), final=True) is None


def test_a_bare_point_is_one_that_this_car_has(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    stay = make_intake(vehicle=make_vehicle(rear_brakes="drum"))
    with django_assert_num_queries(1):
        found = bare_point(stay, "tire-tread", "LF")
    assert found
    assert (found.title, found.reading) == ("Tread depth, front left", None)
    places = [("brake-pads", "LR-inner"), ("rear-fog-lamp", ""), ("tire-color", ""), ("horn", "LF")]
    assert [bare_point(stay, *place) for place in places] == [None] * 4
