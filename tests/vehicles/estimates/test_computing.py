"""The estimate of a car as it is now, its versions, and the record of all."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest

from shared.policy.actions import set_policies
from tests.factories import TODAY, make_finding, make_intake, make_item, make_need, make_user
from vehicles.estimates.computing import estimate_of, outlook, paper_of, record_of
from vehicles.repairs.charges import Rates
from vehicles.repairs.computing import make_estimate
from vehicles.repairs.costs import rates_of

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from vehicles.models import Estimate, Intake

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("today")]


@pytest.fixture
def today(time_machine: Any) -> None:
    time_machine.move_to(dt.datetime.combine(TODAY, dt.time(12), dt.UTC), tick=False)


def made(stay: Intake) -> Estimate:
    return make_estimate(intake=stay, given=(), rates=rates_of(stay.program), by=None)


def test_each_line_says_what_it_costs_and_where_that_is_from() -> None:
    item = make_item(findings=[make_finding()], sublet_cents=7_500)
    make_need(item=item, quantity=2, price_source="counter", priced_on=TODAY - dt.timedelta(78))
    found = estimate_of(item.intake)
    [line] = found.lines
    [part] = line.parts
    assert (line.likely.work, line.likely_minutes, line.saved_minutes) == (31_500, 60, 0)
    assert (part.likely_cents, part.source, part.age) == (24_000, "counter", "78 days old")
    assert (part.is_old, part.is_oldest) == (True, False)  # there is no other to be older than
    assert found.likely.total == 31_500


def test_a_line_names_the_operation_of_the_catalogue() -> None:
    item = make_item(title="Front pads", operation="brake-pads-front")
    make_item(intake=item.intake, title="By hand", operation="")
    make_item(intake=item.intake, title="Of an older catalogue", operation="gone")
    named = {line.title: line.operation for line in estimate_of(item.intake).lines}
    assert named == {
        "Front pads": "Replace front brake pads",
        "By hand": "",
        "Of an older catalogue": "",
    }


def test_the_oldest_of_several_prices_is_marked() -> None:
    item = make_item()
    for age in (3, 78):
        make_need(item=item, priced_on=TODAY - dt.timedelta(days=age))
    parts = estimate_of(item.intake).lines[0].parts
    assert [one.is_oldest for one in parts] == [False, True]


def test_a_gift_costs_nothing_and_a_part_without_price_is_named() -> None:
    item = make_item()
    make_need(item=item, given=True)
    make_need(
        item=item, title="Hose", price_cents=None, price_low_cents=None, price_high_cents=None
    )
    found = estimate_of(item.intake)
    assert [one.is_given for one in found.lines[0].parts] == [True, False]
    assert (found.likely.total, found.unpriced) == (0, ["Hose"])


def test_what_comes_off_once_is_said_and_subtracted() -> None:
    stay = make_intake()
    for title, minutes in (("Pads", 15), ("Hose", 10)):
        make_item(intake=stay, title=title, access="wheels_front", access_minutes=minutes)
    found = estimate_of(stay)
    assert sorted(line.saved_minutes for line in found.lines) == [0, 10]
    assert [str(one) for one in found.shared] == [
        "The front wheels come off once for “Pads” and “Hose”: 10 minutes less."
    ]


def test_an_estimate_is_current_until_something_costs_otherwise() -> None:
    item = make_item()
    need = make_need(item=item)
    assert not estimate_of(item.intake).is_current
    made(item.intake)
    assert estimate_of(item.intake).is_current
    need.price_low_cents = need.price_cents = need.price_high_cents = 15_000
    need.save()
    assert not estimate_of(item.intake).is_current


def test_a_version_says_what_it_changed() -> None:
    item = make_item(title="Radiator")
    need = make_need(item=item, price_low_cents=12_000, price_high_cents=12_000)
    made(item.intake)
    need.price_low_cents = need.price_cents = need.price_high_cents = 15_000
    need.save()
    made(item.intake)
    second, first = estimate_of(item.intake).versions
    assert (second.number, first.changes) == (2, ())
    assert [str(one) for one in second.changes] == [
        "Radiator: likely $120.00 before, $150.00 now.",
        "Eight in ten such cars cost at most $150.00 now, $120.00 before.",
    ]


@pytest.mark.parametrize("count", [1, 3])
def test_an_estimate_takes_the_same_queries_for_more_items(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    stay = make_intake()
    for at in range(count):
        make_need(item=make_item(intake=stay, title=f"Job {at}"))
    made(stay)
    with django_assert_num_queries(9):
        estimate_of(stay)


def test_only_what_counts_now_is_put_on_paper() -> None:
    item = make_item()
    assert paper_of(item.intake) is None
    estimate = made(item.intake)
    paper = paper_of(item.intake)
    assert paper is not None
    assert (paper.number, paper.day) == (f"E-{item.intake_id}-{estimate.number}", TODAY)
    assert paper.stop_over_percent == 10


def record_jobs(count: int, took: int) -> Intake:
    stay = make_intake()
    for at in range(count):
        make_item(intake=stay, title=f"Job {at}", state="done", done_on=TODAY, took_minutes=took)
    return stay


def test_the_record_tells_the_bias_of_its_jobs() -> None:
    stay = record_jobs(9, took=75)
    make_item(intake=stay, title="Not told", state="done", done_on=TODAY)
    found, items = record_of(stay.program)
    assert found.labor is not None
    assert (found.labor.correction_percent, found.labor.count, len(items)) == (125, 9, 10)
    assert [(name, one.count) for name, one in found.systems] == [("Tires", 9)]
    assert (found.missing, found.cash, found.year) == (1, None, None)
    assert str(found.cash_waits) == "0 jobs are on record; from 8 on they say something."


def test_a_year_is_drawn_from_the_cars_that_left() -> None:
    stay = record_jobs(2, took=60)
    stay.items.update(cost_cents=4_000)
    stay.left_on = TODAY
    stay.save()
    found, _ = record_of(stay.program)
    assert found.year is not None
    assert (found.year.cars, found.year.behind) == (1, 1)
    assert found.year.mean == pytest.approx(8_000, rel=0.02)


def test_an_outlook_shows_open_jobs_as_they_are_and_with_the_record() -> None:
    stay = record_jobs(9, took=75)
    make_need(item=make_item(intake=stay))
    set_policies(
        program=stay.program,
        values={"parts_correction_percent": 110},
        because="The board",
        by=make_user(),
    )
    found, _ = record_of(stay.program)
    seen = outlook(stay.program, found)
    assert (seen.jobs, seen.minutes, seen.cents) == (1, (60, 60, 75), (12_000, 13_200, 12_000))
    assert seen.adopted == Rates(supplies_most_cents=2_500, labor_correction_percent=125)
