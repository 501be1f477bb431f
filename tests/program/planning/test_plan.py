from __future__ import annotations

from program.planning.plan import PartSource, Payment, Plan, PlannedCase, Stage, StageName

CASE = PlannedCase(
    case_id="c",
    start_week=0,
    home_week=1,
    item_ids=("a",),
    parts=(PartSource(need_id="p", supply_id=None, cents=30),),
    payments=(
        Payment(fund_id="g", item_id="a", cents=20),
        Payment(fund_id="r", item_id="a", cents=10),
    ),
    uses={(0, "minutes"): 60, (1, "minutes"): 30},
)
PLAN = Plan(
    cases=(CASE,),
    stages=(
        Stage(name=StageName.NEED, value=7, bound=9, proven=False),
        Stage(name=StageName.CASH, value=30, bound=25, proven=False),
    ),
)


def test_a_plan_adds_up_what_it_pays_and_takes() -> None:
    assert (PLAN.cash_cents, PLAN.paid_by("g"), PLAN.paid_by("x")) == (30, 20, 0)
    assert (PLAN.used(0, "minutes"), CASE.used("minutes"), PLAN.used(0, "lift")) == (60, 90, 0)


def test_a_plan_says_how_much_more_need_there_could_be() -> None:
    assert (PLAN.value, PLAN.bound, PLAN.proven, PLAN.need.gap) == (7, 9, False, 2)
    assert PLAN.stages[1].gap == 5


def test_a_case_that_waits_is_not_found() -> None:
    assert PLAN.case("c") is CASE
    assert PLAN.case("d") is None
