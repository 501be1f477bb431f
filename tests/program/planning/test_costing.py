"""What the work of a plan may cost in all."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest

from program.planning.costing import cost_of
from program.planning.plan import PartSource, Plan, PlannedCase
from shared.policy.models import Policy
from tests.factories import make_need
from tests.program.planning.weeks import make_ready, make_shop, make_work

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from shared.models import Program
    from vehicles.estimates.risk import ManyRisk
    from vehicles.models import RepairItem

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]

EXACT = {"price_low_cents": 10_000, "price_cents": 10_000, "price_high_cents": 10_000}


def shop(**rules: int) -> Program:
    """Return a shop in which nothing moves all cars and every part is found, unless said."""
    program = make_shop()
    for name, value in ({"shared_risk_percent": 0, "not_found_percent": 0} | rules).items():
        Policy.objects.create(program=program, name=name, value=value, since_on=dt.date(2026, 1, 1))
    return program


def work(number: str, **fields: Any) -> RepairItem:
    """Return in-house work of a car that lacks one part of exactly 100 dollars."""
    item = make_work(make_ready(number), **{"sublet_cents": 0} | fields)
    make_need(item=item, **EXACT)
    return item


def planned(*items: RepairItem, given: bool = False) -> Plan:
    """Return a plan with one case for each item, its part bought or given."""
    cases = []
    for item in items:
        need = f"{item.needs.get().pk}.1"
        source = PartSource(need_id=need, supply_id="9" if given else "", cents=0)
        cases.append(
            PlannedCase(
                case_id=str(item.pk),
                start_week=0,
                home_week=0,
                item_ids=(str(item.pk),),
                parts=(source,),
            )
        )
    return Plan(cases=tuple(cases), stages=())


def points(risk: ManyRisk) -> tuple[int, int]:
    return risk.p50, risk.p80


def test_given_parts_cost_nothing() -> None:
    program = shop()
    item = work("26-041", sublet_cents=20_000)
    assert points(cost_of(program, planned(item), seed=1)) == (30_000, 30_000)
    assert points(cost_of(program, planned(item, given=True), seed=1)) == (20_000, 20_000)


def test_a_plan_without_cars_costs_nothing() -> None:
    assert points(cost_of(shop(), planned(), seed=1)) == (0, 0)


def test_each_car_is_told_by_its_stay() -> None:
    program = shop()
    one, two = work("26-041"), work("26-042")
    risk = cost_of(program, planned(one, two), seed=1)
    assert risk.spread == {one.intake_id: 10_000, two.intake_id: 10_000}
    assert points(risk) == (20_000, 20_000)


def test_what_moves_all_cars_moves_two_as_it_moves_one() -> None:
    """Two cars of one price and one shared factor spread twice as wide as one, not 1.4 times."""
    program = shop(shared_risk_percent=15)
    one, two = work("26-041"), work("26-042")
    alone = cost_of(program, planned(one), seed=1)
    both = cost_of(program, planned(one, two), seed=1)
    assert alone.p80 > alone.p50
    assert both.p80 == pytest.approx(2 * alone.p80, abs=2)


def test_the_same_seed_gives_the_same_figures() -> None:
    program = shop(shared_risk_percent=15)
    plan = planned(work("26-041"))
    assert cost_of(program, plan, seed=1) == cost_of(program, plan, seed=1)
    assert cost_of(program, plan, seed=1) != cost_of(program, plan, seed=2)


def test_it_reads_as_often_for_two_cars_as_for_one(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    program = shop()
    plan = planned(work("26-041"), work("26-042"))
    with django_assert_num_queries(5):
        cost_of(program, plan, seed=1)


def test_a_part_that_is_not_found_costs_more() -> None:
    program = shop(not_found_percent=100, not_found_cost_percent=200)
    assert points(cost_of(program, planned(work("26-041")), seed=1)) == (20_000, 20_000)
