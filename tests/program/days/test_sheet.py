"""The days as a page shows them."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.days.sheet import DaysSheet, Line, days_sheet, monday_of, trouble_in_words
from program.days.states import BookingKind
from program.models import Trouble
from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_bay, make_hours, make_person, make_user
from tests.program.days.garage import booked, make_car, make_garage, make_work

if TYPE_CHECKING:
    from shared.models import Program, User

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]

NOON = dt.datetime.combine(TODAY, dt.time(12))


def sheet(user: User, program: Program) -> DaysSheet:
    return days_sheet(user, program, TODAY, TODAY)


def line(**fields: Any) -> Line:
    defaults: dict[str, Any] = {
        "case": "26-043",
        "title": "Head gasket",
        "kind": BookingKind.WORK,
        "bay": "Bay 1",
        "person": "Sten Voss",
        "begins_at": NOON,
        "ends_at": NOON + dt.timedelta(hours=2),
    }
    return Line(**defaults | fields)


def test_each_day_lists_what_begins_on_it() -> None:
    program = make_garage()
    make_work(make_car())
    booked(program)
    found = sheet(make_user(), program)
    assert [len(day.lines) for day in found.days] == [3, 0, 0, 0, 0]
    assert [day.is_today for day in found.days] == [True, False, False, False, False]
    assert found.knows_me is False


def test_somebody_of_the_shop_sees_their_own_next_work() -> None:
    program = make_garage("Rosalind Amadi")
    user = make_user(RoleKind.TECHNICIAN)
    make_hours(person=user.person, minutes=2400)
    make_work(make_car())
    booked(program)
    found = sheet(user, program)
    assert found.knows_me
    assert {line.person for line in found.mine} == {str(user)}
    assert found.mine[0].car_url.startswith("/cars/")


def test_a_week_takes_as_many_queries_for_three_cars_as_for_one() -> None:
    program, user = make_garage(), make_user()
    make_work(make_car("26-001"))
    booked(program)
    with CaptureQueriesContext(connection) as one:
        sheet(user, program)
    for number in range(2):
        make_work(make_car(f"26-01{number}"))
    booked(program, "plan:2")
    with CaptureQueriesContext(connection) as three:
        sheet(user, program)
    assert len(one) == len(three)


def test_a_line_says_from_when_to_when() -> None:
    assert line().time == "12:00 PM to 2:00 PM"
    assert line(ends_at=NOON + dt.timedelta(days=1)).time == "12:00 PM to Tue 12:00 PM"
    midnight = dt.datetime.combine(TODAY + dt.timedelta(days=2), dt.time())
    away = line(kind=BookingKind.AWAY, ends_at=midnight)
    assert (away.time, away.what) == ("until Tuesday, December 1", "Away: Head gasket")


def test_each_trouble_is_a_sentence() -> None:
    user, case = make_user(), make_car()
    item = make_work(case)
    base: dict[str, Any] = {"program": user.program, "by": user, "from_on": TODAY}
    rows = [
        Trouble(**base, kind="person_away", person=make_person(), until_on=TODAY),
        Trouble(**base, kind="bay_closed", bay=make_bay(name="Bay 7"), until_on=TODAY),
        Trouble(**base, kind="part_late", case=case, until_on=TODAY),
        Trouble(**base, kind="ran_over", case=case, item=item, minutes=45, until_on=TODAY),
    ]
    assert [str(trouble_in_words(row)) for row in rows] == [
        "Rosalind Amadi is away from Monday, November 30 until Monday, November 30.",
        "Bay 7 is closed from Monday, November 30 until Monday, November 30.",
        "A part for 26-043 is not there until Monday, November 30.",
        "26-043: “Front brakes” takes 45 minutes more.",
    ]


def test_an_address_names_its_week() -> None:
    assert monday_of("2026-12-03", TODAY) == TODAY
    assert monday_of("", TODAY + dt.timedelta(days=4)) == TODAY
    with pytest.raises(ValueError, match="is not a date"):
        monday_of("soon", TODAY)
