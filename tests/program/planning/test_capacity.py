from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from program.planning.capacity import SPACES, capacity
from shared.people.may import SIGN_OFF, work_on
from shared.people.models import Credential, Skill
from tests.factories import TODAY, make_able, make_bay, make_hours, make_person, make_program
from tests.program.planning.weeks import make_ready, make_shop
from vehicles.custody.models import Condition
from vehicles.shop.models import Space

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from program.planning.capacity import Capacity
    from shared.people.models import Person

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]

GROUPS = {"brakes": (work_on("brakes"),), "final": (SIGN_OFF,)}


def held(planned: list[int] | None = None, weeks: int = 2) -> Capacity:
    return capacity(make_program(), TODAY, weeks, groups=GROUPS, planned=planned or [])


def helper() -> Person:
    """Return somebody with hours who is signed off for nothing."""
    person = make_person(name="Femi Oyelaran")
    make_hours(person=person, minutes=600)
    return person


def test_work_that_needs_a_skill_has_only_the_hours_of_those_who_have_it() -> None:
    make_shop(minutes=1_200)
    helper()
    found = held()
    assert found.weeks[0].capacity["minutes"] == 1_800
    assert found.weeks[0].capacity["minutes of Rosalind Amadi"] == 1_200
    assert found.hours_for("brakes", 90) == {"minutes of Rosalind Amadi": 90}


def test_a_certificate_that_runs_out_takes_the_hours_of_later_weeks() -> None:
    make_shop(minutes=1_200)
    helper()
    Skill.objects.filter(code="brakes").update(until_on=TODAY + dt.timedelta(days=2))
    Skill.objects.filter(code="sign_off").update(until_on=TODAY + dt.timedelta(days=2))
    found = held()
    assert [week.capacity["minutes of Rosalind Amadi"] for week in found.weeks] == [1_200, 0]


def test_somebody_who_has_left_gives_no_hours() -> None:
    make_shop(minutes=1_200)
    person = helper()
    person.left_on = TODAY - dt.timedelta(days=1)
    person.save()
    assert held().weeks[0].capacity["minutes"] == 1_200


def test_a_bay_with_a_lift_gives_days_of_both_kinds() -> None:
    make_shop()
    make_bay(name="Bay 2", has_lift=True)
    there = held().weeks[0].capacity
    assert (there["bay_days"], there["lift_days"]) == (10, 5)


def test_a_car_that_does_not_roll_and_is_in_no_plan_keeps_its_space() -> None:
    program = make_shop()
    one, two = make_ready("26-041"), make_ready("26-042")
    Condition.objects.update(mobility="dead")
    for name in ("Space 1", "Space 2", "Space 3"):
        Space.objects.create(program=program, name=name, takes_dead=True)
    Space.objects.create(program=program, name="Space 4")
    assert one.vehicle_id
    assert two.vehicle_id
    assert held([one.vehicle_id]).weeks[0].capacity[SPACES] == 2
    assert held([one.vehicle_id, two.vehicle_id]).weeks[1].capacity[SPACES] == 3


def test_a_lot_that_nobody_listed_bounds_nothing() -> None:
    make_shop()
    assert SPACES not in held().weeks[0].capacity


def test_reading_costs_the_same_for_one_person_and_for_ten(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    make_shop()
    with django_assert_num_queries(9):
        held()
    for number in range(10):
        person = make_able(make_person(name=f"Person {number}"))
        make_hours(person=person)
    assert Credential.objects.count() > 10
    with django_assert_num_queries(9):
        held()
