"""A small garage's rows, with a car whose work is booked."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from django.utils import timezone

from program.days.actions import book
from program.days.day_board import lay_out
from program.days.gathering import gather
from program.days.hours import open_days
from program.models import Case
from tests.factories import (
    TODAY,
    make_able,
    make_bay,
    make_case,
    make_hours,
    make_household,
    make_intake,
    make_item,
    make_person,
    make_program,
    make_vehicle,
)

if TYPE_CHECKING:
    from program.models import Booking
    from shared.models import Person, Program
    from vehicles.models import RepairItem

NUMBER = "26-043"


def make_garage(*names: str) -> Program:
    """Return the program with a lift, a flat bay, and people who are there for two weeks."""
    program = make_program()
    make_bay(name="Bay 1", has_lift=True)
    make_bay(name="Bay 2")
    for name in names or ("Rosalind Amadi", "Sten Voss"):
        make_worker(name)
    return program


def make_worker(name: str, **fields: Any) -> Person:
    """Return somebody who may do everything, 40 hours in each of two weeks."""
    person = make_able(make_person(name=name, **fields))
    for number in range(2):
        make_hours(person=person, week_on=TODAY + dt.timedelta(weeks=number), minutes=2400)
    return person


def make_car(number: str = NUMBER, **fields: Any) -> Case:
    """Return a case whose car is here."""
    vehicle = make_vehicle(step="assessment")
    household = make_household(name=fields.pop("name", "Dana Haskell"))
    case = make_case(number=number, household=household, vehicle=vehicle, **fields)
    make_intake(vehicle=vehicle)
    return case


def make_work(case: Case, **fields: Any) -> RepairItem:
    """Return an hour of open work on a car."""
    assert case.vehicle is not None
    defaults = {"title": "Front brakes", "system": "brakes"}
    return make_item(intake=case.vehicle.intakes.get(), **defaults | fields)


def booked(program: Program, cause: str = "plan:1") -> list[Booking]:
    """Return the bookings of all open work, laid out and booked."""
    chosen = {}
    for case in Case.objects.filter(program=program):
        assert case.vehicle is not None
        chosen[case.number] = [item.pk for item in case.vehicle.intakes.get().items.open()]
    facts = gather(program, chosen=chosen, days=open_days(program.today(), 2), now=timezone.now())
    board = lay_out(facts.cars, facts.jobs, facts.shop)
    return book(program=program, cause=cause, rows=board.slots, by=None)
