"""Needs with where they stand, in as many queries for one as for hundreds."""

from __future__ import annotations

import datetime as dt
from random import Random
from typing import TYPE_CHECKING, Any

import pytest
from django.utils import timezone

from program.models import Commitment
from program.purchasing.queries import (
    LOOK_UP,
    NOBODY,
    NeedRow,
    held_in,
    need_rows,
    needs_of,
    to_find_out,
)
from program.purchasing.stages import Stage
from shared.accounts.roles import RoleKind
from sponsors.models import Appeal, AppealLine, Reservation
from tests.factories import (
    TODAY,
    make_case,
    make_entry,
    make_fund,
    make_intake,
    make_item,
    make_need,
    make_pledge,
    make_program,
    make_sponsor,
    make_supply,
    make_user,
)
from vehicles.repairs.keeping import Seen, record_fit, take_asking
from vehicles.repairs.states import NeedState
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from vehicles.models import Need

pytestmark = pytest.mark.django_db


def rows(**asked: Any) -> list[NeedRow]:
    user = make_user(RoleKind.COORDINATOR)
    return need_rows(user, make_program(), needs_of(user, **asked))


def reserve(need: Need, **fields: Any) -> Reservation:
    supply = fields.pop("supply", None) or make_supply(fitment=need.fitment)
    fields = {"made_for": "plan:1", "because": "It fits."} | fields
    return Reservation.objects.create(program=need.program, need=need, supply=supply, **fields)


def ask_for(need: Need, state: str) -> None:
    sponsor = make_sponsor()
    day = timezone.now() if state != "drafted" else None
    appeal = Appeal.objects.create(
        program=need.program, sponsor=sponsor, round="2026-W48", state=state, decided_at=day
    )
    AppealLine.objects.create(program=need.program, appeal=appeal, need=need, position=1)


def test_an_open_need_is_listed_with_its_case_and_car() -> None:
    need = make_need()
    case = make_case(vehicle=need.item.intake.vehicle, number="26-043")
    [row] = rows()
    assert (row.need, row.stage, row.kept) == (need, Stage.OPEN, 0)
    assert (row.case, row.car) == (case.number, "2012 Toyota Corolla")


def test_an_open_case_goes_before_one_that_is_closed() -> None:
    vehicle = make_need().item.intake.vehicle
    make_case(vehicle=vehicle, number="26-001", closed_on=TODAY)
    make_case(vehicle=vehicle, number="26-002")
    make_case(vehicle=vehicle, number="26-003", closed_on=TODAY)
    assert [row.case for row in rows()] == ["26-002"]


@pytest.mark.parametrize(
    ("state", "stage"),
    [("drafted", Stage.OPEN), ("approved", Stage.ASKED), ("sent", Stage.ASKED)],
)
def test_a_need_is_asked_for_once_a_person_approved_the_appeal(state: str, stage: Stage) -> None:
    ask_for(make_need(), state)
    assert [row.stage for row in rows()] == [stage]


def test_a_unit_that_a_plan_keeps_is_kept_and_one_that_was_freed_is_not() -> None:
    need = make_need(quantity=2)
    reserve(need)
    reserve(need, freed_at=timezone.now())
    [row] = rows()
    assert (row.kept, row.stage) == (1, Stage.OPEN)
    reserve(need, made_for="matching")
    [row] = rows()
    assert (row.kept, row.stage) == (2, Stage.RECEIVED)


def test_closed_needs_are_listed_when_asked_for() -> None:
    make_need()
    fitted = make_need(state="filled")
    assert [(row.need, row.stage) for row in rows(closed=NeedState.FILLED)] == [
        (fitted, Stage.FITTED)
    ]


def test_a_need_of_a_car_withheld_from_the_reader_is_not_there() -> None:
    need, user = make_need(), make_user(RoleKind.COORDINATOR)
    need.item.intake.vehicle.withheld_from.add(user)
    assert need_rows(user, make_program(), needs_of(user)) == []


def gated() -> tuple[Need, Need]:
    """Return the need of a gate of $900 and that of other work on the same car."""
    stay = make_intake()
    big = make_item(intake=stay, title="Head gasket", system="engine", tier=1)
    small = make_item(intake=stay, title="Radiator", system="cooling", tier=1)
    gate = make_need(
        item=big, kind="head_gasket", system="engine", price_cents=900_00, price_high_cents=None
    )
    return gate, make_need(item=small)


def held() -> list[str]:
    return [row.need.title for row in rows() if row.held]


def test_behind_a_gate_that_nobody_funded_nothing_is_bought() -> None:
    gated()
    [row] = [row for row in rows() if row.held]
    assert row.held is not None
    assert (row.need.kind, row.held.title) == ("radiator", "Head gasket")


def test_plans_and_appeals_learn_what_waits_behind_which_gate() -> None:
    gate, small = gated()
    found = held_in(gate.program)
    assert {pk: one.id for pk, one in found.items()} == {small.pk: gate.item_id}
    assert str(found[small.pk].holds).startswith("“Head gasket” comes first: ")


def test_money_that_a_plan_set_aside_opens_the_gate() -> None:
    gate, _ = gated()
    case = make_case(vehicle=gate.item.intake.vehicle)
    aside = Commitment.objects.create(
        program=gate.program,
        cause="plan:1",
        case=case,
        item_id=gate.item_id,
        fund=make_fund(),
        cents=900_00,
        entry=make_entry(),
    )
    assert held() == []
    aside.released_by = make_entry()
    aside.save()
    assert held() == ["Radiator"]


def test_a_part_that_is_kept_opens_the_gate() -> None:
    gate, _ = gated()
    reserve(gate, supply=make_supply(kind="head_gasket", system="engine"))
    assert held() == []


def test_parts_of_brakes_are_looked_up_before_they_are_bought() -> None:
    need = make_need(kind="brake_pads", system="brakes", opened_on=TODAY)
    [row] = to_find_out(rows())
    assert row.asking.what == (LOOK_UP,)
    assert (row.asking.who, row.asking.by_on) == (NOBODY, TODAY + dt.timedelta(days=7))
    record_fit(need=need, said=Seen(how="COUNTER", part_number="BP 77"), by=make_user())
    assert to_find_out(rows()) == []
    assert [row.asking.checked for row in rows()] == [
        "The part was looked up by VIN at the counter: it fits."
    ]


def test_whoever_takes_it_on_is_named_with_the_day() -> None:
    need, user = make_need(system="brakes"), make_user()
    until = need.program.today() + dt.timedelta(days=3)
    take_asking(need=need, until=until, by=user)
    [row] = to_find_out(rows())
    assert (row.asking.who, row.asking.by_on) == (str(user), until)


def test_a_free_unit_that_nearly_fits_is_asked_about() -> None:
    make_need()
    make_supply(fitment={}, title="Radiator of unknown origin")
    [row] = to_find_out(rows())
    [sentence] = row.asking.what
    assert str(sentence) == (
        "Radiator of unknown origin, our shelf: The part does not say which make and model it is "
        "for."
    )


def test_the_nearest_day_comes_first() -> None:
    late = make_need(system="brakes", needed_by_on=TODAY + dt.timedelta(days=20))
    soon = make_need(system="brakes", needed_by_on=TODAY + dt.timedelta(days=2))
    assert [row.need for row in to_find_out(rows())] == [soon, late]


def generated(count: int) -> None:
    """Make needs of all kinds of parts, some kept, some asked for; the same each time."""
    chance = Random(20261127)
    for number in range(count):
        system = chance.choice(list(System))
        item = make_item(system=system, title=f"Job {number}", tier=chance.randint(0, 4))
        need = make_need(
            item=item,
            system=system,
            kind=chance.choice(["radiator", "tire", "battery", "brake_pads", "alternator"]),
            quantity=chance.randint(1, 4),
            price_cents=chance.randint(100, 900_00),
            price_low_cents=None,
            price_high_cents=None,
        )
        if chance.random() < 0.3:
            reserve(need, made_for=chance.choice(["matching", "plan:2"]))
        if chance.random() < 0.2:
            ask_for(need, "sent")
        if chance.random() < 0.2:
            make_pledge(kind=need.kind, system=system)


@pytest.mark.parametrize("count", [1, 300])
def test_one_need_and_three_hundred_take_the_same_queries(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    generated(count)
    user, program = make_user(RoleKind.COORDINATOR), make_program()
    with django_assert_num_queries(11):
        found = need_rows(user, program, needs_of(user))
    assert len(found) == count
    assert all(row.stage in Stage for row in found)
