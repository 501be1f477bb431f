"""Items, orders, estimates and needs: what the database refuses, and what is open."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from tests.factories import TODAY, make_intake, make_item, make_need, make_program, make_user
from tests.refusals import assert_refused
from tests.vehicles.rows import unsaved
from vehicles.models import Estimate, EstimateLine, Need, Prerequisite, RepairItem

if TYPE_CHECKING:
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


def make_estimate(stay: Intake | None = None, **fields: Any) -> Estimate:
    stay = stay or make_intake()
    points = {"mean_cents": 1, "p50_cents": 1, "p80_cents": 2, "p80_minutes": 60}
    defaults = points | {"number": 1, "draws": 2_000, "seed": 1}
    return Estimate.objects.create(program=stay.program, intake=stay, **defaults | fields)


def make_line(**fields: Any) -> EstimateLine:
    estimate = make_estimate()
    item = make_item(intake=estimate.intake)
    defaults = {"low_cents": 1, "likely_cents": 2, "high_cents": 3, "p80_cents": 3}
    return EstimateLine.objects.create(
        program=estimate.program, estimate=estimate, item=item, **defaults | fields
    )


@pytest.mark.parametrize(
    ("changes", "rule", "sentence"),
    [
        ({"state": "lost"}, "item_state_known", "This state is not known to the program."),
        ({"system": "roof"}, "item_system_known", "This system is not known to the program."),
        (
            {"labor_low_minutes": 61},
            "item_minutes_in_order",
            "Minutes go from low over likely to high, 60,000 at most.",
        ),
        (
            {"labor_high_minutes": 60_001},
            "item_minutes_in_order",
            "Minutes go from low over likely to high, 60,000 at most.",
        ),
        ({"sublet_cents": -1}, "item_costs_not_negative", "A cost can't be negative."),
        ({"net_cost_cents": -1}, "item_costs_not_negative", "A cost can't be negative."),
        ({"tier": 5}, "item_tier_known", "Tiers go from 0 to 4."),
        ({"cost_cents": -1}, "item_costs_not_negative", "A cost can't be negative."),
        (
            {"access_minutes": 41},
            "item_access_within_labor",
            "The access is part of the labor, at its least.",
        ),
        ({"state": "done"}, "item_done_has_day", "A done item has the day it was done."),
    ],
)
def test_an_item_is_refused(changes: dict[str, Any], rule: str, sentence: str) -> None:
    assert_refused(unsaved(make_item(), **changes), rule, sentence)


def test_an_order_is_on_record_once() -> None:
    item = make_item()
    first = make_item(intake=item.intake)
    row = Prerequisite.objects.create(program=item.program, item=item, first=first)
    sentence = "This order is on record already."
    assert_refused(unsaved(row), "prerequisite_once", sentence)
    assert str(row) == "Two front tires before Two front tires"


def test_no_item_comes_before_itself() -> None:
    item = make_item()
    row = Prerequisite(program=item.program, item=item, first=item)
    sentence = "A repair item can't need itself."
    assert_refused(row, "prerequisite_of_another", sentence)


def test_an_estimate_has_its_number_alone() -> None:
    sentence = "This version of the estimate exists already."
    assert_refused(unsaved(make_estimate()), "estimate_version_once", sentence)


@pytest.mark.parametrize("points", [{"p50_cents": 3}, {"p50_cents": -1}])
def test_the_points_of_an_estimate_are_in_order(points: dict[str, int]) -> None:
    row = unsaved(make_estimate(), number=2, **points)
    sentence = "The 80 percent point is not below the 50 percent point."
    assert_refused(row, "estimate_points_in_order", sentence)


def test_an_item_is_in_an_estimate_once() -> None:
    sentence = "This item is in the estimate already."
    assert_refused(unsaved(make_line()), "estimate_line_once", sentence)


@pytest.mark.parametrize("costs", [{"low_cents": 9}, {"high_cents": 1}, {"low_cents": -1}])
def test_the_costs_of_a_line_are_in_order(costs: dict[str, int]) -> None:
    line = make_line()
    row = unsaved(line, item=make_item(intake=line.estimate.intake), **costs)
    sentence = "Costs go from low over likely to high."
    assert_refused(row, "estimate_line_in_order", sentence)


@pytest.mark.parametrize(
    ("changes", "rule", "sentence"),
    [
        ({"state": "lost"}, "need_state_known", "This state is not known to the program."),
        (
            {"quantity": 0},
            "need_quantity_above_zero",
            "The quantity of a need must be more than zero.",
        ),
        (
            {"price_low_cents": 12_001},
            "need_prices_in_order",
            "Prices go from low over likely to high, none below zero.",
        ),
        (
            {"price_high_cents": 11_999},
            "need_prices_in_order",
            "Prices go from low over likely to high, none below zero.",
        ),
    ],
)
def test_a_need_is_refused(changes: dict[str, Any], rule: str, sentence: str) -> None:
    assert_refused(unsaved(make_need(), **changes), rule, sentence)


def test_open_items_are_neither_done_nor_withdrawn() -> None:
    open_one = make_item()
    make_item(state="done", done_on=TODAY)
    make_item(state="withdrawn")
    assert list(RepairItem.objects.open()) == [open_one]


def test_items_rank_by_tier_then_index_then_number() -> None:
    later = make_item(tier=2, index_tenths=900)
    equal = [make_item(tier=0, index_tenths=5), make_item(tier=0, index_tenths=5)]
    first = make_item(tier=0, index_tenths=9)
    assert list(RepairItem.objects.ranked()) == [first, *equal, later]
    assert first.index == 0.9


def test_sponsors_see_open_needs_with_an_approved_text() -> None:
    seen = make_need()
    make_need(approved_text="")
    make_need(state="filled")
    assert list(Need.objects.shown_to_sponsors()) == [seen]


def test_a_user_sees_the_needs_of_their_cars() -> None:
    user = make_user()
    seen = make_need()
    stay = make_intake(program=make_program(name="Weir Street Garage"))
    make_need(item=make_item(intake=stay))
    tied = make_need()
    tied.item.intake.vehicle.withheld_from.add(user)
    assert list(Need.objects.for_user(user)) == [seen]


def test_rows_say_what_they_are() -> None:
    line = make_line()
    assert (str(line.estimate), str(line)) == ("estimate 1", "estimate 1: Two front tires")
    assert str(make_need()) == "Radiator"
