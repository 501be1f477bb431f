"""What earlier plans promised, and what happened."""

from __future__ import annotations

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.planning.history import past_plans, promises_of
from tests.factories import make_user
from tests.program.planning.approved import approve, leaves, promised
from tests.program.planning.weeks import computed

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def test_a_promise_is_kept_when_the_car_went_by_its_day() -> None:
    plan = promised()
    leaves(plan.planned.get(case__number="26-041"), 0)
    leaves(plan.planned.get(case__number="26-042"), 1)
    rows = {row.number: row for row in promises_of(plan, make_user())}
    assert [(rows[n].was_kept, rows[n].is_late) for n in sorted(rows)] == [
        (True, False),
        (False, True),
    ]
    assert rows["26-042"].happened.endswith(", 1 day late")


def test_a_day_that_passed_without_the_car_is_late_and_one_ahead_is_not() -> None:
    plan = promised()
    soon = plan.program.today() + dt.timedelta(days=2)
    plan.planned.filter(case__number="26-042").update(home_by_on=soon)
    rows = {row.number: row.happened for row in promises_of(plan, make_user())}
    assert rows == {"26-041": "late", "26-042": "not yet due"}


def test_the_list_reads_as_often_for_one_plan_as_for_three() -> None:
    promised()
    user = make_user()
    with CaptureQueriesContext(connection) as one:
        past_plans(user)
    approve(computed())
    approve(computed())
    with CaptureQueriesContext(connection) as three:
        past_plans(user)
    assert len(one) == len(three)
