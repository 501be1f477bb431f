from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.utils import timezone

from shared.dates import short_date
from sponsors.matching.actions import match_open, reserve
from sponsors.matching.compatibility import NeedLine, SupplyLine
from sponsors.matching.queries import (
    barrier,
    fit_words,
    matched,
    need_line,
    refused_pairs,
    reserved_need_ids,
    serving,
    standing_reservations,
    supply_line,
    tried,
    usable_supplies,
)
from sponsors.matching.states import Freed
from sponsors.models import Reservation
from sponsors.pledges.states import SupplyState
from tests.factories.shared import TODAY, make_program, make_user
from tests.factories.sponsors import make_pledge, make_supply
from tests.factories.vehicles import make_need
from vehicles.repairs.keeping import Seen, record_fit
from vehicles.repairs.parts import Car, Fitment, Part
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from sponsors.matching.queries import Matched

pytestmark = pytest.mark.django_db

COROLLA = Fitment(make="Toyota", model="Corolla", year_from=2009, year_to=2013)
RADIATOR = Part(kind="radiator", system=System.COOLING, fitment=COROLLA)
YESTERDAY = TODAY - dt.timedelta(days=1)
NEAREST = (
    "Nearest: Radiator, 2012 Toyota Corolla. It is for a Ford Focus; the car is a Toyota Corolla."
)


def page() -> Matched:
    return matched(make_program(), TODAY)


def test_a_need_is_read_with_its_car_and_no_more() -> None:
    need = make_need(county="Alder", household_kinds=["veteran"], quantity=2, tier=1)
    assert need_line(need, TODAY) == NeedLine(
        id=need.pk,
        tier=1,
        opened_on=TODAY,
        needed_on=TODAY,
        part=RADIATOR,
        car=Car(year=2012, make="Toyota", model="Corolla"),
        county="Alder",
        household_kinds=("veteran",),
        quantity=2,
    )


def test_a_unit_carries_the_conditions_of_its_pledge() -> None:
    last = TODAY + dt.timedelta(days=9)
    pledge = make_pledge(expires_on=last, counties=["Alder"], household_kinds=["veteran"])
    unit = pledge.units.get()
    assert supply_line(unit) == SupplyLine(
        id=unit.pk,
        pledge_id=pledge.pk,
        part=RADIATOR,
        expires_on=last,
        counties=("Alder",),
        household_kinds=("veteran",),
    )


def test_a_unit_on_the_shelf_has_no_conditions() -> None:
    unit = make_supply(fitment=COROLLA.to_dict())
    assert supply_line(unit) == SupplyLine(id=unit.pk, pledge_id=None, part=RADIATOR)


def test_serving_names_the_units_that_fit() -> None:
    need = make_need()
    fits = make_pledge().units.get()
    make_pledge(fitment={"make": "Ford", "model": "Focus"})
    make_pledge(counties=["Elsewhere"])
    supplies = usable_supplies(need.program, TODAY)
    assert serving([need], supplies, TODAY) == {need.pk: (fits.pk,)}


def test_a_need_costs_no_cash_once_all_its_units_are_kept() -> None:
    need, pledge = make_need(quantity=2), make_pledge(quantity=2)
    first, second = pledge.units.all()
    reserve(supply=first, need=need, made_for="hand", because="First.", by=None)
    assert reserved_need_ids(need.program) == frozenset()
    reserve(supply=second, need=need, made_for="hand", because="Second.", by=None)
    assert reserved_need_ids(need.program) == {need.pk}


def test_a_unit_that_is_gone_can_not_serve() -> None:
    need, unit = make_need(), make_pledge().units.get()
    assert barrier(unit, need, TODAY) is None
    unit.state = SupplyState.GONE
    unit.save()
    assert str(barrier(unit, need, TODAY)) == "This unit is not to be had any more."


def test_a_unit_that_was_held_against_the_old_part_is_kept_and_its_like_is_not() -> None:
    need = make_need(quantity=2)
    unit, like = (make_supply(fitment={}) for _ in range(2))
    asked = "The part does not say which make and model it is for."
    assert {str(barrier(one, need, TODAY)) for one in (unit, like)} == {asked}
    record_fit(need=need, said=Seen(how="OLD_PART", unit=unit.pk), by=make_user())
    need.refresh_from_db()
    assert (barrier(unit, need, TODAY), str(barrier(like, need, TODAY))) == (None, asked)
    assert match_open(program=need.program, today=TODAY) == 1
    row = Reservation.objects.get()
    assert (row.supply, row.because.partition(" Tier")[0]) == (
        unit,
        "Somebody made sure that this one fits.",
    )
    assert fit_words({(unit.pk, need.pk)}) == {
        (unit.pk, need.pk): "Somebody made sure that this one fits."
    }


def test_refused_is_what_a_person_took_apart_and_not_what_a_plan_moved() -> None:
    need, pledge = make_need(quantity=2), make_pledge(quantity=2)
    match_open(program=need.program, today=TODAY)
    mine, moved = Reservation.objects.all()
    Reservation.objects.filter(pk=mine.pk).update(freed_at=timezone.now(), freed_because="Bent.")
    Reservation.objects.filter(pk=moved.pk).update(
        freed_at=timezone.now(), freed_because=Freed.MOVED
    )
    assert refused_pairs(pledge.program) == {(need.pk, mine.supply_id)}


def test_the_page_says_what_is_kept_what_lacks_and_what_is_spare() -> None:
    urgent, late = make_need(tier=0), make_need(tier=3)
    unit = make_pledge().units.get()
    spare = make_pledge(fitment={"make": "Ford", "model": "Focus"}).units.get()
    match_open(program=make_program(), today=TODAY)
    shown = page()
    assert [(row.need, row.supply) for row in shown.kept] == [(urgent, unit)]
    assert [(row.need.id, row.units, str(row.reason)) for row in shown.lacking] == [
        (
            late.pk,
            1,
            "All that fits is kept for needs that come first: Radiator, 2012 Toyota Corolla.",
        )
    ]
    assert [(row.supply, str(row.reason)) for row in shown.spare] == [
        (
            spare,
            NEAREST,
        )
    ]


def test_a_need_without_a_pledge_of_its_part_says_so() -> None:
    make_need()
    make_pledge(kind="battery", system="battery")
    assert [str(row.reason) for row in page().lacking] == ["No pledge is of this part."]
    assert [str(row.reason) for row in page().spare] == ["No need is for this part."]


def test_a_unit_to_ask_about_is_named_at_its_need() -> None:
    make_need(car={"year": 2012, "make": "Toyota", "model": "Corolla LE"})
    unit = make_pledge().units.get()
    [row] = page().lacking
    assert row.ask == (unit,)


def test_what_fits_and_is_not_matched_yet_says_so() -> None:
    make_need()
    make_pledge()
    assert [str(row.reason) for row in page().lacking] == ["A part fits it: match again."]
    assert [str(row.reason) for row in page().spare] == ["A need fits it: match again."]


@pytest.mark.parametrize("count", [1, 3])
def test_the_page_takes_three_queries_however_many_there_are(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    for _ in range(count):
        make_need()
        make_pledge()
        make_pledge(fitment={"make": "Ford", "model": "Focus"})
    program = make_program()
    match_open(program=program, today=TODAY)
    with django_assert_num_queries(3):
        assert len(matched(program, TODAY).kept) == count


@pytest.mark.parametrize(
    ("pledge", "answer", "reason"),
    [
        ({}, "fits", "It is for a Toyota Corolla."),
        (
            {"fitment": {"make": "Ford", "model": "Focus"}},
            "does not fit",
            "It is for a Ford Focus; the car is a Toyota Corolla.",
        ),
        ({"counties": ["Birch"]}, "not allowed", "The pledge is for Birch only."),
        (
            {"fitment": {"make": "Toyota", "model": "Corolla", "engine": "1.8 L"}},
            "ask",
            "It is for one engine only; the car’s is not known.",
        ),
        (
            {"expires_on": YESTERDAY},
            "too late",
            f"The pledge ends on {short_date(YESTERDAY)}; the work is on {short_date(TODAY)}.",
        ),
    ],
)
def test_a_pledge_is_tried_on_each_open_need_of_its_part(
    pledge: dict[str, object], answer: str, reason: str
) -> None:
    need = make_need(county="Alder")
    make_need(kind="thermostat")
    [found] = tried(make_pledge(**pledge), TODAY)
    assert (found.need.id, found.answer, str(found.reason)) == (need.pk, answer, reason)


def test_a_pledge_is_tried_on_the_most_urgent_need_first_in_two_queries(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    late, urgent = make_need(tier=3), make_need(tier=0)
    pledge = make_pledge(quantity=2)
    with django_assert_num_queries(2):
        found = tried(pledge, TODAY)
    assert [one.need.id for one in found] == [urgent.pk, late.pk]


def test_a_pledge_that_nobody_needs_is_tried_on_nothing() -> None:
    make_need(kind="thermostat")
    make_need(program=make_program(name="Another garage"))
    assert tried(make_pledge(), TODAY) == []


def test_why_a_unit_fits_is_said_for_each_pair() -> None:
    need, unit = make_need(), make_pledge().units.get()
    assert fit_words({(unit.pk, need.pk)}) == {(unit.pk, need.pk): "It is for a Toyota Corolla."}


def test_the_first_of_two_needs_that_a_unit_misses_alike_is_named() -> None:
    make_need(title="Second", tier=3)
    make_need(title="First", tier=0, car={"year": 2012, "make": "Kia", "model": "Soul"})
    make_pledge(fitment={"make": "Ford", "model": "Focus"})
    [spare] = page().spare
    assert str(spare.reason).startswith("Nearest: First, 2012 Kia Soul. It is for a Ford Focus;")


def test_standing_is_what_was_not_freed_in_the_own_program() -> None:
    need = make_need()
    make_pledge()
    match_open(program=need.program, today=TODAY)
    assert [row.need for row in standing_reservations(need.program)] == [need]
    assert standing_reservations(make_program(name="Another garage")) == []
    Reservation.objects.update(freed_at=timezone.now())
    assert standing_reservations(need.program) == []
