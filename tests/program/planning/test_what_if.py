from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from program.planning.plan import StageName
from program.planning.problem import LIFT_DAYS, Case, PlanInput
from program.planning.selection import select
from program.planning.trying import Change, ChangeKind, apply
from program.planning.what_if import Answer, first_answer, told, what_if
from tests.program.planning.garages import garage
from tests.program.planning.programs import program, seeds, week

if TYPE_CHECKING:
    from program.planning.plan import Plan


def changes_of(plan_input: PlanInput, seed: int) -> list[Change]:
    """Return one change of each kind that is likely to matter."""
    cases = [case.id for case in plan_input.cases]
    part = next(part for item in plan_input.items for part in item.parts)
    tried = [
        Change(kind=ChangeKind.MONEY, amount=500_00),
        Change(kind=ChangeKind.MONEY, what="brake-gift", amount=-50_00),
        Change(kind=ChangeKind.TIME, amount=240, week=1),
        Change(kind=ChangeKind.BAY, amount=-1, week=0),
        Change(kind=ChangeKind.PART, what=part.gift_kind, amount=1),
        Change(kind=ChangeKind.PRICE, what=part.id, amount=10),
        Change(kind=ChangeKind.IN, what=cases[seed % len(cases)]),
        Change(kind=ChangeKind.OUT, what=cases[(seed + 3) % len(cases)]),
    ]
    return tried[seed % 4 :: 2]


@pytest.mark.parametrize("seed", seeds(4, 24))
def test_a_what_if_reaches_what_a_plan_of_the_changed_facts_reaches(seed: int) -> None:
    plan_input = program(seed, cases=8, quirks=False)
    plan, changes = select(plan_input), changes_of(plan_input, seed)
    after = select(apply(plan_input, changes))
    first, whole = (ask(plan_input, plan, changes) for ask in (first_answer, what_if))
    assert (first.value, first.bound) == (after.value, after.bound)
    assert whole.plan is not None
    same = {StageName.NEED, StageName.SAFETY, StageName.CASH}
    assert [s for s in whole.plan.stages if s.name in same] == [
        s for s in after.stages if s.name in same
    ]


@pytest.mark.parametrize("seed", seeds(2, 12))
def test_a_first_answer_keeps_as_many_cars_as_a_plan_of_that_need_can(seed: int) -> None:
    plan_input = program(seed, cases=8, quirks=False)
    plan = select(plan_input)
    answer = first_answer(plan_input, plan, [Change(kind=ChangeKind.MONEY, amount=0)])
    assert (answer.freed, answer.displaced, answer.gain) == ((), (), 0)
    assert str(answer.sentence) == (
        "$0.00 more in the General would change nothing: the same cars go home."
    )


def asked(**fields: Any) -> tuple[Plan, Answer]:
    plan = select(garage())
    change = Change.from_json({"what": "", "amount": 0, "week": 0, **fields})
    return plan, first_answer(garage(), plan, [change])


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        (
            {"kind": "money", "amount": 500_00},
            (
                "$500.00 more in the general fund would send home 26-046 and no car less: "
                "9 points more of need."
            ),
        ),
        (
            {"kind": "money", "amount": -1_00},
            "$1.00 less in the general fund would leave out 26-047: 5 points less of need.",
        ),
        (
            {"kind": "money", "amount": 345_00},
            (
                "$345.00 more in the general fund would send home 26-046 in place of 26-047: "
                "4 points more of need."
            ),
        ),
        (
            {"kind": "late", "what": "s", "amount": 2},
            "Radiator of Corbel Auto 2 weeks later would leave out 26-047: 5 points less of need.",
        ),
        (
            {"kind": "hold", "what": "26-047"},
            "Holding 26-047 would leave out 26-047: 5 points less of need.",
        ),
    ],
)
def test_an_answer_is_one_sentence(fields: dict[str, Any], sentence: str) -> None:
    _, answer = asked(**fields)
    assert str(answer.sentence) == sentence


def test_a_whole_answer_says_what_else_is_different_and_is_kept_as_json() -> None:
    plan = select(garage())
    answer = what_if(garage(), plan, [Change(kind=ChangeKind.MONEY, amount=500_00)])
    assert [str(detail) for detail in answer.details] == [
        "26-046 is new: it goes home in the week of November 30."
    ]
    assert Answer.from_json(answer.to_json()) == answer


def test_every_change_can_be_told() -> None:
    kinds = [
        Change(kind=ChangeKind.TIME, amount=90),
        Change(kind=ChangeKind.BAY, amount=-2),
        Change(kind=ChangeKind.BAY, what=LIFT_DAYS, amount=1),
        Change(kind=ChangeKind.PART, what="radiator", amount=1),
        Change(kind=ChangeKind.PART, what="n", amount=2),
        Change(kind=ChangeKind.PRICE, what="n", amount=85_00),
        Change(kind=ChangeKind.IN, what="26-046"),
        Change(kind=ChangeKind.OUT, what="26-047"),
    ]
    assert [str(told(garage(), change)) for change in kinds] == [
        "1:30 hours of shop time more in the week of November 30",
        "2 days in a bay less in the week of November 30",
        "one day on a lift more in the week of November 30",
        "One given radiator",
        "2 of “Radiator” given",
        "Radiator at $85.00",
        "Taking in 26-046",
        "Leaving out 26-047",
    ]


def test_an_answer_without_a_plan_comes_back_from_json_too() -> None:
    _, answer = asked(kind="money", amount=500_00)
    assert Answer.from_json(json.loads(json.dumps(answer.to_json()))) == answer
    assert answer.proven


def test_no_answer_in_the_time_given_is_an_error() -> None:
    rows = program(0, cases=8, quirks=False)
    plan = select(rows)
    money = Change(kind=ChangeKind.MONEY, amount=100_00)
    with pytest.raises(ValueError, match=r"^No plan was found with these changes in the time"):
        first_answer(rows, plan, [money], effort=0.0)


@pytest.mark.parametrize(
    ("weights", "points"), [((5, 5), "a tie"), ((4, 5), "1 point less of need")]
)
def test_a_swap_without_a_gain_says_by_how_little(weights: tuple[int, int], points: str) -> None:
    cases = tuple(
        Case(id=name, need_weight=need, uses={"minutes": 60})
        for name, need in zip("ab", weights, strict=True)
    )
    rows = PlanInput(weeks=(week(minutes=60),), cases=cases)
    plan = select(replace(rows, pinned_out=frozenset("a")))
    answer = first_answer(rows, plan, [Change(kind=ChangeKind.IN, what="a")])
    assert str(answer.sentence) == f"Taking in a would send home a in place of b: {points}."


def test_one_week_later_is_told_in_words() -> None:
    late = Change(kind=ChangeKind.LATE, what="s", amount=1)
    assert str(told(garage(), late)) == "Radiator of Corbel Auto a week later"
