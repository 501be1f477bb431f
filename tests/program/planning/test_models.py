from __future__ import annotations

from typing import Any

import pytest

from program.models import Pin, Plan, PlannedCase
from tests.factories import TODAY, make_case, make_plan, make_program, make_user
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def plan(**fields: Any) -> Plan:
    defaults = {"program": make_program(), "number": 5, "first_week_on": TODAY, "weeks": 3}
    return Plan(**defaults | fields)


def approved(**fields: Any) -> Plan:
    defaults = {"state": "approved", "approved_at": "2026-11-30T12:00:00Z"}
    return plan(**defaults | {"approved_by": make_user()} | fields)


def planned(**fields: Any) -> PlannedCase:
    defaults = {
        "program": make_program(),
        "plan": fields.get("plan") or make_plan(),
        "case": fields.get("case") or make_case(),
        "start_week_on": TODAY,
        "home_from_on": TODAY,
        "home_by_on": TODAY,
    }
    return PlannedCase(**defaults | fields)


def pin(**fields: Any) -> Pin:
    defaults = {
        "program": make_program(),
        "case": fields.get("case") or make_case(),
        "direction": "in",
        "reason": "A job starts.",
        "by": make_user(),
    }
    return Pin(**defaults | fields)


def test_a_plan_is_in_a_known_state() -> None:
    sentence = "This state is not known to the program."
    assert_refused(plan(state="x"), "plan_state_known", sentence)


def test_a_number_is_given_to_one_plan() -> None:
    plan().save()
    assert_refused(plan(), "plan_number_once", "There is a plan of this number already.")


def test_one_plan_is_in_force() -> None:
    approved().save()
    sentence = "Another plan is approved; this one has to follow it."
    assert_refused(approved(number=6), "plan_one_approved", sentence)


def test_a_plan_is_worth_no_more_than_its_bound() -> None:
    sentence = "A plan can't be worth more than its bound."
    assert_refused(plan(value=9, bound=8), "plan_value_within_bound", sentence)


@pytest.mark.parametrize("missing", ["approved_by", "approved_at"])
def test_somebody_approved_an_approved_plan(missing: str) -> None:
    sentence = "An approved plan names who approved it."
    assert_refused(approved(**{missing: None}), "plan_approved_by_somebody", sentence)


def test_a_case_is_in_a_plan_once() -> None:
    one = planned()
    one.save()
    sentence = "This case is in the plan already."
    assert_refused(planned(plan=one.plan, case=one.case), "planned_case_once", sentence)


@pytest.mark.parametrize("fields", [{"home_by_on": TODAY.replace(day=1)}, {"cash_cents": -1}])
def test_a_planned_case_has_its_days_in_order(fields: dict[str, Any]) -> None:
    sentence = "The first day home is not after the last."
    assert_refused(planned(**fields), "planned_days_in_order", sentence)


def test_a_pin_holds_in_or_out() -> None:
    sentence = "This direction is not known to the program."
    assert_refused(pin(direction="up"), "pin_direction_known", sentence)


def test_a_case_has_one_pin_that_stands() -> None:
    one = pin()
    one.save()
    assert_refused(pin(case=one.case), "pin_once_a_case", "This case is pinned already.")
    one.ended_at = "2026-11-30T12:00:00Z"
    one.save()
    pin(case=one.case).save()


def test_a_reader_sees_the_plans_of_one_program() -> None:
    plan().save()
    stranger = make_user(program=make_program(name="Other garage"))
    assert Plan.objects.for_user(make_user()).count() == 1
    assert not Plan.objects.for_user(stranger).exists()
