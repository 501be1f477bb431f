"""What a person types about a plan, cleaned into changes that can be tried."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from program.models import WhatIf
from program.planning.forms import PinForm, TryForm
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput
from program.planning.trying import Change, ChangeKind
from shared.accounts.roles import RoleKind
from tests.program.planning.asked import page, ready
from tests.program.planning.programs import week
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]

HOURS = "minutes of Rosalind Amadi"
WEEKS = (week(0, minutes=600), week(1, **{"minutes": 600, HOURS: 300}))
PUMP = PartNeed(id="7.1", label="Water pump", price_cents=9_000)
FACTS = PlanInput(
    weeks=WEEKS,
    cases=(
        Case(id="26-041", label="Haskell", need_weight=8),
        Case(id="26-042", label="Iverson", need_weight=4),
    ),
    items=(
        Item(id="1", case_id="26-041", tier=0, parts=(PartNeed(id="6.1", label="Radiator"),)),
        Item(id="2", case_id="26-042", tier=0, parts=(PUMP,)),
    ),
    funds=(Fund(id="GEN", label="general fund", available_cents=0),),
)


def typed(**values: str) -> TryForm:
    return TryForm(values, facts=FACTS, planned={"26-041"})


def changes(**values: str) -> Any:
    form = typed(**values)
    assert form.is_valid(), form.errors
    return form.cleaned_data["changes"]


def test_only_what_waits_may_go_and_only_what_goes_may_wait() -> None:
    offered = {
        name: [value for value, _ in typed().fields[name].choices]  # type: ignore[attr-defined]
        for name in ("fund", "week", "part", "include", "leave_out")
    }
    assert offered == {
        "fund": ["", "GEN"],
        "week": [0, 1],
        "part": ["", "7.1"],
        "include": ["", "26-042"],
        "leave_out": ["", "26-041"],
    }


def test_a_choice_is_told_by_name_and_day() -> None:
    fields = typed().fields
    shown = [fields[name].choices[-1][1] for name in ("week", "part", "include")]  # type: ignore[attr-defined]
    assert shown == ["the week of December 7", "Water pump for 26-042", "26-042 Iverson"]


@pytest.mark.parametrize(
    ("values", "change"),
    [
        ({"money": "500"}, Change(kind=ChangeKind.MONEY, amount=50_000)),
        (
            {"money": "500", "fund": "GEN"},
            Change(kind=ChangeKind.MONEY, what="GEN", amount=50_000),
        ),
        (
            {"hours": "2", "week": "1"},
            Change(kind=ChangeKind.TIME, what="minutes", amount=120, week=1),
        ),
        (
            {"days": "3", "bay": "lift_days", "week": "1"},
            Change(kind=ChangeKind.BAY, what="lift_days", amount=3, week=1),
        ),
        ({"part": "7.1"}, Change(kind=ChangeKind.PART, what="7.1", amount=1)),
        ({"include": "26-042"}, Change(kind=ChangeKind.IN, what="26-042")),
        ({"leave_out": "26-041"}, Change(kind=ChangeKind.OUT, what="26-041")),
    ],
)
def test_each_thing_that_is_typed_is_one_change(values: dict[str, str], change: Change) -> None:
    assert changes(**values) == [change]


def test_hours_of_somebody_skilled_are_those_of_everybody_and_of_each_group() -> None:
    assert [row.what for row in changes(hours="2", skilled="on")] == ["minutes", HOURS]


def test_nothing_typed_is_said_once_and_beside_another_error_not_at_all() -> None:
    assert typed().errors == {"__all__": ["Type or choose at least one thing to try."]}
    assert [*typed(hours="0").errors] == ["hours"]


def test_a_car_is_pinned_one_way_and_with_a_reason() -> None:
    values = {"direction": "in", "reason": "A job starts."}
    form = PinForm(values)
    assert form.is_valid()
    assert form.cleaned_data == values
    assert PinForm({"direction": "up", "reason": ""}).errors == {
        "direction": ["Keep this car: choose one of the answers offered."],
        "reason": ["Why: an answer is missing."],
    }


def test_hours_of_somebody_skilled_count_wherever_a_skill_is_asked(client: Client) -> None:
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    client.post(page(plan, "try_out"), {"hours": "3", "week": "1", "skilled": "on"})
    changes = WhatIf.objects.get().changes
    assert {(row["kind"], row["amount"], row["week"]) for row in changes} == {("time", 180, 1)}


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({}, "Type or choose at least one thing to try."),
        ({"money": "-5"}, "is too little"),
        ({"money": "much"}, "much"),
        ({"hours": "20000"}, "is not possible"),
        ({"include": "26-999"}, "26-999"),
        ({"hours": "2", "week": "7"}, "7"),
    ],
)
def test_what_can_not_be_tried_is_said_and_asks_nothing(
    client: Client, typed: dict[str, str], sentence: str
) -> None:
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.post(page(plan, "try_out"), typed)
    assert answer.status_code == 422
    assert sentence in words(answer)
    assert not WhatIf.objects.exists()
