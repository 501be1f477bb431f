"""Moving a car and what came with it, and letting it go unrepaired, with lines in the log."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from shared.models import Event
from tests.factories import (
    make_content,
    make_intake,
    make_key_tag,
    make_user,
    make_vehicle,
)
from vehicles.custody.conditions import Mobility, Step
from vehicles.custody.keeping import (
    Leaving,
    TowOrder,
    depart,
    move_vehicle,
    order_tow,
    return_content,
    return_keys,
)
from vehicles.custody.kinds import NoticeHow, TowAnswer, TowDirection, TowKind, TowPayer
from vehicles.models import Condition, Departure, Tow

if TYPE_CHECKING:
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


def test_a_car_moves_along_the_table_and_the_log_says_so() -> None:
    vehicle, user = make_vehicle(), make_user()
    before = vehicle.condition.since_at
    condition = move_vehicle(
        vehicle=vehicle,
        step=Step.REPAIR,
        mobility=Mobility.ROLLS,
        place=" Bay 2 ",
        by=user,
        version=1,
    )
    condition.refresh_from_db()
    assert (condition.step, condition.mobility, condition.place) == ("repair", "rolls", "Bay 2")
    assert (condition.version, condition.since_at > before) == (2, True)
    event = Event.objects.about("vehicle", vehicle.pk).get()
    assert (event.what, event.by) == ("The car is “In repair”.", user)
    assert event.fields == ["step", "mobility", "place"]


def test_a_move_that_the_table_lacks_is_refused_with_those_it_has() -> None:
    vehicle = make_vehicle(step="expected")
    with pytest.raises(ValidationError) as refusal:
        move_vehicle(vehicle=vehicle, step=Step.HANDED_BACK, by=make_user())
    assert refusal.value.message_dict == {
        "step": ["A car can’t go from “Expected” to “Handed back”. It may go to: On the lot."]
    }
    assert Condition.objects.get(vehicle=vehicle).step == "expected"


def test_only_the_place_may_change_and_the_day_of_the_step_stays() -> None:
    vehicle = make_vehicle()
    before = vehicle.condition.since_at
    condition = move_vehicle(vehicle=vehicle, step=Step.ASSESSMENT, place="Bay 1", by=make_user())
    assert (condition.place, condition.since_at, condition.version) == ("Bay 1", before, 2)
    assert Event.objects.about("vehicle", vehicle.pk).get().fields == ["place"]


def test_what_changes_nothing_leaves_no_line() -> None:
    vehicle = make_vehicle()
    condition = move_vehicle(
        vehicle=vehicle, step=Step.ASSESSMENT, mobility=Mobility.DRIVES, place="", by=make_user()
    )
    assert condition.version == 1
    assert Event.objects.about("vehicle", vehicle.pk).count() == 0


def test_a_car_moved_by_somebody_else_meanwhile_is_left_where_it_is() -> None:
    vehicle = make_vehicle()
    move_vehicle(vehicle=vehicle, step=Step.REPAIR, by=make_user())
    with pytest.raises(ValidationError) as refusal:
        move_vehicle(vehicle=vehicle, step=Step.SUBLET, by=make_user(), version=1)
    assert refusal.value.messages == [
        "Somebody else moved this car meanwhile: it is “In repair” now."
    ]
    assert Condition.objects.get(vehicle=vehicle).step == "repair"


def test_a_car_without_a_condition_is_expected_and_may_arrive() -> None:
    vehicle = make_vehicle()
    Condition.objects.filter(vehicle=vehicle).delete()
    condition = move_vehicle(vehicle=vehicle, step=Step.ON_LOT, by=make_user())
    assert (condition.step, condition.version) == ("on_lot", 1)


def test_a_place_too_long_is_refused() -> None:
    with pytest.raises(ValidationError) as refusal:
        move_vehicle(vehicle=make_vehicle(), step=Step.REPAIR, place="x" * 41, by=make_user())
    assert list(refusal.value.message_dict) == ["place"]


# ---- keys and contents ----

DAY = dt.timedelta(days=1)


def messages_of(refusal: Any) -> dict[str, list[str]]:
    return dict(refusal.value.message_dict)


def test_returned_keys_are_with_whoever_took_them_and_the_log_of_the_keys_says_so() -> None:
    stay, user = make_intake(), make_user()
    tag = return_keys(tag=make_key_tag(stay), to=" Dana ", on=today(stay), by=user)
    assert (tag.holder, tag.returned_on, tag.version) == ("Dana", today(stay), 2)
    assert [(move.holder, move.by) for move in tag.moves.all()] == [("Dana", user)]
    again = return_keys(tag=tag, to="Corin", on=today(stay), by=user)
    assert (again.holder, again.moves.count()) == ("Dana", 1)


def test_keys_go_to_somebody_and_on_a_day_that_has_come() -> None:
    stay, user = make_intake(), make_user()
    tag = make_key_tag(stay)
    with pytest.raises(ValidationError) as refusal:
        return_keys(tag=tag, to=" ", on=today(stay), by=user)
    assert messages_of(refusal) == {"holder": ["This field cannot be blank."]}
    with pytest.raises(ValidationError) as refusal:
        return_keys(tag=tag, to="Dana", on=today(stay) + DAY, by=user)
    assert messages_of(refusal) == {"on": ["This day has not come yet."]}


def test_what_lay_in_the_car_goes_back_once() -> None:
    stay, user = make_intake(), make_user()
    content = return_content(content=make_content(stay), to=" Dana ", on=today(stay), by=user)
    assert (content.returned_to, content.returned_on) == ("Dana", today(stay))
    again = return_content(content=content, to="Corin", on=today(stay), by=user)
    assert again.returned_to == "Dana"


def test_somebody_takes_it_back_and_a_weapon_waits_for_a_decision() -> None:
    stay, user = make_intake(), make_user()
    with pytest.raises(ValidationError) as refusal:
        return_content(content=make_content(stay), to="", on=today(stay), by=user)
    assert messages_of(refusal) == {"to": ["Say who took it back."]}
    weapon = make_content(stay, kind="weapon")
    with pytest.raises(ValidationError) as refusal:
        return_content(content=weapon, to="Dana", on=today(stay), by=user)
    assert refusal.value.messages == [
        "The coordinator or the lead technician decides on this first."
    ]


# ---- tows ----


def order_for(stay: Intake, **fields: Any) -> TowOrder:
    order = TowOrder(
        kind=TowKind.FLATBED,
        hauler="Weir Street Towing",
        from_place="Mill Road",
        to_place="14 Osier Street",
        on=today(stay),
        payer=TowPayer.PROGRAM,
    )
    return replace(order, **fields)


def test_a_tow_is_recorded_once_for_one_key() -> None:
    stay, user, key = make_intake(), make_user(), uuid4()
    facts: Any = {"intake": stay, "direction": TowDirection.IN, "client_key": key, "by": user}
    tow = order_tow(order=order_for(stay, cost_cents=8_500), **facts)
    assert (tow.cost_cents, tow.payer, tow.direction) == (8_500, "program", "in")
    assert order_tow(order=order_for(stay), **facts) == tow
    assert Tow.objects.count() == 1


def test_an_ended_stay_takes_no_tow() -> None:
    stay = make_intake(left_on=dt.date(2026, 11, 30))
    with pytest.raises(ValidationError, match="This stay ended on Monday, November 30, 2026"):
        order_tow(
            intake=stay,
            direction=TowDirection.IN,
            order=order_for(stay),
            client_key=uuid4(),
            by=make_user(),
        )


# ---- returned unrepaired ----


def today(stay: Intake) -> dt.date:
    return stay.program.today()


def leaving(stay: Intake, **fields: Any) -> Leaving:
    found = Leaving(
        on=today(stay),
        because="The frame is rusted through.",
        notice=NoticeHow.SIGNED,
        taken_by="Dana Haskell",
        tow_answer=TowAnswer.OWN,
        keys_to="Dana Haskell",
        content_hash="0" * 64,
        client_key=uuid4(),
        dangers=("The frame can break.",),
        strokes=[[[1, 2], [90, 9]]],
    )
    return replace(found, **fields)


@pytest.fixture
def stay() -> Intake:
    return make_intake(arrived_on=dt.date(2020, 1, 2))


def refusal_of(stay: Intake, **fields: Any) -> list[str]:
    with pytest.raises(ValidationError) as refusal:
        depart(intake=stay, leaving=leaving(stay, **fields), by=make_user())
    stay.refresh_from_db()
    stay.vehicle.condition.refresh_from_db()
    assert (stay.left_on, stay.vehicle.condition.step) == (None, "assessment")
    assert (Departure.objects.count(), Tow.objects.count()) == (0, 0)
    return refusal.value.messages


def test_a_car_departs_with_keys_contents_and_tow_and_its_stay_ends(stay: Intake) -> None:
    tag, seat, user = make_key_tag(stay), make_content(stay), make_user()
    how = leaving(
        stay, tow_answer=TowAnswer.TAKEN, tow=order_for(stay), contents_to="Corin Haskell"
    )
    departure = depart(intake=stay, leaving=how, by=user)
    for row in (stay, tag, seat, stay.vehicle.condition):
        row.refresh_from_db()
    assert (stay.left_on, stay.vehicle.condition.step) == (today(stay), "returned_unrepaired")
    assert (tag.holder, seat.returned_to) == ("Dana Haskell", "Corin Haskell")
    assert departure.tow is not None
    assert (departure.tow.direction, departure.dangers) == ("out", ["The frame can break."])
    assert depart(intake=stay, leaving=how, by=user) == departure


def test_a_car_without_keys_or_contents_departs_too(stay: Intake) -> None:
    departure = depart(intake=stay, leaving=leaving(stay), by=make_user())
    assert (departure.tow, departure.keys_to) == (None, "Dana Haskell")


def test_what_lies_in_the_car_is_returned_or_named_first(stay: Intake) -> None:
    make_content(stay)
    make_content(stay, what="Insulin", kind="medicine")
    assert refusal_of(stay) == ["Still here: Child seat, Insulin. Say who takes it."]


def test_a_weapon_on_which_nobody_decided_keeps_the_car(stay: Intake) -> None:
    make_content(stay, kind="weapon", what="Hunting rifle")
    assert refusal_of(stay, contents_to="Dana") == [
        "Nobody has decided yet on what lies in the car: Hunting rifle."
    ]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"tow_answer": TowAnswer.TAKEN}, "A tow that was taken needs its order."),
        ({"strokes": ()}, "The notice is not signed yet."),
        ({"on": dt.date(2049, 1, 1)}, "This day has not come yet."),
        ({"on": dt.date(2019, 1, 1)}, "A vehicle can't leave before it arrives."),
        ({"keys_to": " "}, "This field cannot be blank."),
        ({"because": ""}, "This field cannot be blank."),
        ({"notice": NoticeHow.DECLINED}, "Who declined to sign did so before a witness."),
    ],
)
def test_a_departure_that_lacks_something_changes_nothing(
    stay: Intake, fields: dict[str, Any], sentence: str
) -> None:
    assert refusal_of(stay, **fields) == [sentence]


def test_who_declines_to_sign_does_so_before_a_witness(stay: Intake) -> None:
    how = leaving(stay, notice=NoticeHow.DECLINED, witness="Rosalind Amadi", strokes=())
    assert depart(intake=stay, leaving=how, by=make_user()).witness == "Rosalind Amadi"


def test_a_handed_back_car_does_not_depart() -> None:
    stay = make_intake(vehicle=make_vehicle(step="handed_back"), arrived_on=dt.date(2020, 1, 2))
    with pytest.raises(ValidationError, match="A car can’t go from “Handed back”"):
        depart(intake=stay, leaving=leaving(stay), by=make_user())


def test_an_ended_stay_does_not_depart_again(stay: Intake) -> None:
    depart(intake=stay, leaving=leaving(stay), by=make_user())
    with pytest.raises(ValidationError, match="This stay ended on"):
        depart(intake=stay, leaving=leaving(stay), by=make_user())
