from __future__ import annotations

import datetime as dt

import pytest

from sponsors.models import Lot, Pledge, Supply
from sponsors.pledges.states import SupplySource, SupplyState
from tests.factories.shared import TODAY, make_program, make_user
from tests.factories.sponsors import make_pledge, make_sponsor, make_supply
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def pledge(**fields: object) -> Pledge:
    sponsor = make_sponsor()
    usual = {
        "kind": "radiator",
        "title": "Radiator",
        "system": "cooling",
        "quantity": 1,
        "pledged_on": TODAY,
    }
    return Pledge(program=sponsor.program, sponsor=sponsor, **usual | fields)


def supply(**fields: object) -> Supply:
    usual = {
        "program": make_program(),
        "kind": "radiator",
        "title": "Radiator",
        "system": "cooling",
        "source": SupplySource.SHELF,
        "state": SupplyState.ON_SHELF,
    }
    return Supply(**usual | fields)


def test_a_pledge_is_in_a_state_that_there_is() -> None:
    sentence = "This state is not known to the program."
    assert_refused(pledge(state="lost"), "pledge_state_known", sentence)


def test_a_pledge_of_zero_is_refused() -> None:
    sentence = "The quantity of a pledge must be more than zero."
    assert_refused(pledge(quantity=0), "pledge_quantity_above_zero", sentence)


def test_a_pledge_does_not_end_before_it_is_made() -> None:
    row = pledge(expires_on=TODAY - dt.timedelta(days=1))
    assert_refused(row, "pledge_dates_in_order", "A pledge can't expire before it is made.")


def test_a_lot_has_a_code_of_its_own() -> None:
    lot = {"program": make_program(), "code": "L-7", "received_on": TODAY}
    Lot.objects.create(**lot)
    sentence = "There is a lot of this code already."
    assert_refused(Lot(**lot), "lot_code_once", sentence)


def test_a_unit_comes_from_a_source_that_there_is() -> None:
    row = supply(source="attic")
    sentence = "This source is not known to the program."
    assert_refused(row, "supply_source_known", sentence)


def test_a_unit_is_in_a_state_that_there_is() -> None:
    sentence = "This state is not known to the program."
    assert_refused(supply(state="lost"), "supply_state_known", sentence)


def test_a_pledged_unit_belongs_to_a_pledge() -> None:
    row = supply(source=SupplySource.PLEDGE)
    sentence = "A pledged unit belongs to a pledge, any other to none."
    assert_refused(row, "supply_pledge_matches_source", sentence)


def test_a_unit_of_a_pledge_is_on_record_once() -> None:
    there = make_pledge()
    row = supply(source=SupplySource.PLEDGE, pledge=there, number=1)
    assert_refused(row, "supply_unit_once", "This unit of the pledge is on record already.")


def test_usable_is_what_can_still_fill_a_need() -> None:
    here = make_supply()
    for state in (SupplyState.FITTED, SupplyState.GONE):
        make_supply(state=state)
    make_supply(expires_on=TODAY - dt.timedelta(days=1))
    held = Lot.objects.create(
        program=here.program, code="L-8", received_on=TODAY, held_on=TODAY, held_because="Recall."
    )
    make_supply(lot=held)
    last_day = make_supply(expires_on=TODAY)
    assert list(Supply.objects.usable(TODAY)) == [here, last_day]


def test_pledges_are_those_of_the_own_program() -> None:
    own = make_pledge()
    make_pledge(sponsor=make_sponsor(program=make_program(name="Another garage")))
    assert list(Pledge.objects.for_user(make_user(program=own.program))) == [own]
    assert [str(own), str(own.units.get())] == [f"1 x {own.title}", own.title]
