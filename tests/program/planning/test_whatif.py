from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from program.planning.plan import StageName
from program.planning.problem import (
    BAY_DAYS,
    LIFT_DAYS,
    Case,
    Fund,
    Item,
    PartNeed,
    PlanInput,
    Supply,
)
from program.planning.selection import select
from program.planning.trying import Change, ChangeKind, apply, open_fund
from program.planning.what_if import Answer, first_answer, told, what_if
from shared.say import say
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


def garage(**fields: Any) -> PlanInput:
    """Return two cars of which the money pays one, in a shop with a bay and a lift."""
    return replace(
        PlanInput(
            weeks=(week(minutes=600, bay_days=5, lift_days=5),),
            cases=(Case(id="26-046", need_weight=9), Case(id="26-047", need_weight=5)),
            items=(
                Item(id="a", case_id="26-046", tier=0, cash_cents=400_00, minutes=60),
                Item(
                    id="b",
                    case_id="26-047",
                    tier=0,
                    cash_cents=100_00,
                    parts=(PartNeed(id="n", label="Radiator", kind="radiator", supply_ids=("s",)),),
                ),
            ),
            funds=(Fund(id="general", label="general fund", available_cents=115_00),),
            supplies=(Supply(id="s", label="radiator of Corbel Auto"),),
        ),
        **fields,
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


def test_a_bay_with_a_lift_is_a_bay_too() -> None:
    rows = apply(garage(), [Change(kind=ChangeKind.BAY, what=LIFT_DAYS, amount=-2)])
    assert (rows.weeks[0].capacity[BAY_DAYS], rows.weeks[0].capacity[LIFT_DAYS]) == (3, 3)


def test_a_gift_is_there_when_gifts_come_and_serves_its_kind() -> None:
    rows = apply(garage(gift_week=0), [Change(kind=ChangeKind.PART, what="radiator", amount=1)])
    (part,) = rows.items[1].parts
    assert part.supply_ids == ("s", "gift radiator")
    assert [supply.id for supply in rows.supplies] == ["gift radiator", "s"]


def test_money_without_a_purpose_goes_where_it_can_be_spent() -> None:
    low = Fund(id="a", label="a", available_cents=0, floor_cents=900_00)
    rows = garage(funds=(low, *garage().funds))
    assert open_fund(rows).id == "general"
    assert open_fund(garage(funds=())).available_cents == 0


@pytest.mark.parametrize(
    ("fields", "message"),
    [
        ({"kind": "money", "what": "x"}, "No fund x is in this plan."),
        ({"kind": "money", "amount": -116_00}, "general fund has less than that to give up."),
        ({"kind": "time", "week": 1}, "The plan has no week 2."),
        ({"kind": "time", "what": "ramp"}, "No week of this plan counts ramp."),
        (
            {"kind": "time", "amount": -601},
            "The week from 2026-11-30 has less minutes than that.",
        ),
        ({"kind": "bay", "what": "ramp"}, "“ramp” is no kind of bay."),
        ({"kind": "part", "what": "x", "amount": 1}, "No part x is in this plan."),
        ({"kind": "part", "what": "n"}, "A gift is one unit or more."),
        ({"kind": "price", "what": "x"}, "No part x is in this plan."),
        ({"kind": "price", "what": "n", "amount": -1}, "A price is zero or more."),
        ({"kind": "late", "what": "x"}, "No supply x is in this plan."),
        (
            {"kind": "late", "what": "s", "amount": -1},
            "A supply can't come before the plan's first week.",
        ),
        ({"kind": "in", "what": "x"}, "No case x is in this plan."),
    ],
)
def test_a_change_of_what_is_not_there_is_refused(fields: dict[str, Any], message: str) -> None:
    change = Change.from_json(fields)
    with pytest.raises(ValueError) as error:  # noqa: PT011 (the whole message is compared)
        apply(garage(), [change])
    assert str(error.value) == message


def test_a_held_case_is_not_taken_in() -> None:
    held = replace(garage().cases[0], hold=say("It waits for consent."))
    with pytest.raises(ValueError, match=r"^26-046 can't be taken in yet\. It waits for consent"):
        apply(garage(cases=(held,), items=()), [Change(kind=ChangeKind.IN, what="26-046")])
