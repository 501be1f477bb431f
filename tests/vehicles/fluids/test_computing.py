"""The one next step of each fluid, as its page says it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.utils import timezone

from tests.factories import make_intake, make_vehicle
from tests.vehicles.fluids.rows import FLUIDS, let_settle, read, say_maker, top_up
from vehicles.fluids.computing import lines_of, list_of, next_step, page_of
from vehicles.fluids.gathering import state_of
from vehicles.fluids.levels import Heat, Level, Look

if TYPE_CHECKING:
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db
SETTLE = "Wait 5 minutes, then read again: on level ground, engine off, hot."


def said(stay: Intake, fluid: str = "engine-oil") -> str:
    return str(next_step(state_of(stay, FLUIDS[fluid]), timezone.now()))


def page(stay: Intake, fluid: str = "engine-oil") -> dict[str, Any]:
    return page_of(stay, state_of(stay, FLUIDS[fluid]))


def test_from_the_maker_to_the_full_mark_one_step_follows_the_other(stay: Intake) -> None:
    steps = [said(stay)]
    say_maker(stay)
    steps.append(said(stay))
    row = read(stay, Level.LOW)
    steps.append(said(stay))
    top_up(row)
    let_settle(stay)
    steps.append(said(stay))
    read(stay, Level.FULL)
    steps.append(said(stay))
    assert steps == [
        "First look up what the maker says of it.",
        "Read it: on level ground, engine off, hot.",
        f"Pour in 1/2 qt, not more. {SETTLE}",
        "Read it again now: on level ground, engine off, hot.",
        "Engine oil is as it should be.",
    ]


def test_while_it_settles_the_hour_is_named(stay: Intake) -> None:
    say_maker(stay)
    row = top_up(read(stay, Level.LOW))
    at = timezone.localtime(row.at + dt.timedelta(minutes=5))
    assert said(stay) == f"Let it settle. Read it again at {at:%-H:%M} at the earliest."
    assert page(stay)["waits"] is True


def test_after_an_empty_stick_it_is_read_before_the_engine_is_started(stay: Intake) -> None:
    say_maker(stay)
    top_up(read(stay, Level.NONE))
    let_settle(stay)
    assert said(stay) == "Read it again now: on level ground, before the engine is started."


def test_brake_fluid_is_read_without_asking_the_maker(stay: Intake) -> None:
    assert said(stay, "brake") == "Read it: on level ground."
    read(stay, Level.LOW, "brake", engine=None, heat=None)
    assert said(stay, "brake") == "Brake fluid is never topped up: low means wear or a leak."


def test_washer_fluid_is_looked_at(stay: Intake) -> None:
    assert said(stay, "washer") == "Look into the tank."


def test_the_amount_is_shown_in_milliliters_as_well(stay: Intake) -> None:
    say_maker(stay)
    read(stay, Level.BETWEEN, missing_eighths=4)
    shown = page(stay)
    assert (str(shown["amount"]), shown["may_pour"]) == ("1/4 qt (236 mL)", True)
    assert str(shown["read"]) == "Between the marks, 4/8 of the space empty, engine off, hot."


def test_once_something_went_in_nothing_more_is_offered(stay: Intake) -> None:
    say_maker(stay)
    top_up(read(stay, Level.LOW))
    assert (page(stay)["may_pour"], str(page(stay)["poured"])) == (False, "1/2 qt")


def test_each_fluid_has_its_mark(stay: Intake) -> None:
    say_maker(stay)
    read(stay, Level.FULL)
    read(stay, Level.LOW, "brake", engine=None, heat=None)
    say_maker(stay, "power-steering", specification="PSF-3", heat=Heat.HOT)
    top_up(read(stay, Level.LOW, "power-steering"), "1/8", specification="PSF-3")
    marks = {row.state.fluid.code: row.mark for row in list_of(stay)}
    assert [marks[code] for code in ("engine-oil", "brake", "power-steering", "washer")] == [
        "met",
        "decide",
        "wait",
        "unread",
    ]


def test_points_of_the_sheet_are_named_that_the_fluid_concerns(stay: Intake) -> None:
    names = {code: [one.code for one in page(stay, code)["criteria"]] for code in FLUIDS}
    assert {code: found for code, found in names.items() if found} == {
        "engine-oil": ["engine-oil"],
        "coolant": ["coolant"],
        "brake": ["brake-master", "brake-fluid"],
        "power-steering": ["steering-power"],
    }


def test_a_point_that_the_car_has_not_is_not_named() -> None:
    stay = make_intake(vehicle=make_vehicle(fuel="electric"))
    assert page(stay)["criteria"] == []


def test_what_was_done_is_told_newest_first(stay: Intake) -> None:
    say_maker(stay)
    top_up(read(stay, Level.LOW))
    read(stay, Level.FULL, look=Look.BURNT)
    assert [str(line.text) for line in lines_of(state_of(stay, FLUIDS["engine-oil"]))] == [
        "at the full mark, dark, smells burnt",
        "1/2 qt poured in",
        "below the low mark",
    ]
