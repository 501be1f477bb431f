from __future__ import annotations

import datetime as dt

import pytest

from program.cases.models import Case
from program.households.models import Tie
from tests.factories import TODAY, make_case, make_household, make_program, make_user, make_vehicle
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def case(**fields: object) -> Case:
    defaults: dict[str, object] = {"number": "26-900", "opened_on": TODAY}
    return Case(program=make_program(), **defaults | fields)


def test_a_number_is_given_once() -> None:
    made = make_case(number="26-900")
    assert_refused(
        case(household=made.household),
        "case_number_once",
        "There is a case of this number already.",
    )


def test_a_car_has_one_open_case_and_any_number_of_closed_ones() -> None:
    first = make_case()
    again = case(vehicle=first.vehicle)
    assert_refused(again, "case_one_open_a_vehicle", "This vehicle has an open case already.")
    first.closed_on = TODAY
    first.save()
    again.save()
    assert list(Case.objects.open()) == [again]


def test_a_case_is_of_somebody() -> None:
    assert_refused(case(), "case_of_somebody", "A case has a household, a vehicle or both.")
    case(vehicle=make_vehicle()).save()
    case(number="26-901", household=make_household()).save()


def test_a_case_closes_after_it_opens() -> None:
    early = case(household=make_household(), closed_on=TODAY - dt.timedelta(days=1))
    assert_refused(early, "case_closes_after_opening", "A case can't close before it opens.")


def test_a_tie_hides_a_case_until_it_ends() -> None:
    found, user = make_case(), make_user()
    assert found.household
    tie = Tie.objects.create(program=found.program, household=found.household, user=user)
    assert list(Case.objects.for_user(user)) == []
    tie.ended_on = TODAY
    tie.save()
    assert list(Case.objects.for_user(user)) == [found]


def test_a_case_is_called_by_its_number() -> None:
    assert str(make_case(number="26-041")) == "26-041"
