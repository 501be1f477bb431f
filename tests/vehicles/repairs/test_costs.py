"""What items cost by the program's rule, worked out by hand."""

from __future__ import annotations

import datetime as dt

import pytest

from tests.factories import TODAY, make_finding, make_intake, make_item, make_need, make_program
from vehicles.repairs.charges import Cash, Rates
from vehicles.repairs.computing import make_estimate
from vehicles.repairs.costs import (
    SUPPLIES,
    car_points,
    cash_points,
    cost_points,
    estimate_items,
    lines_of,
    minute_items,
    minute_points,
    need_points,
    rank_item,
    rates_of,
    saved_minutes,
    work_points,
)
from vehicles.repairs.estimate import EstimateItem

pytestmark = pytest.mark.django_db

HOUR = Rates(labor_cents_per_hour=6_000)
HOUR_AND_TAX = Rates(labor_cents_per_hour=6_000, parts_tax_hundredths=825)
# 8.25 percent of tax; supplies are 5 percent of parts and labor, $25.00 at most.
TAXED = Rates(parts_tax_hundredths=825, supplies_percent=5, supplies_most_cents=2_500)


def test_a_new_program_adds_and_corrects_nothing() -> None:
    assert rates_of(make_program()) == Rates(supplies_most_cents=2_500)


def test_the_cost_of_an_item_is_labor_sublet_and_parts() -> None:
    item = make_item(sublet_cents=7_500)
    make_need(item=item, quantity=2)
    make_need(item=item, price_low_cents=None, price_cents=500, price_high_cents=None)
    # 40, 60 and 90 minutes at $60.00; twice $100, $120 and $160; $5.00; $75.00 elsewhere
    assert cost_points(item, (), HOUR) == (32_000, 38_000, 49_000)


def test_a_part_without_a_price_costs_nothing() -> None:
    item = make_item()
    make_need(item=item, price_cents=None, price_low_cents=None, price_high_cents=None)
    assert cost_points(item, (), Rates()) == (0, 0, 0)


def test_an_item_ranks_by_its_findings_cost_and_days() -> None:
    item = make_item(findings=[make_finding()])
    need = make_need(item=item)
    row = rank_item(item, (), Rates(), TODAY)
    assert (row.id, len(row.hazards)) == (item.pk, 1)
    assert (row.net_cost_cents, row.days_waiting) == (12_000, 7)
    assert rank_item(item, {need.pk}, Rates(), TODAY).net_cost_cents == 0


def test_a_car_that_comes_later_has_waited_no_day() -> None:
    item = make_item(intake=make_intake(arrived_on=TODAY))
    assert rank_item(item, (), Rates(), TODAY - dt.timedelta(days=3)).days_waiting == 0


def test_money_and_minutes_go_into_the_simulation_as_three_points() -> None:
    item = make_item()
    make_need(item=item)
    money = EstimateItem(id=item.pk, low=10_000, likely=12_000, high=16_000)
    minutes = EstimateItem(id=item.pk, low=40, likely=60, high=90)
    assert (
        estimate_items(lines_of([item], (), Rates()), Rates()),
        minute_items([item], Rates()),
    ) == (
        [money],
        [minutes],
    )


def test_an_item_shows_its_labor_parts_outside_work_and_tax_apart() -> None:
    item = make_item(sublet_cents=7_500)
    make_need(item=item)
    _, likely, _ = cash_points(item, (), HOUR_AND_TAX)
    assert likely == Cash(labor=6_000, parts=12_000, outside=7_500, tax=990)
    assert (likely.work, likely.total) == (25_500, 26_490)


def test_a_part_that_is_given_is_not_taxed() -> None:
    item = make_item()
    need = make_need(item=item)
    assert cash_points(item, {need.pk}, TAXED)[1] == Cash()


def test_tax_and_supplies_are_lines_of_the_car_and_of_no_item() -> None:
    item = make_item()
    make_need(item=item)
    assert cost_points(item, (), TAXED) == (10_000, 12_000, 16_000)
    low, likely, high = car_points([cash_points(item, (), TAXED)], TAXED)
    assert (low.tax, likely.tax, high.tax) == (825, 990, 1_320)
    assert (low.supplies, likely.supplies, high.supplies) == (500, 600, 800)
    assert (low.total, likely.total, high.total) == (11_325, 13_590, 18_120)


def test_supplies_are_asked_once_a_car_and_capped() -> None:
    items = [make_item(title=f"Job {at}") for at in range(5)]
    for item in items:
        make_need(item=item)
    lines = lines_of(items, (), TAXED)
    assert [one.supplies for one in car_points(lines.values(), TAXED)] == [2_500, 2_500, 2_500]


def test_the_simulation_draws_tax_with_its_part_and_supplies_beside() -> None:
    item = make_item()
    make_need(item=item)
    assert estimate_items(lines_of([item], (), TAXED), TAXED) == [
        EstimateItem(id=item.pk, low=10_825, likely=12_990, high=17_320),
        EstimateItem(id=SUPPLIES, low=500, likely=600, high=800),
    ]


def test_what_a_plan_counts_adds_up_to_the_items_of_the_estimate() -> None:
    item = make_item(sublet_cents=7_500)
    needs = [make_need(item=item, quantity=3), make_need(item=item, price_cents=10_001)]
    rates = HOUR_AND_TAX
    plan = [work_points(item, rates), *(need_points(need, rates) for need in needs)]
    (drawn,) = estimate_items(lines_of([item], (), rates), rates)
    assert tuple(map(sum, zip(*plan, strict=True))) == (drawn.low, drawn.likely, drawn.high)


def test_the_programs_own_correction_moves_minutes_and_prices() -> None:
    item = make_item(sublet_cents=7_500)
    make_need(item=item)
    rates = Rates(labor_correction_percent=110, parts_correction_percent=105)
    assert minute_points(item, rates) == (44, 66, 99)
    assert cash_points(item, (), rates)[1] == Cash(parts=12_600, outside=7_875)


def test_an_estimate_holds_tax_and_supplies_in_its_points_and_not_in_its_lines() -> None:
    item = make_item()
    make_need(item=item, price_low_cents=12_000, price_high_cents=12_000)
    estimate = make_estimate(intake=item.intake, given=(), rates=TAXED, by=None)
    assert (estimate.p50_cents, estimate.p80_cents) == (13_590, 13_590)
    assert [line.likely_cents for line in estimate.lines.all()] == [12_000]


def test_what_comes_off_once_is_counted_once_in_minutes_and_money() -> None:
    stay = make_intake()
    pads, hose, alone = (
        make_item(intake=stay, title=title, access=access, access_minutes=minutes)
        for title, access, minutes in (
            ("Pads", "wheels", 15),
            ("Hose", "wheels", 10),
            ("Bulb", "", 0),
        )
    )
    items = [pads, hose, alone]
    assert saved_minutes(items) == {hose.pk: 10}
    assert [one.likely for one in minute_items(items, Rates())] == [60, 50, 60]
    lines = lines_of(items, (), HOUR)
    assert [points[1].labor for points in lines.values()] == [6_000, 5_000, 6_000]


def test_of_jobs_that_take_the_same_off_equally_long_the_first_does_it() -> None:
    stay = make_intake()
    items = [
        make_item(intake=stay, title=title, access="wheels", access_minutes=10)
        for title in ("Pads", "Hose")
    ]
    assert saved_minutes(items) == {items[1].pk: 10}
