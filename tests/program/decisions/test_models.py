from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone

from program.models import Authorization, Supplement
from tests.factories import TODAY, make_user
from tests.program.decisions.story import authorize, estimated, make_car, make_over, make_photo
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def authorization(**fields: Any) -> Authorization:
    case, stay = fields.pop("car", None) or make_car()
    defaults = {
        "program": stay.program,
        "case": case,
        "intake": stay,
        "estimate": estimated(stay),
        "cents": 10_000,
        "owner_how": "paper",
        "owner_on": TODAY,
        "by": make_user(),
    }
    return Authorization(**defaults | fields)


def supplement(**fields: Any) -> Supplement:
    _, stay, _ = make_over()
    defaults = {
        "program": stay.program,
        "authorization": stay.authorizations.get(),
        "number": 1,
        "reason": "The rotors are cracked.",
        "photo": make_photo(stay),
        "cents": 5_000,
        "asked_by": make_user(),
    }
    return Supplement(**defaults | fields)


def test_an_authorization_says_how_the_owner_consented() -> None:
    sentence = "This owner how is not known to the program."
    assert_refused(authorization(owner_how="x"), "authorization_way_known", sentence)


def test_an_authorized_amount_is_not_negative() -> None:
    sentence = "An authorized amount can't be negative."
    assert_refused(authorization(cents=-1), "authorization_not_negative", sentence)


def test_a_consent_on_the_phone_has_its_witness() -> None:
    sentence = "A consent on the phone needs its witness."
    assert_refused(authorization(owner_how="phone"), "authorization_phone_has_witness", sentence)
    assert_refused(supplement(owner_how="phone"), "supplement_phone_has_witness", sentence)


def test_one_authorization_stands_a_stay() -> None:
    car = make_car()
    authorize(*car)
    sentence = "This stay has an authorization already."
    assert_refused(authorization(car=car), "authorization_one_stands", sentence)
    authorization(car=car, ended_at=timezone.now()).validate_constraints()


def test_a_form_writes_one_authorization() -> None:
    key = uuid4()
    authorize(*make_car(), client_key=key)
    sentence = "This authorization is on record already."
    assert_refused(authorization(client_key=key), "authorization_written_once", sentence)


def test_a_supplement_is_in_a_known_state() -> None:
    sentence = "This state is not known to the program."
    assert_refused(supplement(state="x"), "supplement_state_known", sentence)


@pytest.mark.parametrize("name", ["cents", "to_go_cents", "spent_cents"])
def test_an_amount_of_a_supplement_is_not_negative(name: str) -> None:
    row = supplement(**{name: -1})
    assert_refused(row, "supplement_not_negative", "An amount can't be negative.")


def test_a_supplement_is_agreed_by_both() -> None:
    sentence = "A supplement needs the owner's yes and the budget's."
    one = supplement(state="agreed", budget_at=timezone.now(), budget_by=make_user())
    assert_refused(one, "supplement_agreed_by_both", sentence)
    two = supplement(state="agreed", owner_at=timezone.now())
    assert_refused(two, "supplement_agreed_by_both", sentence)


def test_who_asks_does_not_grant() -> None:
    user = make_user()
    sentence = "Who asks for money doesn't grant it."
    row = supplement(asked_by=user, budget_by=user)
    assert_refused(row, "supplement_budget_by_another", sentence)


def test_a_number_is_given_once_an_authorization() -> None:
    first = supplement()
    first.save()
    row = supplement(authorization=first.authorization)
    sentence = "There is a supplement of this number already."
    assert_refused(row, "supplement_number_once", sentence)


def test_a_form_writes_one_supplement() -> None:
    key = uuid4()
    supplement(client_key=key).save()
    sentence = "This supplement is on record already."
    assert_refused(supplement(client_key=key), "supplement_written_once", sentence)
