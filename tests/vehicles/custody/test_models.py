"""Owners, consents and conditions: what the database refuses."""

from __future__ import annotations

import datetime as dt

import pytest

from tests.factories import TODAY, make_consent, make_intake, make_owner, make_vehicle
from tests.refusals import assert_refused
from tests.vehicles.rows import unsaved
from vehicles.models import Condition

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
