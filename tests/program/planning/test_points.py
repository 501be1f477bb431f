"""One case of a plan, and one question to it, as a person reads them."""

from __future__ import annotations

import pytest

from program.models import Case, Plan, WhatIf
from program.planning import problem
from program.planning.outcome import Wait
from program.planning.points import CaseSheet, case_sheet, described
from program.planning.problem import Fund, Item, PartNeed, PlanInput
from program.planning.trying import Change, ChangeKind
from tests.program.planning.asked import ready
from tests.program.planning.programs import week
from tests.program.planning.weeks import make_ready

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]

FACTS = PlanInput(
    weeks=(week(0, minutes=600), week(1, minutes=600)),
    cases=(problem.Case(id="26-046", need_weight=1),),
    items=(
        Item(id="1", case_id="26-046", tier=0, parts=(PartNeed(id="7.1", label="Water pump"),)),
    ),
    funds=(Fund(id="GEN", label="general fund", available_cents=0),),
)


def said(*changes: Change) -> str:
    return described(WhatIf(changes=[change.to_json() for change in changes]), FACTS)


@pytest.mark.parametrize(
    ("change", "phrase"),
    [
        (Change(kind=ChangeKind.MONEY, amount=500_00), "$500.00 more in the fund for anything"),
        (
            Change(kind=ChangeKind.MONEY, what="GEN", amount=500_00),
            "$500.00 more in general fund",
        ),
        (
            Change(kind=ChangeKind.TIME, amount=90, week=1),
            "1:30 hours of shop time more from December 7",
        ),
        (
            Change(kind=ChangeKind.TIME, what="minutes of Sten Voss", amount=60),
            "1:00 hours of Sten Voss more from November 30",
        ),
        (Change(kind=ChangeKind.BAY, amount=1), "One day in a bay more from November 30"),
        (
            Change(kind=ChangeKind.BAY, what="lift_days", amount=2),
            "2 days on a lift more from November 30",
        ),
        (Change(kind=ChangeKind.PART, what="7.1", amount=1), "Water pump given"),
        (Change(kind=ChangeKind.PART, what="tire", amount=1), "Tire given"),
        (Change(kind=ChangeKind.IN, what="26-046"), "26-046 has to go home"),
        (Change(kind=ChangeKind.OUT, what="26-046"), "26-046 waits"),
        (Change(kind=ChangeKind.HOLD, what="26-046"), "Hold of 26-046"),
        (Change(kind=ChangeKind.PRICE, what="7.1", amount=5), "Price of 7.1"),
        (Change(kind=ChangeKind.LATE, what="3", amount=1), "Late of 3"),
    ],
)
def test_each_kind_of_change_is_one_phrase(change: Change, phrase: str) -> None:
    assert said(change) == phrase


def test_hours_that_count_under_several_names_are_told_once() -> None:
    hours = [
        Change(kind=ChangeKind.TIME, what=name, amount=180)
        for name in ("minutes", "minutes of Sten Voss")
    ]
    out = Change(kind=ChangeKind.OUT, what="26-046")
    assert said(*hours, out) == "3:00 hours of shop time more from November 30 and 26-046 waits"


def sheet_of(plan: Plan, number: str) -> CaseSheet | None:
    return case_sheet(plan, Case.objects.get(number=number))


def test_a_car_that_goes_home_shows_its_work_and_why() -> None:
    sheet = sheet_of(ready(), "26-041")
    assert sheet is not None
    assert (sheet.goes_home, sheet.need_weight, sheet.lead) == (True, 8, "Work: Two front tires.")
    assert sheet.reasons


@pytest.mark.parametrize(("held", "lead"), [(False, "It lacks $300.00."), (True, "lacks $300.00")])
def test_a_car_that_waits_shows_what_it_lacks_and_the_swap(held: bool, lead: str) -> None:  # noqa: FBT001 (a case of the test)
    plan = ready()
    wait = Wait(
        case_id="26-042",
        name="Karl Iverson",
        need_weight=4,
        lacks="lacks $300.00",
        held=held,
        reasons=("The fund is used up.",),
        swap="26-041 would wait.",
        exact=False,
    )
    plan.result["waits"] = [wait.to_json()]
    assert sheet_of(plan, "26-042") == CaseSheet(
        goes_home=False,
        need_weight=4,
        lead=lead,
        reasons=("The fund is used up.", "26-041 would wait."),
        held=held,
        exact=False,
    )


def test_a_case_that_the_plan_had_not_heard_of_has_no_sheet() -> None:
    assert case_sheet(ready(), make_ready("26-043")) is None
