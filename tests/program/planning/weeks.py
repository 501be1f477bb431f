"""A small program's rows, from which a plan can be gathered."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from program.planning.actions import ask_plan
from program.planning.jobs import compute_plan
from shared.policy.models import Policy
from tests.factories import (
    TODAY,
    make_able,
    make_bay,
    make_case,
    make_entry,
    make_fund,
    make_hours,
    make_household,
    make_intake,
    make_item,
    make_person,
    make_program,
    make_reading,
    make_vehicle,
)
from vehicles.custody.acts import Act

if TYPE_CHECKING:
    from program.models import Case, Fund, Plan
    from shared.models import Program
    from vehicles.models import RepairItem

CASH, GIFTS = "1010", "4010"
TUESDAY = "2026-12-01 15:00:00+00:00"  # in the first week of every plan made here


def make_shop(*, minutes: int = 1200, weeks: int = 3) -> Program:
    """Return a program with one bay and so many minutes in each week of one who may do it all."""
    program = make_program()
    make_bay(program=program, name="Bay 1")
    # The board keeps nothing back, so that every figure of a test is the test's own.
    Policy.objects.create(
        program=program, name="reserve_floor_cents", value=0, since_on=TODAY.replace(month=1, day=1)
    )
    person = make_able(make_person(program=program))
    for number in range(weeks):
        make_hours(
            person=person,
            minutes=minutes,
            week_on=TODAY.fromordinal(TODAY.toordinal() + 7 * number),
        )
    return program


def make_second() -> None:
    """Let a second person give hours who may do it all: the one who looks over the work."""
    second = make_able(make_person(name="Sten Voss"))
    for number in range(5):
        day = TODAY.fromordinal(TODAY.toordinal() + 7 * number)
        make_hours(person=second, minutes=600, week_on=day)


def make_money(cents: int = 100_000, **fields: Any) -> Fund:
    """Return a fund with so many cents in the bank."""
    fund = make_fund(**{"code": "GEN", "name": "general fund"} | fields)
    if cents:
        make_entry((CASH, GIFTS, cents, fund))
    return fund


def make_ready(number: str = "26-041", **fields: Any) -> Case:
    """Return a case whose car is here, was inspected, and may be repaired; without any item."""
    household = fields.pop("household", None) or make_household(
        name=fields.pop("name", "Dana Haskell"), need_weight=fields.pop("weight", 8)
    )
    vehicle = make_vehicle(step=fields.pop("step", "assessment"))
    case = make_case(number=number, household=household, vehicle=vehicle, **fields)
    make_reading(intake=make_intake(vehicle=vehicle, consents=(Act.REPAIR,)))
    return case


def stay_of(case: Case) -> Any:
    """Return the open stay of a case's car."""
    assert case.vehicle is not None
    return case.vehicle.intakes.get(left_on=None)


def make_work(case: Case, **fields: Any) -> RepairItem:
    """Return an open item of a case, with exact labor and 200 dollars of outside work."""
    defaults = {
        "title": "Two front tires",
        "labor_low_minutes": 60,
        "labor_likely_minutes": 60,
        "labor_high_minutes": 60,
        "sublet_cents": 20_000,
    }
    return make_item(intake=stay_of(case), **defaults | fields)


def computed(program: Program | None = None) -> Plan:
    """Return a plan that was asked for and computed."""
    plan = ask_plan(program=program or make_program(), by=None)
    write = compute_plan({"plan": plan.pk}, plan.program)
    assert write is not None
    write()
    plan.refresh_from_db()
    return plan
