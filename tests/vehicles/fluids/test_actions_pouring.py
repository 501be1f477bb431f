"""What is poured in: the right bottle, no more than the step, once, and taken back.

Half a quart where nothing shows, at most half of what is missing after that, 5 minutes to settle:
common practice, no source.
"""

from __future__ import annotations

from uuid import uuid4

import pytest

from shared.models import Event
from tests.vehicles.fluids.rows import (
    FLUIDS,
    let_settle,
    read,
    refusal,
    say_maker,
    state,
    top_up,
)
from vehicles.fluids.actions import take_back_pour, take_back_reading
from vehicles.fluids.levels import Action, Level, Look
from vehicles.models import FluidReading, Intake, TopUp

pytestmark = pytest.mark.django_db


def test_sent_twice_a_top_up_is_recorded_once(stay: Intake) -> None:
    say_maker(stay)
    row, key = read(stay, Level.NONE), uuid4()
    assert top_up(row, client_key=key) == top_up(row, client_key=key)
    found = refusal(top_up, row, "1/4", client_key=key)
    assert found.messages == ["This form was sent already. Open the page again."]


def test_a_reading_right_after_pouring_does_not_count(stay: Intake) -> None:
    say_maker(stay)
    top_up(read(stay, Level.NONE))
    read(stay, Level.LOW)
    step = state(stay).step
    assert (step.action, step.wait_minutes) == (Action.READ_AGAIN, 5)


def test_nothing_more_goes_in_before_it_is_read_again(stay: Intake) -> None:
    say_maker(stay)
    row = read(stay, Level.NONE)
    top_up(row)
    assert refusal(top_up, row, "1/4").messages == [
        "1/2 qt went in after this reading. Read it again before more goes in."
    ]


def test_a_top_up_belongs_to_the_newest_reading(stay: Intake) -> None:
    say_maker(stay)
    old = read(stay, Level.NONE)
    read(stay, Level.LOW)
    assert refusal(top_up, old).messages == [
        "This is not the newest reading any more. Look at what the newest one asks for."
    ]


@pytest.mark.parametrize(
    ("label", "said"),
    [
        ("10W-40 API SN", "The maker wants 5W-30; the bottle is 10W-40."),
        ("5W-30 API SJ", "The bottle does not list API SN."),
        ("", "What the bottle says is not noted: read its label."),
        ("5W-30", "The bottle does not list API SN."),
    ],
)
def test_a_bottle_that_is_wrong_or_not_known_is_refused(
    stay: Intake, label: str, said: str
) -> None:
    say_maker(stay)
    row = read(stay, Level.NONE)
    found = refusal(top_up, row, specification=label)
    assert list(found.error_dict) == ["specification"]
    assert found.messages == [said]


@pytest.mark.parametrize(
    ("typed", "unit", "said"),
    [
        ("1", "qt", "1 qt is more than the 1/2 qt of this step. "),
        ("500", "mL", "500 mL is more than the 1/2 qt of this step. "),
        ("-1", "qt", "-1 qt is not an amount of a fluid. Type more than 0."),
        ("0", "qt", "0 qt is not an amount of a fluid. Type more than 0."),
        ("900", "qt", "900 qt is not possible here. Type at most 8 qt."),
        ("1 psi", "qt", "A number in psi can't be turned into quarts."),
        ("a little", "qt", "“a little” is not a number."),
    ],
)
def test_an_amount_that_is_too_much_or_none_is_refused(
    stay: Intake, typed: str, unit: str, said: str
) -> None:
    say_maker(stay)
    row = read(stay, Level.NONE)
    found = refusal(top_up, row, typed, unit=unit)
    assert list(found.error_dict) == ["typed"]
    assert found.messages[0].startswith(said)


def test_a_unit_typed_with_the_amount_wins(stay: Intake) -> None:
    say_maker(stay)
    row = top_up(read(stay, Level.NONE), "450 mL")
    assert (row.typed, row.unit, str(row)) == ("450 mL", "mL", "450 mL")


def test_nothing_is_poured_where_the_step_is_another_one(stay: Intake) -> None:
    say_maker(stay)
    row = read(stay, Level.FULL)
    assert refusal(top_up, row).messages == ["Engine oil is as it should be."]


def test_brake_fluid_is_never_topped_up(stay: Intake) -> None:
    row = read(stay, Level.LOW, "brake", engine=None, heat=None)
    assert refusal(top_up, row, specification="DOT 3", opened=False).messages == [
        "Brake fluid is never topped up: low means wear or a leak."
    ]


def test_washer_fluid_is_filled_to_its_mark_but_not_beyond_what_it_holds(stay: Intake) -> None:
    say_maker(stay, "washer", engine=None, heat=None, specification="", capacity="3 qt")
    row = read(stay, Level.LOW, "washer", engine=None, heat=None, level_ground=None)
    assert refusal(top_up, row, "4", specification="").messages == [
        "4 qt is more than the 3 qt that it holds in all."
    ]
    assert top_up(row, "2", specification="").specification == "-"


def test_after_too_much_went_in_without_filling_it_the_leak_is_looked_for(stay: Intake) -> None:
    say_maker(stay)
    for _ in range(6):
        top_up(read(stay, Level.LOW))
        let_settle(stay)
    row = read(stay, Level.LOW)
    assert (state(stay).step.action, row.finding and row.finding.title) == (
        Action.STOP,
        "Engine oil: 3 qt went in and it is still not full",
    )


def test_a_top_up_taken_back_stays_on_record_and_counts_no_more(stay: Intake) -> None:
    say_maker(stay)
    row = read(stay, Level.NONE)
    poured = top_up(row)
    taken = take_back_pour(top_up=poured, fluid=FLUIDS["engine-oil"], by=row.by)
    assert taken.withdrawn_at
    assert (state(stay).after_newest, TopUp.objects.count()) == (None, 1)
    take_back_pour(top_up=poured, fluid=FLUIDS["engine-oil"], by=row.by)
    said = Event.objects.filter(what="A top-up was taken back.")
    assert said.count() == 1


def test_a_reading_taken_back_lets_the_one_before_stand(stay: Intake) -> None:
    say_maker(stay)
    first, second = read(stay, Level.LOW), read(stay, Level.FULL)
    for _ in "ab":
        take_back_reading(reading=second, fluid=FLUIDS["engine-oil"], by=second.by)
    assert (state(stay).newest, FluidReading.objects.count()) == (first, 2)


def test_a_reading_after_which_something_went_in_is_not_taken_back(stay: Intake) -> None:
    say_maker(stay)
    row = read(stay, Level.NONE)
    top_up(row)
    found = refusal(take_back_reading, reading=row, fluid=FLUIDS["engine-oil"], by=row.by)
    assert found.messages == ["Something was poured in after this reading. Take that back first."]


def test_milk_in_the_oil_keeps_the_bottle_shut(stay: Intake) -> None:
    say_maker(stay)
    row = read(stay, Level.LOW, look=Look.MILKY)
    found = refusal(top_up, row)
    assert found.messages == [
        "Engine oil: looks like milk. Nothing is poured in; find out why first."
    ]
