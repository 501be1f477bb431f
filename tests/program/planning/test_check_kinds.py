"""Hours of those who may do some work, held against the weeks of that work."""

from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning.check import check_plan
from program.planning.plan import Plan, PlannedCase
from program.planning.problem import Case, Item, PlanInput
from tests.program.planning.programs import week

ANA, BEN = "minutes of Ana", "minutes of Ben"
SKILLED = PlanInput(
    weeks=tuple(week(n, minutes=900, bay_days=5, **{ANA: 600, BEN: 600}) for n in range(2)),
    cases=(Case(id="c", need_weight=1, uses={"minutes": 60}),),
    items=(
        Item(id="a", case_id="c", tier=0, minutes=600, uses={ANA: 600}),
        Item(id="b", case_id="c", tier=0, minutes=240, uses={BEN: 240}),
    ),
)
SHARED = "c takes hours of some people in the week of {} for work of another week."


@pytest.mark.parametrize(
    ("minutes", "ana", "ben", "sentences"),
    [
        ((600, 300), (500, 100), (100, 140), []),
        ((600, 300), (600, 0), (0, 240), []),
        ((700, 200), (500, 100), (0, 240), [SHARED.format("December 7")]),
        ((800, 100), (400, 200), (240, 0), [SHARED.format("December 7")]),
        ((300, 600), (300, 300), (200, 40), [SHARED.format("November 30")]),
    ],
)
def test_hours_of_some_people_without_their_work_are_caught(
    minutes: tuple[int, int], ana: tuple[int, int], ben: tuple[int, int], sentences: list[str]
) -> None:
    spent = {"minutes": minutes, ANA: ana, BEN: ben, "bay_days": (2, 2)}
    uses = {(n, name): own[n] for name, own in spent.items() for n in range(2) if own[n]}
    planned = PlannedCase(case_id="c", start_week=0, home_week=1, item_ids=("a", "b"), uses=uses)
    found = check_plan(SKILLED, Plan(cases=(planned,), stages=()))
    assert [str(problem.sentence) for problem in found] == sentences


def test_hours_that_belong_to_no_kind_of_work_are_caught() -> None:
    both = "minutes of Ana or Ben"
    rows = replace(
        SKILLED,
        weeks=tuple(week(n, minutes=900, bay_days=5, **{ANA: 600, both: 900}) for n in range(2)),
        items=(
            replace(SKILLED.items[0], uses={ANA: 600, both: 600}),
            replace(SKILLED.items[1], uses={both: 240}),
        ),
    )
    spent = {"minutes": (600, 300), ANA: (600, 0), both: (540, 300), "bay_days": (2, 2)}
    uses = {(n, name): own[n] for name, own in spent.items() for n in range(2)}
    planned = PlannedCase(case_id="c", start_week=0, home_week=1, item_ids=("a", "b"), uses=uses)
    found = check_plan(rows, Plan(cases=(planned,), stages=()))
    assert [str(one.sentence) for one in found] == [SHARED.format("November 30")]


def test_one_kind_of_work_beyond_its_days_in_a_bay_is_caught() -> None:
    uses = {(0, "minutes"): 480, (1, "minutes"): 420, (0, ANA): 180, (1, ANA): 420, (0, BEN): 240}
    days = {(0, "bay_days"): 2, (1, "bay_days"): 1}
    rows = replace(SKILLED, cases=(replace(SKILLED.cases[0], uses={"minutes": 60, BEN: 60}),))
    less = uses | days | {(0, BEN): 300, (1, "bay_days"): 0}
    planned = PlannedCase(case_id="c", start_week=0, home_week=1, item_ids=("a", "b"), uses=less)
    found = check_plan(rows, Plan(cases=(planned,), stages=()))
    assert "c has more work of one kind than days in a bay." in [str(p.sentence) for p in found]
    fine = replace(planned, uses=uses | days | {(0, BEN): 300})
    assert check_plan(rows, Plan(cases=(fine,), stages=())) == []
