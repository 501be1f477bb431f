"""What the days are laid out from, as read from the rows."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.days.bookings import Place
from program.days.gathering import chosen_now, facts_now, gather
from program.days.hours import open_days
from program.models import Trouble
from shared.models import Person
from tests.factories import (
    TODAY,
    make_need,
    make_user,
)
from tests.program.days.garage import NUMBER, booked, make_car, make_garage, make_work, make_worker
from vehicles.models import Bay, Equipment, Prerequisite

if TYPE_CHECKING:
    import time_machine

    from program.days.gathering import Facts
    from program.models import Case
    from shared.models import Program
    from vehicles.models import RepairItem

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def told(program: Program, case: Case, *items: RepairItem, **fields: Any) -> Facts:
    return gather(
        program,
        chosen={case.number: [item.pk for item in items]},
        days=open_days(TODAY, 2),
        **fields,
    )


def trouble(program: Program, **fields: Any) -> Trouble:
    defaults = {"from_on": TODAY, "until_on": TODAY + dt.timedelta(days=1), "by": make_user()}
    return Trouble.objects.create(program=program, **defaults | fields)


def test_work_becomes_jobs_with_what_they_take() -> None:
    program, case = make_garage(), make_car(promised_on=TODAY)
    first = make_work(case, needs_lift=True, rest_minutes=30)
    then = make_work(case, title="Align", outside_days=2)
    Prerequisite.objects.create(program=program, item=then, first=first)
    facts = told(program, case, first, then)
    assert [(job.title, job.place) for job in facts.jobs] == [
        ("Front brakes", Place.LIFT),
        ("Align", Place.FLAT),
        ("Align", Place.AWAY),
        ("Road test", Place.NONE),
        ("Final inspection", Place.NONE),
    ]
    assert facts.jobs[0].skills == ("brakes", "lift")
    assert facts.jobs[1].after == (str(first.pk),)
    assert (facts.cars[0].weight, facts.cars[0].promised_on) == (8, TODAY)


def test_a_skill_to_learn_is_asked_for_only_where_somebody_holds_it() -> None:
    program, case = make_garage(), make_car()
    lamp = make_work(case, system="lights")
    assert told(program, case, lamp).jobs[0].skills == ("lights",)
    for person in facts_people(program):
        person.skills.filter(code="lights").delete()
    assert told(program, case, lamp).jobs[0].skills == ()


def facts_people(program: Program) -> Any:
    return Person.objects.filter(program=program)


def test_who_is_away_is_there_on_no_such_day() -> None:
    program, case = make_garage("Rosalind Amadi"), make_car()
    whole = told(program, case, make_work(case)).shop.people[0].shifts
    trouble(program, kind="person_away", person=facts_people(program).get())
    left = told(program, case).shop.people[0].shifts
    assert (len(whole), len(left)) == (10, 8)


def test_a_volunteer_without_a_waiver_is_not_there() -> None:
    program, case = make_garage("Rosalind Amadi"), make_car()
    tove = make_worker("Tove Lindgren", kind="volunteer")
    tove.credentials.filter(kind="waiver").update(until_on=TODAY)
    shifts = {person.name: len(person.shifts) for person in told(program, case).shop.people}
    assert shifts == {"Rosalind Amadi": 10, "Tove Lindgren": 1}


def test_nobody_under_18_holds_what_takes_an_adult() -> None:
    program, case = make_garage("Femi Oyelaran"), make_car()
    facts_people(program).update(born_on=dt.date(2008, 12, 2))
    [femi] = told(program, case).shop.people
    lift = next(held for held in femi.held if held.code == "lift")
    assert lift.from_on == dt.date(2026, 12, 2)


def test_a_lift_that_is_overdue_closes_its_bay_and_a_closed_bay_takes_nothing() -> None:
    program, case = make_garage(), make_car()
    one, two = program_bays(program)
    Equipment.objects.create(
        program=program, name="Lift", kind="lift", bay=one, due_on=TODAY - dt.timedelta(days=1)
    )
    trouble(program, kind="bay_closed", bay=two)
    bays = told(program, case).shop.bays
    assert [any(span.holds(TODAY) for span in bay.closed) for bay in bays] == [True, True]
    assert [any(s.holds(TODAY + dt.timedelta(days=2)) for s in b.closed) for b in bays] == [
        True,
        False,
    ]


def program_bays(program: Program) -> Any:
    return Bay.objects.filter(program=program).order_by("name")


def test_a_part_that_is_late_keeps_its_car_out_until_the_day_after() -> None:
    program, case = make_garage(), make_car()
    trouble(program, kind="part_late", case=case)
    assert told(program, case, make_work(case)).cars[0].kit_on == TODAY + dt.timedelta(days=2)


def test_a_part_on_its_way_is_there_on_its_day() -> None:
    program, case = make_garage(), make_car()
    item = make_work(case)
    make_need(item=item)
    assert told(program, case, item).cars[0].kit_on == TODAY + dt.timedelta(days=7)
    given = {case.number: TODAY}
    assert told(program, case, item, kit=given).cars[0].kit_on == TODAY


def test_what_is_booked_is_what_is_laid_out_again() -> None:
    program, case = make_garage(), make_car()
    item = make_work(case)
    booked(program)
    assert chosen_now(program) == {NUMBER: [item.pk]}
    case.closed_on = TODAY
    case.save()
    assert chosen_now(program) == {}


def test_the_same_moment_gives_the_same_facts_however_much_later(
    monday: time_machine.Traveller,
) -> None:
    program = make_garage()
    make_work(make_car())
    booked(program)
    now = dt.datetime(2026, 11, 30, 12, tzinfo=dt.UTC)
    before = facts_now(program, now).fingerprint
    monday.move_to("2026-11-30 20:00:00+00:00")
    assert facts_now(program, now).fingerprint == before
    trouble(program, kind="bay_closed", bay=program_bays(program)[0])
    assert facts_now(program, now).fingerprint != before


def test_what_has_begun_names_who_and_where_and_who_worked(
    monday: time_machine.Traveller,
) -> None:
    program, case = make_garage(), make_car()
    make_work(case, needs_lift=True)
    first = booked(program)[0]
    monday.move_to(first.begins_at + dt.timedelta(minutes=30))
    facts = facts_now(program, first.begins_at + dt.timedelta(minutes=30))
    begun = facts.jobs[0].begun
    assert begun is not None
    assert (begun.person_ids, begun.bay_id) == ((str(first.person_id),), str(first.bay_id))
    assert (facts.cars[0].worked, facts.cars[0].bay_id) == (
        (str(first.person_id),),
        str(first.bay_id),
    )


def test_many_cars_take_no_more_queries_than_one() -> None:
    program = make_garage()
    make_work(make_car("26-001"))
    with CaptureQueriesContext(connection) as one:
        facts_now(program, dt.datetime(2026, 11, 30, 12, tzinfo=dt.UTC))
    for number in range(3):
        make_work(make_car(f"26-01{number}"))
    booked(program)
    with CaptureQueriesContext(connection) as many:
        facts_now(program, dt.datetime(2026, 11, 30, 12, tzinfo=dt.UTC))
    assert len(many) <= len(one) + 8  # what is read only where something is booked
