from __future__ import annotations

import json
from dataclasses import replace
from typing import Any

import pytest

from program.planning.canonical import canonical
from program.planning.plan import Addition
from program.planning.problem import BAY_DAYS, LIFT_DAYS, Fund
from program.planning.trying import Change, ChangeKind, apply, changes_for, open_fund
from shared.say import say
from tests.program.planning.garages import garage


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


@pytest.mark.parametrize("kind", list(ChangeKind))
def test_a_change_of_any_kind_comes_back_from_json(kind: ChangeKind) -> None:
    change = Change(kind=kind, what="n", amount=-3, week=2)
    assert Change.from_json(json.loads(json.dumps(change.to_json()))) == change


def test_an_addition_is_tried_as_one_change_for_each_thing() -> None:
    addition = Addition(
        cents=140_00, resources={(1, "minutes"): 30, (0, "bay_days"): 1}, need_ids=("n",)
    )
    assert changes_for(addition) == (
        Change(kind=ChangeKind.MONEY, amount=140_00),
        Change(kind=ChangeKind.TIME, what="bay_days", amount=1, week=0),
        Change(kind=ChangeKind.TIME, what="minutes", amount=30, week=1),
        Change(kind=ChangeKind.PART, what="n", amount=1),
    )
    assert changes_for(Addition(resources={})) == ()


def test_a_second_gift_of_a_kind_is_a_supply_of_its_own() -> None:
    gift = Change(kind=ChangeKind.PART, what="n", amount=2)
    rows = apply(garage(), [gift, gift])
    assert [(supply.id, supply.quantity) for supply in rows.supplies] == [
        ("gift n", 2),
        ("gift n again", 2),
        ("s", 1),
    ]


def test_a_price_and_a_later_supply_change_only_what_is_named() -> None:
    price = Change(kind=ChangeKind.PRICE, what="n", amount=85_00)
    late = Change(kind=ChangeKind.LATE, what="s", amount=2)
    rows, before = apply(garage(), [price, late]), canonical(garage())
    part, supply = before.items[1].parts[0], before.supplies[0]
    item = replace(before.items[1], parts=(replace(part, price_cents=85_00),))
    items, supplies = (before.items[0], item), (replace(supply, week=2),)
    assert rows == replace(before, items=items, supplies=supplies)


def test_a_case_taken_in_is_no_longer_left_out_and_the_other_way_round() -> None:
    rows = garage(pinned_out=frozenset({"26-046"}))
    into = apply(rows, [Change(kind=ChangeKind.IN, what="26-046")])
    assert (into.pinned_in, into.pinned_out) == (frozenset({"26-046"}), frozenset())
    assert apply(into, [Change(kind=ChangeKind.OUT, what="26-046")]) == canonical(rows)


def test_a_case_is_held_for_the_question_alone() -> None:
    rows = apply(garage(), [Change(kind=ChangeKind.HOLD, what="26-047")])
    assert [str(case.hold) for case in rows.cases] == ["None", "It is held for this question."]


def test_money_goes_into_a_fund_of_its_own_when_none_may_pay_anything() -> None:
    tires = replace(garage().funds[0], pays=frozenset("b"), restricted=True)
    rows = apply(garage(funds=(tires,)), [Change(kind=ChangeKind.MONEY, amount=5_00)])
    assert rows.funds == (tires, Fund(id="money", label="money", available_cents=5_00))


def test_a_fund_that_was_overdrawn_may_be_given_less_than_it_owes() -> None:
    rows = garage(funds=(replace(garage().funds[0], available_cents=-50_00),))
    after = apply(rows, [Change(kind=ChangeKind.MONEY, what="general", amount=20_00)])
    assert after.funds[0].available_cents == -30_00
