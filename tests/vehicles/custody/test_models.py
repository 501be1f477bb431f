"""Owners, consents and conditions: what the database refuses."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest

from tests.factories import (
    TODAY,
    make_consent,
    make_content,
    make_intake,
    make_key_tag,
    make_owner,
    make_standing,
    make_tow,
    make_user,
    make_vehicle,
)
from tests.refusals import assert_refused
from tests.vehicles.rows import unsaved
from vehicles.models import Condition, Departure, Intake, KeyMove

pytestmark = pytest.mark.django_db
DAY = dt.timedelta(days=1)


def test_an_owner_is_of_a_known_kind() -> None:
    row = unsaved(make_owner(make_intake(consents=())), kind="neighbor", name="R. Brandt")
    assert_refused(row, "owner_kind_known", "This kind is not known to the program.")


def test_an_owner_is_named_once_until_it_ends() -> None:
    owner = make_owner(make_intake(consents=()))
    assert_refused(unsaved(owner), "owner_named_once", "This owner is on record already.")
    owner.ended_on = TODAY
    owner.save()
    unsaved(owner, ended_on=None).save()


def test_a_consent_is_to_a_known_act() -> None:
    stay = make_intake(consents=())
    row = unsaved(make_consent(make_owner(stay), stay), act="sell")
    assert_refused(row, "consent_act_known", "This act is not known to the program.")


def test_a_consent_is_given_once_until_it_is_withdrawn() -> None:
    stay = make_intake(consents=())
    consent = make_consent(make_owner(stay), stay)
    assert_refused(unsaved(consent), "consent_once", "This consent is on record already.")


def test_a_consent_never_ends_before_it_is_given() -> None:
    stay = make_intake(consents=())
    row = unsaved(make_consent(make_owner(stay), stay), act="store", until_on=TODAY - DAY)
    sentence = "A consent can't end before it is given."
    assert_refused(row, "consent_dates_in_order", sentence)


@pytest.mark.parametrize(
    ("field", "rule", "sentence"),
    [
        ("step", "condition_step_known", "This step is not known to the program."),
        ("mobility", "condition_mobility_known", "This mobility is not known to the program."),
    ],
)
def test_a_condition_has_known_fields(field: str, rule: str, sentence: str) -> None:
    condition = Condition.objects.get(vehicle=make_vehicle())
    setattr(condition, field, "flies")
    assert_refused(condition, rule, sentence)


def test_rows_say_what_they_are() -> None:
    stay = make_intake(consents=())
    owner = make_owner(stay)
    assert str(owner) == "Dana Haskell"
    assert str(make_consent(owner, stay)) == "Dana Haskell: repair"
    assert str(stay.vehicle.condition) == "2012 Toyota Corolla: assessment"


@pytest.mark.parametrize(
    ("fields", "rule", "sentence"),
    [
        ({"how": "fax"}, "consent_way_known", "This how is not known to the program."),
        (
            {"how": "phone"},
            "consent_phone_has_witness",
            "A consent on the phone needs its witness.",
        ),
    ],
)
def test_a_consent_is_given_in_a_known_way(
    fields: dict[str, Any], rule: str, sentence: str
) -> None:
    stay = make_intake(consents=())
    row = unsaved(make_consent(make_owner(stay), stay), act="store", **fields)
    assert_refused(row, rule, sentence)


def test_a_decision_on_a_car_has_its_person_and_its_reason() -> None:
    standing = make_standing(make_intake())
    standing.cleared_on = TODAY
    sentence = "A person decides on this, with a reason."
    assert_refused(standing, "standing_cleared_with_reason", sentence)
    standing.cleared_by = make_user()
    assert_refused(standing, "standing_cleared_with_reason", sentence)


def test_a_tag_hangs_on_one_car() -> None:
    make_key_tag(make_intake(), tag="14")
    row = unsaved(make_key_tag(make_intake()), tag="14", intake=make_intake())
    assert_refused(row, "key_tag_on_one_car", "This tag hangs on another car’s keys.")


def test_a_car_has_few_keys() -> None:
    row = make_key_tag(make_intake())
    row.keys = 21
    assert_refused(row, "key_tag_keys_possible", "A car has at most 20 keys.")


@pytest.mark.parametrize(
    ("fields", "rule", "sentence"),
    [
        ({"kind": "gold"}, "content_kind_known", "This kind is not known to the program."),
        ({"returned_on": TODAY}, "content_returned_to_somebody", "Say who took it back."),
    ],
)
def test_what_lies_in_a_car_is_known_and_goes_to_somebody(
    fields: dict[str, Any], rule: str, sentence: str
) -> None:
    row = unsaved(make_content(make_intake()), client_key=uuid4(), **fields)
    assert_refused(row, rule, sentence)


def test_a_tow_never_costs_less_than_nothing() -> None:
    row = unsaved(make_tow(make_intake()), client_key=uuid4(), cost_cents=-1)
    assert_refused(row, "tow_cost_not_negative", "A tow can't cost less than nothing.")


def departure(stay: Intake, **fields: Any) -> Departure:
    values = {
        "on": TODAY,
        "because": "The frame is rusted through.",
        "notice": "signed",
        "taken_by": "Dana Haskell",
        "content_hash": "0" * 64,
        "tow_answer": "own",
        "keys_to": "Dana Haskell",
        "by": make_user(),
        "client_key": uuid4(),
    }
    return Departure(program=stay.program, intake=stay, **values | fields)


@pytest.mark.parametrize(
    ("fields", "rule", "sentence"),
    [
        (
            {"notice": "shouted"},
            "departure_notice_known",
            "This notice is not known to the program.",
        ),
        (
            {"notice": "declined"},
            "departure_declined_before_witness",
            "Who declined to sign did so before a witness.",
        ),
        (
            {"tow_answer": "taken"},
            "departure_tow_where_taken",
            "A tow that was taken has its order.",
        ),
    ],
)
def test_a_departure_has_its_notice_and_its_tow(
    fields: dict[str, Any], rule: str, sentence: str
) -> None:
    assert_refused(departure(make_intake(), **fields), rule, sentence)


def test_what_came_with_a_car_says_what_it_is() -> None:
    stay = make_intake()
    tag = make_key_tag(stay, tag="14")
    move = KeyMove(key_tag=tag, holder="Rosalind")
    rows = [make_standing(stay), tag, move, make_content(stay), make_tow(stay), departure(stay)]
    assert [str(row) for row in rows] == [
        f"{stay}: what stands against it",
        "tag 14",
        "tag 14: Rosalind",
        "Child seat",
        "in, 2026-11-30",
        f"{stay}: returned unrepaired",
    ]
