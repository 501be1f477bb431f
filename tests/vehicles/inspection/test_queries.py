"""Limits in force, equipment that the shop lacks, what is left of many stays at once."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.utils import timezone

from shared.accounts.roles import RoleKind
from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_item,
    make_limit,
    make_program,
    make_reading,
    make_user,
    make_vehicle,
)
from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import Group
from vehicles.inspection.gathering import sheet_of
from vehicles.inspection.queries import (
    all_limits,
    barriers,
    catalogue_of,
    criteria_of_sheet,
    lacking_equipment,
    last_inspection,
    last_work_on,
    open_findings,
    with_sheet_state,
)
from vehicles.models import Equipment, Inspection, Intake

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

pytestmark = pytest.mark.django_db
TOTAL = sum(
    len(one.positions or ("",))
    for one in load().criteria.values()
    if one.fitted_us and not one.detail_of
)
HERE = TOTAL - 1  # the usual car is of 2012: one point is of cars up to 2000


def tread(on: dt.date) -> int:
    return int(catalogue_of(make_program(), on)["tire-tread"].limits[0].value)


def test_what_is_not_fitted_here_is_not_on_the_sheet() -> None:
    codes = [criterion.code for criterion in criteria_of_sheet()]
    assert "rear-fog-lamp" not in codes
    assert len(codes) == sum(one.fitted_us for one in load().criteria.values())


def test_the_sheet_goes_round_the_car_then_in_then_under() -> None:
    groups = [criterion.group for criterion in criteria_of_sheet()]
    assert groups == sorted(groups, key=list(Group).index)


def test_a_local_limit_counts_from_its_day_until_it_ends(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    make_limit(ended_on=TODAY + dt.timedelta(days=9))
    days = [TODAY + dt.timedelta(days=days) for days in (-1, 0, 8, 9)]
    assert [tread(day) for day in days] == [2, 4, 4, 2]
    program = make_program()
    with django_assert_num_queries(1):
        catalogue_of(program, TODAY)


def test_the_limit_of_another_program_counts_for_nothing_here() -> None:
    make_program()
    other = make_program(name="Weir Street Garage")
    make_limit(program=other, by=make_user(program=other))
    assert tread(TODAY) == 2


@pytest.mark.parametrize(
    "fields",
    [
        {"criterion": "tire-color"},
        {"reason": "of an older catalogue"},
        {"typed": "bald"},
        {"typed": "99"},
    ],
)
def test_a_limit_that_no_longer_fits_the_catalogue_is_left_out_and_said(
    fields: dict[str, str],
) -> None:
    make_limit(**fields)
    assert tread(TODAY) == 2
    assert [line.fits for line in all_limits(make_program())] == [False]


def test_the_limits_stand_beside_what_is_shipped_those_that_count_first() -> None:
    ended = make_limit(since_on=dt.date(2026, 1, 5), ended_on=TODAY)
    now = make_limit()
    lines = all_limits(make_program())
    assert [line.row for line in lines] == [now, ended]
    assert (lines[0].title, lines[0].shipped, lines[0].fits) == ("Tread depth", "< 2/32 in", True)


def test_a_shop_has_its_hand_tools_and_lacks_testers_that_it_does_not_list() -> None:
    program = make_program()
    lacking = lacking_equipment(program, TODAY)
    assert lacking["brake tester"] == "not on the list of equipment"
    assert "tread depth gauge" not in lacking
    Equipment.objects.create(program=program, name="Brake tester, plate", due_on=TODAY)
    Equipment.objects.create(
        program=program, name="Torque wrench, 1/2 in", due_on=TODAY, tagged_out=True
    )
    after = lacking_equipment(program, TODAY)
    assert ("brake tester" in after, after["torque wrench"]) == (False, "out of use")
    assert lacking_equipment(program, TODAY + dt.timedelta(days=1))["brake tester"] == "out of use"


def test_the_inspection_that_is_open_goes_before_the_one_begun_last() -> None:
    now = timezone.now()
    ended, still = Inspection(ended_at=now), Inspection()
    assert last_inspection([still, ended]) is still
    assert last_inspection([ended]) is ended
    assert last_inspection([]) is None


def test_work_was_last_done_on_the_latest_day() -> None:
    stay = make_intake()
    assert last_work_on(stay) is None
    make_item(intake=stay, state="done", done_on=TODAY, title="Pads")
    make_item(intake=stay, state="done", done_on=TODAY - dt.timedelta(days=1), title="Hose")
    assert last_work_on(stay) == TODAY


def test_a_list_of_stays_knows_what_is_left_and_the_worst_open_class(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    stay, fresh = make_intake(), make_intake()
    make_reading(intake=stay, criterion="tire-tread", position="LF")
    make_reading(intake=stay, criterion="tire-tread", position="RF")
    make_reading(intake=stay, criterion="tire-tread", position="LF", final=True)
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


CARS = [
    {},
    {"year": 1999, "fuel": "gasoline"},
    {"year": 1960},
    {"fuel": "electric", "power_brakes": True},
    {"fuel": "diesel", "power_brakes": False, "rear_brakes": "drum"},
    {"fuel": "hybrid", "front_brakes": "disc", "rear_brakes": "disc"},
    {"fuel": "plug_in", "front_brakes": "drum"},
]


@pytest.mark.parametrize("car", CARS)
def test_the_list_counts_the_same_points_as_the_sheet(car: dict[str, Any]) -> None:
    stay = make_intake(vehicle=make_vehicle(**car))
    settles = load()["brake-efficiency"].settled_by[0]
    make_reading(intake=stay, criterion="tire-tread", position="LF")
    for code in (settles, "steering-lash-18"):
        make_reading(intake=stay, criterion=code, position="")
    lacking = lacking_equipment(stay.program, stay.program.today())
    row: Any = with_sheet_state(Intake.objects.all(), lacking).get()
    sheet = sheet_of(stay)
    assert (row.read, row.left) == (sheet.read, sheet.left)


def test_consent_and_people_bar_from_recording() -> None:
    able, stranger = make_user(RoleKind.TECHNICIAN), make_user(first_name="Imke", last_name="R")
    assert barriers(make_intake(), able, TODAY) == []
    assert barriers(make_intake(), stranger, TODAY) == [
        "Imke R is not on the list of people who work in the shop."
    ]
    assert len(barriers(make_intake(consents=()), able, TODAY)) == 1


def test_open_findings_stand_worst_first() -> None:
    stay = make_intake()
    minor = make_finding(intake=stay, deficiency="minor")
    dangerous = make_finding(intake=stay, deficiency="dangerous")
    also_minor = make_finding(intake=stay, deficiency="minor")
    make_finding(intake=stay, cleared_on=TODAY)
    make_finding()
    assert open_findings(stay) == [dangerous, minor, also_minor]
