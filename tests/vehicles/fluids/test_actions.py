"""What the maker says, readings and top-ups: recorded once, in order, refused where they must be.

Half a quart where nothing shows, at most half of what is missing after that, 5 minutes to settle:
common practice, no source.
"""

from __future__ import annotations

from uuid import uuid4

import pytest

from shared.accounts.roles import RoleKind
from shared.models import Event
from tests.factories import TODAY, make_intake, make_user, make_vehicle
from tests.vehicles.fluids.rows import (
    FLUIDS,
    OIL,
    let_settle,
    read,
    refusal,
    say_maker,
    state,
    technician,
    top_up,
)
from vehicles.custody.acts import Act
from vehicles.fluids.actions import set_demand, take_back_reading
from vehicles.fluids.levels import Action, Heat, Level
from vehicles.fluids.values import Demand
from vehicles.models import FluidRule, Intake

pytestmark = pytest.mark.django_db


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


def test_a_demand_is_logged_by_its_fluid_alone(stay: Intake) -> None:
    by = technician(stay)
    set_demand(intake=stay, fluid=FLUIDS["brake"], demand=Demand(source="x"), by=by)
    event = Event.objects.latest("pk")
    assert (event.what, event.fields) == (
        "What the maker says of a fluid was recorded.",
        ["brake"],
    )
