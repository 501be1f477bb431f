"""Prices side by side, and jobs read for their record."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.utils import timezone

from shared.say import Say, say
from tests.factories import TODAY, make_intake, make_item, make_need, make_program, make_vehicle
from tests.vehicles.estimates.rows import make_quote
from vehicles.estimates.queries import (
    cash_job,
    conditions_of,
    done_items,
    labor_job,
    past_cars,
    prices_of,
)
from vehicles.repairs.queries import asks_cost

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from vehicles.models import RepairItem

pytestmark = pytest.mark.django_db


def days(count: int) -> dt.date:
    return TODAY - dt.timedelta(days=count)


def test_prices_stand_side_by_side_against_what_is_counted() -> None:
    need = make_need()  # likely $120.00
    make_quote(need=need, cents=14_000, quoted_on=days(78))
    make_quote(need=need, cents=11_000, good_until_on=days(1), quoted_on=days(9))
    make_quote(need=need, cents=9_000, withdrawn_because="Sold", quoted_on=days(99))
    cheap, dear, gone = prices_of(need, TODAY)
    assert (cheap.cheaper_cents, cheap.has_run_out, cheap.may_be_chosen) == (1_000, True, False)
    assert (dear.dearer_cents, dear.days, dear.is_oldest) == (2_000, 78, True)
    assert (gone.quote.withdrawn_because, gone.is_oldest, gone.may_be_chosen) == (
        "Sold",
        False,
        False,
    )


def test_of_prices_of_one_day_none_is_the_oldest() -> None:
    need = make_need()
    make_quote(need=need, chosen_at=timezone.now())
    make_quote(need=need, cents=12_000)
    assert [(one.is_oldest, one.may_be_chosen) for one in prices_of(need, TODAY)] == [
        (False, False),
        (False, True),
    ]


def test_a_price_of_work_elsewhere_without_a_cost_before_has_nothing_beside_it() -> None:
    item = make_item()
    make_quote(item=item)
    [price] = prices_of(item, TODAY)
    assert (price.against_cents, price.dearer_cents, price.caution) == (None, 0, None)


def test_what_is_looked_at_first_is_said_beside_a_used_price() -> None:
    need = make_need(kind="steering_wheel", system="steering")
    make_quote(need=need, condition="used")
    [price] = prices_of(need, TODAY)
    assert str(price.caution) == (
        "It is used: look it over for wear and hold it against the old part."
    )


@pytest.mark.parametrize(
    ("kind", "caution"),
    [("tire", None), ("battery", say("Test it under load before it is fitted."))],
)
def test_what_was_read_already_is_not_asked_again(kind: str, caution: Say | None) -> None:
    need = make_need(kind=kind)
    make_quote(need=need, condition="used")
    [price] = prices_of(need, TODAY)
    assert price.caution == caution


def test_each_refused_condition_says_why() -> None:
    found = conditions_of(make_need(kind="wheel_cylinder", system="brakes"))
    assert found.taken == ("new", "rebuilt")
    assert [str(one) for one in found.refused] == [
        "A used brake cylinder is not taken: its seals can’t be seen. A rebuilt one is."
    ]


@pytest.mark.parametrize("count", [1, 3])
def test_papers_are_not_read_to_list_prices(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    need = make_need()
    for _ in range(count):
        make_quote(need=need, paper=b"%PDF-1.7", paper_type="application/pdf")
    with django_assert_num_queries(1):
        found = prices_of(need, TODAY)
    assert "paper" in found[0].quote.get_deferred_fields()


def done(**fields: object) -> RepairItem:
    defaults: dict[str, object] = {"state": "done", "done_on": TODAY}
    return make_item(**defaults | fields)


def test_a_job_is_held_against_its_labor_and_its_bought_parts() -> None:
    item = done(took_minutes=75, cost_cents=33_000, sublet_cents=7_500)
    make_need(item=item, state="filled", quantity=2)
    make_need(item=item, state="filled", given=True)
    make_need(item=item, state="withdrawn")
    labor, cash = labor_job(item), cash_job(item)
    assert labor is not None
    assert cash is not None
    assert (labor.low, labor.likely, labor.high, labor.actual) == (40, 60, 90, 75)
    # $75.00 elsewhere, twice $100, $120 and $160.
    assert (cash.low, cash.likely, cash.high, cash.actual) == (27_500, 31_500, 39_500, 33_000)


def test_a_job_without_figures_is_no_job() -> None:
    item = done()
    assert (labor_job(item), cash_job(item)) == (None, None)


def test_a_cost_is_asked_where_something_was_bought() -> None:
    lent, given, bare = done(sublet_cents=1), done(title="Pump"), done(title="Aim")
    make_need(item=given, state="filled", given=True)
    bought = done(title="Bulb")
    make_need(item=bought, state="filled")
    assert [asks_cost(one) for one in (lent, given, bare, bought)] == [True, False, False, True]


def test_a_past_car_counts_once_all_that_it_took_is_on_record() -> None:
    known, unknown = (make_intake(vehicle=make_vehicle(vin=""), left_on=TODAY) for _ in range(2))
    done(intake=known, took_minutes=90, cost_cents=5_000)
    done(intake=known, took_minutes=30, title="Aim")
    done(intake=unknown, took_minutes=30)
    done(intake=unknown, title="Aim")
    done(intake=make_intake(), took_minutes=30)  # it is still here
    items = list(done_items(make_program()))
    assert past_cars(items, 0) == [5_000]
    assert past_cars(items, 4_000) == [5_000 + 8_000]
