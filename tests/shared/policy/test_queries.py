from __future__ import annotations

import datetime as dt

import pytest

from shared.policy.defaults import DEFAULTS
from shared.policy.models import Policy
from shared.policy.queries import policies
from tests.factories import TODAY, make_program

pytestmark = pytest.mark.django_db

KNOWN = min(DEFAULTS)
WEEK = dt.timedelta(days=7)


def put(value: int, since_on: dt.date) -> None:
    Policy.objects.create(program=make_program(), name=KNOWN, value=value, since_on=since_on)


def test_without_a_decision_the_defaults_hold() -> None:
    assert policies(make_program(), TODAY) == DEFAULTS


def test_a_decision_holds_from_its_day_until_the_next() -> None:
    put(12, TODAY)
    put(11, TODAY - WEEK)
    put(13, TODAY + WEEK)
    days = [TODAY - 2 * WEEK, TODAY - WEEK, TODAY, TODAY + WEEK]
    values = [policies(make_program(), day)[KNOWN] for day in days]
    assert values == [DEFAULTS[KNOWN], 11, 12, 13]


def test_another_program_decides_for_itself() -> None:
    put(11, TODAY)
    elsewhere = make_program(name="Elsewhere")
    assert policies(elsewhere, TODAY) == DEFAULTS
