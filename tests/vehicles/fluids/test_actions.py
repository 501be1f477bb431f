"""What the maker says, readings and top-ups: recorded once, in order, refused where they must be.

Half a quart where nothing shows, at most half of what is missing after that, 5 minutes to settle:
common practice, no source.
"""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from shared.models import Event
from tests.factories import TODAY, make_intake, make_user, make_vehicle
from tests.vehicles.fluids.rows import FLUIDS, OIL, let_settle, read, say_maker, technician, top_up
from vehicles.custody.acts import Act
from vehicles.fluids.actions import set_demand, take_back_pour, take_back_reading
from vehicles.fluids.gathering import state_of
from vehicles.fluids.levels import Action, Heat, Level, Look
from vehicles.fluids.values import Demand
from vehicles.models import FluidReading, FluidRule, Intake, TopUp

pytestmark = pytest.mark.django_db


def refusal(act: Any, *args: Any, **fields: Any) -> ValidationError:
    """Return what is refused; nothing is recorded then."""
    tables = (FluidRule, FluidReading, TopUp)
    before = [table.objects.count() for table in tables]
    with pytest.raises(ValidationError) as found:
        act(*args, **fields)
    assert [table.objects.count() for table in tables] == before
    return found.value


def state(stay: Intake, fluid: str = "engine-oil") -> Any:
    return state_of(stay, FLUIDS[fluid])


@pytest.fixture
def stay() -> Intake:
    return make_intake()


def test_an_empty_stick_is_filled_in_steps_until_it_is_full(stay: Intake) -> None:
    say_maker(stay)
    seen = []
    for level, eighths in [(Level.NONE, None), (Level.LOW, None), (Level.BETWEEN, 6)]:
        row = read(stay, level, missing_eighths=eighths)
        amount = state(stay).step.amount
        seen.append(str(amount))
        top_up(row, str(amount))
        let_settle(stay)
    read(stay, Level.FULL)
    assert (seen, state(stay).step.action) == (["1/2 qt", "1/2 qt", "3/8 qt"], Action.DONE)


def test_what_the_maker_says_is_asked_once_a_vehicle(stay: Intake) -> None:
    say_maker(stay)
    Intake.objects.filter(pk=stay.pk).update(left_on=TODAY)
    again = make_intake(vehicle=stay.vehicle, program=stay.program)
    assert state(again).maker.specification == OIL


def test_a_changed_answer_of_the_maker_keeps_the_one_before(stay: Intake) -> None:
    first = say_maker(stay)
    second = say_maker(stay, specification="0W-20 API SP", seen_id=first.pk)
    rows = [(row.pk, row.ended_at is None) for row in FluidRule.objects.all()]
    assert rows == [(first.pk, False), (second.pk, True)]
    assert state(stay).maker.specification == "0W-20 API SP"


def test_the_same_answer_of_the_maker_twice_is_one_row(stay: Intake) -> None:
    assert say_maker(stay) == say_maker(stay)


def test_an_answer_of_the_maker_over_one_not_seen_is_refused(stay: Intake) -> None:
    say_maker(stay)
    found = refusal(say_maker, stay, specification="0W-20 API SP")
    assert found.messages == [
        "Somebody else recorded what the maker says meanwhile. Look, then record again."
    ]


def test_amounts_of_the_maker_are_kept_as_typed_with_their_unit(stay: Intake) -> None:
    row = say_maker(stay, between="1", capacity="4.2 L")
    assert (row.between, row.capacity) == ("1 qt", "4.2 L")


@pytest.mark.parametrize("amount", ["-1", "0", "99", "2 psi", "much"])
def test_an_impossible_amount_of_the_maker_is_refused(stay: Intake, amount: str) -> None:
    assert list(refusal(say_maker, stay, between=amount).error_dict) == ["between"]


def test_what_the_maker_says_later_judges_the_reading_that_stands(stay: Intake) -> None:
    row = read(stay, Level.LOW, "coolant", engine=None, heat=Heat.COLD)
    assert (state(stay, "coolant").step.action, row.finding) == (Action.ASK, None)
    say_maker(stay, "coolant", specification="P-HOAT", engine=None, heat=Heat.COLD)
    row.refresh_from_db()
    assert row.finding
    assert row.finding.title == "Coolant: Coolant is below MIN, no leak found"


def test_a_reading_keeps_what_it_means_and_who_read_it(stay: Intake) -> None:
    say_maker(stay)
    row = read(stay, Level.LOW, note="dark")
    assert row.said.startswith("Pour in 1/2 qt, not more. Wait 5 minutes, then read again:")
    assert (row.read_by.startswith(str(row.by)), row.note) == (True, "dark")


def test_sent_twice_a_reading_is_recorded_once(stay: Intake) -> None:
    key, by = uuid4(), technician(stay)
    rows = [read(stay, Level.LOW, client_key=key, by=by) for _ in "ab"]
    assert rows[0] == rows[1]
    found = refusal(read, stay, Level.FULL, client_key=key, by=by)
    assert found.messages == ["This form was sent already. Open the page again to read once more."]


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


def test_on_a_stay_that_has_ended_nothing_is_recorded(stay: Intake) -> None:
    say_maker(stay)
    row = read(stay, Level.NONE)
    Intake.objects.filter(pk=stay.pk).update(left_on=TODAY)
    said = ["This stay has ended. Open a new intake to read its fluids again."]
    oil = FLUIDS["engine-oil"]
    assert refusal(read, stay, Level.LOW).messages == said
    assert refusal(say_maker, stay, specification="0W-20 API SP").messages == said
    assert refusal(top_up, row).messages == said
    assert refusal(take_back_reading, reading=row, fluid=oil, by=row.by).messages == said


def test_nobody_reads_a_fluid_without_the_owners_consent() -> None:
    stay = make_intake(consents=(Act.REPAIR,))
    said = " ".join(refusal(read, stay, Level.LOW).messages)
    assert "diagnos" in said.lower()


def test_who_is_not_on_the_list_of_the_shop_reads_nothing(stay: Intake) -> None:
    by = make_user(RoleKind.TECHNICIAN, program=stay.program, person=False)
    said = f"{by} is not on the list of people who work in the shop."
    assert refusal(read, stay, Level.LOW, by=by).messages == [said]


def test_a_fill_plug_below_the_car_takes_the_skill_of_raising_it() -> None:
    stay = make_intake(vehicle=make_vehicle(transmission="manual"))
    by = technician(stay)
    by.person.skills.filter(code="lift").delete()
    found = refusal(read, stay, Level.LOW, "manual", engine=None, by=by)
    assert found.messages == [f"{by.person.name} is not signed off for the lift."]


def test_milk_in_the_oil_keeps_the_bottle_shut(stay: Intake) -> None:
    say_maker(stay)
    row = read(stay, Level.LOW, look=Look.MILKY)
    found = refusal(top_up, row)
    assert found.messages == [
        "Engine oil: looks like milk. Nothing is poured in; find out why first."
    ]


def test_a_demand_is_logged_by_its_fluid_alone(stay: Intake) -> None:
    by = technician(stay)
    set_demand(intake=stay, fluid=FLUIDS["brake"], demand=Demand(source="x"), by=by)
    event = Event.objects.latest("pk")
    assert (event.what, event.fields) == (
        "What the maker says of a fluid was recorded.",
        ["brake"],
    )
