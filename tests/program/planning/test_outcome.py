"""What a computation found, as JSON and back."""

from __future__ import annotations

import datetime as dt
import json

from program.planning.outcome import (
    FundUse,
    Home,
    Outcome,
    Stay,
    Wait,
    Wanted,
    WeekUse,
    plan_from_json,
    plan_to_json,
)
from program.planning.plan import PartSource, Payment, Plan, PlannedCase, Stage, StageName

DAY = dt.date(2026, 11, 30)
PLAN = Plan(
    cases=(
        PlannedCase(
            case_id="26-041",
            start_week=0,
            home_week=1,
            item_ids=("1", "2"),
            parts=(
                PartSource(need_id="7.1", supply_id="3", cents=0),
                PartSource(need_id="7.2", supply_id=None, cents=4_500),
            ),
            payments=(Payment(fund_id="GEN", item_id="1", cents=4_500),),
            uses={(1, "minutes"): 60, (0, "minutes"): 300, (0, "bay_days"): 1},
        ),
    ),
    stages=(Stage(name=StageName.NEED, value=8, bound=9, proven=False),),
)
OUTCOME = Outcome(
    plan=PLAN,
    homes=(
        Home(
            case_id="26-041",
            name="Dana Haskell",
            work="Radiator",
            need_weight=8,
            start_on=DAY,
            from_on=DAY,
            by_on=DAY,
        ),
    ),
    waits=(
        Wait(case_id="26-042", name="K", need_weight=4, lacks="lacks $1.00", reasons=("One.",)),
    ),
    wanted=(Wanted(need_id=7, label="Radiator", sentence="One.", freed=("26-042",), weight=4),),
    stays=(Stay(case_id="26-041", bay="Bay 1", first_on=DAY, last_on=DAY),),
    weeks=(WeekUse(starts_on=DAY, minutes_there=600, minutes_used=360),),
    funds=(
        FundUse(
            code="GEN",
            name="general fund",
            free_cents=10_000,
            kept_cents=2_000,
            plan_cents=4_500,
            set_aside_cents=300,
        ),
    ),
    problems=("A promised case does not fit.",),
)


def test_an_outcome_comes_back_from_json_as_it_was() -> None:
    stored = json.loads(json.dumps(OUTCOME.to_json()))
    assert Outcome.from_json(stored) == OUTCOME


def test_an_empty_outcome_comes_back_too() -> None:
    nothing = Outcome(plan=Plan(cases=(), stages=()))
    assert Outcome.from_json(json.loads(json.dumps(nothing.to_json()))) == nothing


def test_a_plan_comes_back_with_what_it_uses() -> None:
    stored = json.loads(json.dumps(plan_to_json(PLAN)))
    back = plan_from_json(stored)
    assert back == PLAN
    assert back.cases[0].used("minutes") == 360


def test_what_is_left_is_what_was_not_given_out() -> None:
    assert OUTCOME.weeks[0].minutes_left == 240
    assert OUTCOME.funds[0].left_cents == 3_500
