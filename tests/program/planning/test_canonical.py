from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from program.planning.canonical import canonical, fingerprint
from program.planning.problem import Case, Item, PartNeed, PlanInput
from tests.program.planning.programs import program, week

ANA, BEN = "minutes of Ana", "minutes of Ben"
TOO_MUCH = "takes 60 minutes of some people in 40 minutes of work beside shared access."


def one_car(*items: Item) -> PlanInput:
    weeks = (week(minutes=100, **{ANA: 100, BEN: 100}),)
    return PlanInput(weeks=weeks, cases=(Case(id="c", need_weight=1),), items=items)


@pytest.mark.parametrize(
    ("items", "sentence"),
    [
        (
            [Item(id="a", case_id="c", tier=1, prerequisites=("a",))],
            "These repair items need each other in a circle: a, a.",
        ),
        (
            [
                Item(id="a", case_id="c", tier=1, prerequisites=("b",)),
                Item(id="b", case_id="c", tier=1, prerequisites=("a",)),
            ],
            "These repair items need each other in a circle: a, b, a.",
        ),
        (
            [Item(id="a", case_id="c", tier=1), Item(id="a", case_id="c", tier=1)],
            "The repair item a stands twice in the plan's input.",
        ),
        (
            [Item(id="a", case_id="d", tier=1)],
            "The repair item a names the case d, which isn't there.",
        ),
        (
            [Item(id="a", case_id="c", tier=1, prerequisites=("z",))],
            "The repair item a needs z, which isn't an item of its car.",
        ),
        (
            [Item(id="a", case_id="c", tier=1, parts=(PartNeed(id="p", supply_ids=("s",)),))],
            "The part p names the supply s, which isn't there.",
        ),
        (
            [Item(id="a", case_id="c", tier=1, cash_cents=-5)],
            "a has the amount -5. Amounts are zero or more.",
        ),
        (
            [Item(id="a", case_id="c", tier=1, minutes=30, access="dash", access_minutes=50)],
            "The repair item a has 50 minutes of access in 30 minutes of work.",
        ),
        (
            [Item(id="a", case_id="c", tier=1, minutes=30, access_minutes=-1)],
            "a has the amount -1. Amounts are zero or more.",
        ),
        (
            [Item(id="a", case_id="c", tier=1, outside_days=-2)],
            "a has the amount -2. Amounts are zero or more.",
        ),
        (
            [Item(id="a", case_id="c", tier=1, uses={"hoist": 1})],
            "a takes “hoist”, which no week of the plan names.",
        ),
    ],
)
def test_an_input_that_contradicts_itself_is_refused(items: list[Item], sentence: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        canonical(one_car(*items))


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        (
            {"weeks": (week(minutes=1, lift_days=1),)},
            "The weeks name lift days and no bay days. A day on a lift is one of them.",
        ),
        (
            {"cases": (Case(id="c", need_weight=1, stands={"places": 1}),)},
            "c takes “places”, which no week of the plan names.",
        ),
        (
            {"cases": (Case(id="c", need_weight=1, stands={"minutes": -1}),)},
            "c has the amount -1. Amounts are zero or more.",
        ),
        (
            {"weeks": (week(minutes=-60),)},
            "The week of 2026-11-30 has the amount -60. Amounts are zero or more.",
        ),
        (
            {"cases": (Case(id="c", need_weight=1, uses={"minutes": 30, ANA: 40}),)},
            "c takes 40 minutes of some people in 30 minutes of work beside shared access.",
        ),
        (
            {
                "items": (
                    Item(
                        id="a",
                        case_id="c",
                        tier=1,
                        minutes=60,
                        access="x",
                        access_minutes=20,
                        uses={ANA: 60},
                    ),
                )
            },
            f"The repair item a {TOO_MUCH}",
        ),
        (
            {
                "items": tuple(
                    Item(id=f"{n}", case_id="c", tier=1, minutes=60, uses=dict.fromkeys(names, 60))
                    for n, names in enumerate(((ANA,), (BEN,), (ANA, BEN)))
                )
            },
            "c: These kinds of work can't be told apart by the hours they take.",
        ),
    ],
)
def test_weeks_and_cars_that_can_not_be_are_refused(changes: Any, sentence: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        canonical(replace(one_car(), **changes))


@pytest.mark.parametrize("fields", [{"on_lift": True}, {"access": "dash"}, {"outside_days": 1}])
def test_the_fingerprint_knows_what_the_floor_adds(fields: dict[str, Any]) -> None:
    plain = one_car(Item(id="a", case_id="c", tier=1))
    changed = one_car(Item(id="a", case_id="c", tier=1, **fields))
    assert fingerprint(plain) != fingerprint(changed)


def test_the_fingerprint_changes_with_any_value() -> None:
    plan_input = program(1, cases=4)
    dearer = replace(plan_input.items[0], cash_cents=plan_input.items[0].cash_cents + 1)
    changed = replace(plan_input, items=(dearer, *plan_input.items[1:]))
    assert fingerprint(changed) != fingerprint(plan_input)
    assert fingerprint(replace(changed, items=plan_input.items[::-1])) == fingerprint(plan_input)
