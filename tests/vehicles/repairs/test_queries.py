"""Rows of repairs, read into what the pure modules compute with."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
import time_machine

from shared.audit.actions import log_event
from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_item,
    make_need,
    make_user,
    make_vehicle,
)
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.models import Estimate, EstimateLine, RepairItem
from vehicles.repairs.actions import make_estimate
from vehicles.repairs.charges import Rates
from vehicles.repairs.parts import Car, Fitment
from vehicles.repairs.queries import (
    Untold,
    hazard,
    is_stale,
    latest_estimate,
    open_need,
    open_needs,
    open_parts,
    timeline,
    untold,
    with_work,
)
from vehicles.repairs.ranking import CodeSeverity, Hazard
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize("count", [1, 3])
def test_items_come_with_their_work_in_four_queries(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(count):
        make_need(item=make_item(findings=[make_finding()]))
    with django_assert_num_queries(4):
        for item in with_work(RepairItem.objects.all()):
            assert (item.intake.odometer_mi, len(item.findings.all())) == (148_190, 1)
            assert (len(item.needs.all()), len(item.needs_first.all())) == (1, 0)


def test_a_need_shows_its_part_its_car_and_its_approved_text() -> None:
    need = make_need(county="Alder", household_kinds=["children"], tier=1)
    seen = open_need(need)
    assert (seen.id, seen.title, seen.tier) == (need.pk, "Radiator", 1)
    assert seen.car == Car(year=2012, make="Toyota", model="Corolla")
    assert seen.part.system is System.COOLING
    assert seen.part.fitment == Fitment(
        make="Toyota", model="Corolla", year_from=2009, year_to=2013
    )
    assert (seen.text, seen.county) == ("A radiator for a family's sedan.", "Alder")
    assert (seen.household_kinds, seen.price_cents) == (("children",), 12_000)


def test_needs_are_shown_most_urgent_then_oldest_first() -> None:
    late = make_need(tier=0, opened_on=TODAY)
    rest = make_need(tier=4, opened_on=TODAY - dt.timedelta(days=9))
    old = make_need(tier=0, opened_on=TODAY - dt.timedelta(days=1))
    assert [need.id for need in open_needs([late, rest, old])] == [old.pk, late.pk, rest.pk]


def test_a_finding_becomes_the_hazard_that_ranks() -> None:
    finding = make_finding(never_release=True, strands=True, code_severity="stop_driving")
    assert hazard(finding) == Hazard(
        deficiency=DeficiencyClass.DANGEROUS,
        severity=1,
        never_release=True,
        strands=True,
        code=CodeSeverity.STOP_DRIVING,
    )


def test_a_part_is_to_be_bought_unless_filled_or_given() -> None:
    item = make_item()
    wanted, given = make_need(item=item), make_need(item=item)
    make_need(item=item, state="filled")
    assert open_parts(item, {given.pk}) == [wanted]


def test_the_latest_estimate_is_the_one_of_the_highest_number() -> None:
    stay = make_intake()
    assert latest_estimate(stay) is None
    make_need(item=make_item(intake=stay))
    make_estimate(intake=stay, given=(), rates=Rates(), by=None)
    second = make_estimate(intake=stay, given=(), rates=Rates(labor_cents_per_hour=100), by=None)
    assert (latest_estimate(stay), second.number) == (second, 2)


def test_an_estimate_is_stale_once_other_items_are_open() -> None:
    item = make_item()
    estimate = make_estimate(intake=item.intake, given=(), rates=Rates(), by=None)
    assert not is_stale(estimate, [item])
    assert is_stale(estimate, [item, make_item(intake=item.intake)])
    assert is_stale(estimate, [])
    assert (Estimate.objects.count(), EstimateLine.objects.count()) == (1, 1)


def test_the_timeline_gathers_what_was_done_on_a_stay() -> None:
    stay, user = make_intake(), make_user()
    item, finding = make_item(intake=stay), make_finding(intake=stay)
    with time_machine.travel("2026-11-30 15:00Z", tick=False):
        log_event(stay, "A reading was recorded.", by=user)
        log_event(stay, "A reading was recorded.", by=user)
        log_event(finding, "The finding was withdrawn.", by=None, reason="read again")
        log_event(item, "A repair item was added.", by=user)
        log_event(make_vehicle(), "The car is “In repair”.", by=user)
    assert [(line.sentence, line.by) for line in timeline(stay)] == [
        ("A repair item was added.", str(user)),
        ("The finding was withdrawn. (read again)", "Handback"),
        ("A reading was recorded, 2 times.", str(user)),
    ]
    with time_machine.travel("2026-12-01 15:00Z", tick=False):
        log_event(stay.vehicle, "The car is “In repair”.", by=user)
    newest = timeline(stay)[0]
    assert (newest.at.date(), newest.sentence) == (dt.date(2026, 12, 1), "The car is “In repair”.")


@pytest.mark.parametrize("count", [1, 3])
def test_a_timeline_takes_four_queries(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    stay = make_intake()
    for _ in range(count):
        log_event(make_item(intake=stay), "A repair item was added.", by=make_user())
    with django_assert_num_queries(4):
        timeline(stay)


def test_what_nobody_wrote_down_of_done_items_is_asked_newest_first() -> None:
    stay = make_intake()
    done = {"intake": stay, "state": "done", "done_on": TODAY}
    make_item(title="Whole", took_minutes=75, **done)
    first, second = make_item(title="First", **done), make_item(title="Second", **done)
    paid = make_item(title="Paid", took_minutes=75, sublet_cents=7_500, **done)
    make_item(intake=stay, title="Open")
    assert untold(with_work(stay.items.all())) == [
        Untold(item=paid, minutes=False, cost=True),
        Untold(item=second, minutes=True, cost=False),
        Untold(item=first, minutes=True, cost=False),
    ]
