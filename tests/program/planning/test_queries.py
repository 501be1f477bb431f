from __future__ import annotations

import pytest

from program.models import Commitment
from program.planning.queries import approved_plan, minutes_to_spare, newest_plan, set_aside_by_fund
from tests.factories import make_case, make_entry, make_plan, make_program, make_user
from tests.program.planning.weeks import make_money, make_ready, make_shop, make_work, stay_of
from vehicles.repairs.actions import make_estimate
from vehicles.repairs.charges import Rates

pytestmark = pytest.mark.django_db


def test_the_newest_plan_is_the_last_that_was_not_superseded() -> None:
    program = make_program()
    assert newest_plan(program) is None
    first = make_plan(number=1, state="ready")
    make_plan(number=2, state="superseded")
    assert newest_plan(program) == first
    assert newest_plan(make_program(name="Other garage")) is None


def test_the_plan_in_force_is_the_approved_one() -> None:
    program = make_program()
    make_plan(number=1, state="ready")
    assert approved_plan(program) is None
    fields = {"approved_at": "2026-11-30T12:00:00Z", "approved_by": make_user()}
    plan = make_plan(number=2, state="approved", **fields)
    assert approved_plan(program) == plan


def test_money_set_aside_is_added_up_by_fund_until_it_is_released() -> None:
    program, case = make_program(), make_case()
    fund = make_money()
    for item, released in ((1, None), (2, None), (3, make_entry())):
        Commitment.objects.create(
            program=program,
            cause="plan:1",
            case=case,
            item_id=item,
            fund=fund,
            cents=100 * item,
            entry=make_entry(),
            released_by=released,
        )
    assert set_aside_by_fund(program) == {"GEN": 300}


def test_the_time_to_spare_is_what_labor_may_run_over() -> None:
    program = make_shop()
    steady, open_ended, unknown = (make_ready(f"26-04{n}") for n in (1, 2, 3))
    make_work(steady, labor_low_minutes=60, labor_high_minutes=60)
    make_work(open_ended, labor_low_minutes=60, labor_high_minutes=600)
    make_work(unknown)
    for case in (steady, open_ended):
        make_estimate(intake=stay_of(case), given=(), rates=Rates(), by=None)
    spare = minutes_to_spare(program, ["26-041", "26-042", "26-043"])
    assert spare["26-041"] == 0
    assert 60 < spare["26-042"] < 540
    assert set(spare) == {"26-041", "26-042"}
    assert minutes_to_spare(program, []) == {}
