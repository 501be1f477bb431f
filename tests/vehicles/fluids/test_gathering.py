"""The state of a fluid: what counts of it, when it has settled, whether the engine may run."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from tests.factories import make_intake, make_vehicle
from tests.vehicles.fluids.rows import FLUIDS, let_settle, read, say_maker, state, top_up
from vehicles.fluids.actions import take_back_reading
from vehicles.fluids.gathering import fluids_here, states_of
from vehicles.fluids.levels import Heat, Level, Look, Maker
from vehicles.models import Finding, Intake

pytestmark = pytest.mark.django_db


def test_of_a_fluid_that_nobody_looked_at_nothing_is_known(stay: Intake) -> None:
    found = state(stay)
    assert (found.maker, found.newest, found.step) == (Maker(), None, None)
    assert (found.earliest, found.may_run) == (None, True)


def test_an_empty_stick_keeps_the_engine_off_until_oil_has_settled_on_it(stay: Intake) -> None:
    say_maker(stay)
    seen = []
    row = read(stay, Level.NONE)
    seen.append(state(stay).may_run)
    top_up(row)
    seen.append(state(stay).may_run)
    read(stay, Level.LOW, heat=Heat.COLD)  # at once: it has not settled
    seen.append(state(stay).may_run)
    let_settle(stay)
    read(stay, Level.LOW, heat=Heat.COLD)
    seen.append(state(stay).may_run)
    assert seen == [False, False, False, True]


def test_off_level_ground_nothing_lets_the_engine_run_again(stay: Intake) -> None:
    read(stay, Level.NONE)
    read(stay, Level.BETWEEN, level_ground=False)
    assert state(stay).may_run is False


def test_milk_in_the_oil_keeps_the_engine_off_until_its_finding_is_closed(stay: Intake) -> None:
    say_maker(stay)
    read(stay, Level.FULL, look=Look.MILKY)
    read(stay, Level.FULL)
    assert state(stay).may_run is False
    Finding.objects.update(withdrawn_because="The head gasket was replaced.")
    assert state(stay).may_run is True


def test_an_empty_brake_tank_filled_by_somebody_still_keeps_the_car_off(stay: Intake) -> None:
    read(stay, Level.NONE, "brake", engine=None, heat=None)
    read(stay, Level.FULL, "brake", engine=None, heat=None)
    assert state(stay, "brake").may_run is False


def test_a_reading_taken_back_forbids_nothing(stay: Intake) -> None:
    row = read(stay, Level.NONE)
    take_back_reading(reading=row, fluid=FLUIDS["engine-oil"], by=row.by)
    assert state(stay).may_run is True


def test_it_is_read_again_at_the_earliest_when_it_has_settled(stay: Intake) -> None:
    say_maker(stay)
    poured = top_up(read(stay, Level.NONE))
    assert state(stay).earliest == poured.at + dt.timedelta(minutes=5)


def test_all_states_of_a_stay_are_those_of_each_fluid(stay: Intake) -> None:
    say_maker(stay)
    top_up(read(stay, Level.NONE))
    read(stay, Level.LOW, "brake", engine=None, heat=None)
    assert states_of(stay) == [state(stay, one.code) for one in fluids_here(stay.vehicle)]


def test_all_states_of_a_stay_take_three_queries(
    stay: Intake, django_assert_num_queries: Any
) -> None:
    say_maker(stay)
    top_up(read(stay, Level.NONE))
    with django_assert_num_queries(3):
        assert len([(one.step, one.may_run) for one in states_of(stay)]) == 9


def test_what_was_read_stays_on_the_list_though_the_car_has_another_transmission() -> None:
    stay = make_intake(vehicle=make_vehicle(transmission="manual"))
    assert "automatic" not in {one.code for one in fluids_here(stay.vehicle)}
    read(stay, Level.FULL, "automatic")
    assert "automatic" in {one.fluid.code for one in states_of(stay)}


def test_a_transmission_that_is_no_known_kind_counts_as_not_known() -> None:
    vehicle = make_vehicle(transmission="5-speed")
    assert len(fluids_here(vehicle)) == len(FLUIDS)
