"""Items are ranked and estimated.

The ranking follows MIL-STD-882E, tables I to III, and the class weights of COM(2012) 382 Annex I;
both are checked cell by cell beside `ranking`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from shared.models import Event
from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_item,
    make_need,
    make_program,
    make_user,
)
from vehicles.models import Estimate
from vehicles.repairs.charges import Rates
from vehicles.repairs.computing import make_estimate, rank_items, rank_now, rank_page, rank_stay
from vehicles.repairs.costs import rates_of

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


def test_a_dangerous_finding_ranks_its_item_and_its_needs_first() -> None:
    """One dangerous finding of severity 1: cell 1C, high risk; 40 x 4 points."""
    item = make_item(findings=[make_finding()], tier=4, points=0)
    need = make_need(item=item, tier=4)
    count = rank_items(program=item.program, given=(), rates=Rates(), today=TODAY)
    item.refresh_from_db()
    need.refresh_from_db()
    assert (count, item.tier, need.tier) == (1, 0, 0)
    assert (item.cell, item.points, item.net_cost_cents) == ("1C", 160, 12_000)
    assert item.index_tenths == 160 * 1000 * 100 // 12_000
    assert item.tier_because == "Tier 0: the class is dangerous."


def test_a_given_part_costs_nothing_and_moves_the_index_not_the_tier() -> None:
    item = make_item(findings=[make_finding(deficiency="major", severity=2)])
    need = make_need(item=item)
    rank_items(program=item.program, given={need.pk}, rates=Rates(), today=TODAY)
    item.refresh_from_db()
    assert (item.net_cost_cents, item.tier, item.index_tenths) == (0, 2, 800)


def test_the_shop_ranks_with_the_parts_that_are_known_as_given() -> None:
    item = make_item(findings=[make_finding(deficiency="major", severity=2)])
    need = make_need(item=item)
    rank_items(program=item.program, given={need.pk}, rates=Rates(), today=TODAY)
    assert rank_now(item.intake) == 1
    item.refresh_from_db()
    hour = rates_of(item.program).labor_cents_per_hour
    assert item.net_cost_cents == hour
    assert [row.net_cost_cents for row in rank_page(item.intake).rows] == [hour]
    rank_items(program=item.program, given=(), rates=Rates(), today=TODAY)
    assert [row.net_cost_cents for row in rank_page(item.intake).rows] == [hour + 12_000]


def test_each_car_ranks_by_its_own_miles() -> None:
    finding = {"deficiency": "major", "severity": 2}
    near = make_item(findings=[make_finding(**finding)])
    stay = make_intake(miles_per_week=400)
    far = make_item(intake=stay, findings=[make_finding(intake=stay, **finding)])
    rank_items(program=near.program, given=(), rates=Rates(), today=TODAY)
    near.refresh_from_db()
    far.refresh_from_db()
    assert (near.tier, far.tier) == (2, 2)
    assert (near.points, far.points) == (20, 30)  # 2D medium; one level up, 2C serious


def test_only_open_items_of_the_program_are_ranked() -> None:
    finished = make_item(state="done", done_on=TODAY, tier=0)
    stay = make_intake(program=make_program(name="Weir Street Garage"))
    other = make_item(intake=stay, tier=0)
    count = rank_items(program=finished.program, given=(), rates=Rates(), today=TODAY)
    finished.refresh_from_db()
    other.refresh_from_db()
    assert (count, finished.tier, other.tier) == (0, 0, 0)


def test_one_stay_is_ranked_alone() -> None:
    item, other = make_item(tier=0), make_item(tier=0)
    count = rank_stay(intake=item.intake, given=(), rates=Rates(), today=TODAY)
    item.refresh_from_db()
    other.refresh_from_db()
    assert (count, item.tier, other.tier) == (1, 4, 0)
    assert item.tier_because == "Tier 4: nothing sets it higher."


@pytest.mark.parametrize("count", [1, 3])
def test_ranking_takes_as_many_queries_for_one_item_as_for_three(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(count):
        make_need(item=make_item(findings=[make_finding()]))
    program = make_program()
    with django_assert_num_queries(8):
        rank_items(program=program, given=(), rates=Rates(), today=TODAY)


def estimate(stay: Intake, **fields: Any) -> Estimate:
    defaults: dict[str, Any] = {"given": (), "rates": Rates(labor_cents_per_hour=6_000), "by": None}
    return make_estimate(intake=stay, **defaults | fields)


def test_an_estimate_has_its_points_in_order_and_a_line_for_each_open_item() -> None:
    stay = make_intake()
    item = make_item(intake=stay)
    make_item(intake=stay, state="done", done_on=TODAY)
    made = estimate(stay, by=make_user())
    line = made.lines.get()
    assert (made.number, line.item) == (1, item)
    assert (line.low_cents, line.likely_cents, line.high_cents) == (4_000, 6_000, 9_000)
    assert 4_000 < made.p50_cents < made.p80_cents < 9_000
    assert 60 < made.p80_minutes < 90
    event = Event.objects.about("estimate", made.pk).get()
    assert (line.p80_cents, event.what) == (made.p80_cents, "An estimate was made.")


def test_the_lines_share_out_the_80_percent_point_to_the_cent() -> None:
    stay = make_intake()
    for _ in range(3):
        make_need(item=make_item(intake=stay))
    made = estimate(stay)
    assert sum(line.p80_cents for line in made.lines.all()) == made.p80_cents


def test_the_same_facts_give_the_same_estimate() -> None:
    stay = make_intake()
    make_item(intake=stay)
    assert estimate(stay) == estimate(stay)
    assert Estimate.objects.count() == 1


def test_other_facts_give_the_next_version() -> None:
    stay = make_intake()
    need = make_need(item=make_item(intake=stay))
    first = estimate(stay)
    second = estimate(stay, given={need.pk})
    assert (first.number, second.number) == (1, 2)
    assert second.p80_cents < first.p80_cents


def test_one_more_item_that_costs_nothing_gives_the_next_version() -> None:
    stay = make_intake()
    make_item(intake=stay)
    free = {"labor_low_minutes": 0, "labor_likely_minutes": 0, "labor_high_minutes": 0}
    estimate(stay)
    make_item(intake=stay, **free)
    assert estimate(stay).number == 2


def test_a_stay_without_items_is_estimated_at_nothing() -> None:
    made = estimate(make_intake())
    assert (made.p50_cents, made.p80_cents, made.p80_minutes) == (0, 0, 0)
