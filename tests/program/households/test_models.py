from __future__ import annotations

import datetime as dt

import pytest

from program.households.models import Household, Tie
from shared.models import Program
from tests.factories import TODAY, make_address, make_household, make_program, make_user
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def household(**fields: object) -> Household:
    program = make_program()
    defaults: dict[str, object] = {"name": "Abara", "stage_since_on": TODAY}
    address = make_address(program=program)
    return Household(program=program, address=address, **defaults | fields)


@pytest.mark.parametrize(
    ("rule", "fields", "sentence"),
    [
        (
            "household_stage_known",
            {"stage": "lost"},
            "This stage is not known to the program.",
        ),
        (
            "household_size_possible",
            {"adults": 0},
            "A household has 1 to 30 adults and up to 30 children.",
        ),
        (
            "household_size_possible",
            {"children": 31},
            "A household has 1 to 30 adults and up to 30 children.",
        ),
        (
            "household_miles_possible",
            {"miles_per_week": 5_001},
            "Nobody drives more than 5,000 miles a week.",
        ),
    ],
)
def test_an_impossible_household_is_refused(
    rule: str, fields: dict[str, object], sentence: str
) -> None:
    assert_refused(household(**fields), rule, sentence)


def test_a_tie_stands_once_and_again_after_its_end() -> None:
    home, user = make_household(), make_user()
    rows = {"program": home.program, "household": home, "user": user}
    first = Tie.objects.create(**rows)
    assert_refused(Tie(**rows), "tie_declared_once", "This tie is on record already.")
    first.ended_on = TODAY
    first.save()
    assert Tie.objects.create(**rows).pk != first.pk


def test_a_tied_user_does_not_find_the_household() -> None:
    home, user = make_household(), make_user()
    tie = Tie.objects.create(program=home.program, household=home, user=user)
    assert list(Household.objects.for_user(user)) == []
    assert list(Household.objects.for_user(make_user())) == [home]
    tie.ended_on = TODAY + dt.timedelta(days=1)
    tie.save()
    assert list(Household.objects.for_user(user)) == [home]


def test_another_program_finds_nothing() -> None:
    make_household()
    other = make_program(name="Another garage")
    assert isinstance(other, Program)
    assert list(Household.objects.for_user(make_user(program=other))) == []
