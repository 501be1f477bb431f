"""Wheel torques and the lot, as the database holds them."""

from __future__ import annotations

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_intake, make_item, make_program, make_user
from tests.vehicles.shop.rows import DAY, today
from tests.vehicles.wheels.rows import make_torque, make_wrench
from vehicles.models import Intake, Space
from vehicles.wheels import queries
from vehicles.wheels.torque import Torque

pytestmark = pytest.mark.django_db


def stand(stay: Intake, place: str, mobility: str = "drives", step: str = "assessment") -> None:
    condition = stay.vehicle.condition
    condition.place, condition.mobility, condition.step = place, mobility, step
    condition.save()


def test_torques_are_of_the_day_it_was_where_the_program_is() -> None:
    late = dt.datetime(2026, 12, 1, 2, 0, tzinfo=dt.UTC)  # the evening before in New York
    row = make_torque(at=late, pattern="LF RR", odometer_mi=9, voided_because="Wrong")
    assert queries.torques(row.intake) == [
        Torque(id=row.pk, on=TODAY, wheels=("LF", "RR"), odometer_mi=9, void=True)
    ]
    assert list(queries.torque_rows(row.intake)) == [row]


def test_the_last_work_on_wheels_is_the_last_done_job_that_took_one_off() -> None:
    stay = make_intake()
    jobs = (
        ("brakes", "wheels_lf", 3),
        ("tires", "", 2),
        ("steering", "steering_wheel", 1),
        ("lights", "", 0),
    )
    for system, access, ago in jobs:
        make_item(
            intake=stay, system=system, access=access, state="done", done_on=TODAY - ago * DAY
        )
    make_item(intake=stay, system="wheels")
    assert queries.last_wheel_work_on(stay) == TODAY - 2 * DAY
    assert queries.last_wheel_work_on(make_intake()) is None


def test_a_release_is_told_what_the_wheels_lack() -> None:
    stay = make_intake()
    assert [problem.where for problem in queries.torque_problems(stay)] == ["torque"]
    make_torque(intake=stay)
    assert queries.torque_problems(stay) == ()


def test_wrenches_in_date_come_first_and_retired_ones_not_at_all() -> None:
    late = make_wrench(name="Late", due_on=today() - DAY)
    tagged = make_wrench(name="Bent", tagged_out=True)
    good = make_wrench()
    make_wrench(name="Gone", retired_on=today())
    assert list(queries.wrenches(make_program())) == [good, late, tagged]


def test_the_lot_holds_the_cars_in_care_and_takes_three_queries() -> None:
    dead, away, gone = make_intake(), make_intake(), make_intake(left_on=today())
    stand(dead, "Space 1", "dead")
    stand(away, "Hask Machine Shop", "dead", "sublet")
    stand(gone, "Space 1", "drives", "handed_back")
    program = make_program()
    Space.objects.create(program=program, name="Space 1", takes_dead=True)
    day = today()
    with CaptureQueriesContext(connection) as seen:
        lot = queries.lot_of(program, day)
    assert len(seen) == 3
    assert [(car.id, car.rolls) for car in lot.standing["Space 1"]] == [(dead.pk, False)]
    assert (lot.dead, lot.dead_taken, lot.elsewhere) == (1, 1, ())


def test_a_car_that_is_withheld_from_somebody_has_no_name_for_them() -> None:
    user, stay = make_user(RoleKind.TECHNICIAN), make_intake()
    stay.vehicle.withheld_from.add(user)
    [car] = queries.lot_of(make_program(), today(), user).elsewhere
    assert (car.label, car.id) == ("another car", 0)
    [car] = queries.lot_of(make_program(), today()).elsewhere
    assert (car.label, car.id) == ("2012 Toyota Corolla", stay.pk)
