"""Authorizing an estimate, and ending an authorization."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest

from program.decisions import actions
from program.decisions.approving import STALE
from program.decisions.gathering import is_current
from program.decisions.queries import works
from program.households.actions import declare_tie
from program.models import Authorization, Supplement
from shared.accounts.roles import RoleKind
from tests.factories import make_consent, make_owner, make_standing, make_user
from tests.factories.shared import LONG_AGO
from tests.program.decisions.story import (
    add_work,
    ask,
    authorize,
    budget_says,
    estimated,
    make_car,
    make_over,
    owner_says,
    refusal,
)
from vehicles.models import Estimate, Need

pytestmark = pytest.mark.django_db


def test_authorizing_freezes_the_estimate_and_keeps_the_owners_consent() -> None:
    case, stay = make_car()
    row = authorize(case, stay)
    assert row.estimate.p80_cents == row.cents == 10_000
    assert row.owner == stay.consents.get(act="repair").owner
    assert Estimate.objects.get().frozen_at is not None


def test_a_frozen_estimate_is_never_changed() -> None:
    case, stay = make_car()
    first = authorize(case, stay).estimate
    before = Estimate.objects.values().get(pk=first.pk)
    lines = list(first.lines.values())
    add_work(stay, 5_000)
    second = estimated(stay)
    assert (second.number, second.frozen_at) == (2, None)
    assert Estimate.objects.values().get(pk=first.pk) == before | {"frozen_at": before["frozen_at"]}
    assert list(first.lines.values()) == lines


def test_a_form_sent_twice_authorizes_once() -> None:
    case, stay = make_car()
    key = uuid4()
    first = authorize(case, stay, client_key=key)
    assert authorize(case, stay, client_key=key) == first
    assert Authorization.objects.count() == 1
    assert refusal(authorize, case, stay) == [
        "This stay is authorized already. Ask for a supplement."
    ]


def test_without_the_owners_consent_nothing_is_authorized() -> None:
    case, stay = make_car(consents=("diagnose",))
    assert refusal(authorize, case, stay) == [
        "No owner has consented to the repair. Dana Haskell may sign."
    ]


def test_a_title_with_and_asks_for_all_its_names() -> None:
    case, stay = make_car()
    make_standing(stay, joined="all")
    second = make_owner(stay, "Corin Haskell")
    found = refusal(authorize, case, stay)
    assert found[0].startswith(f"The title joins its names with “and”: {second} has to sign too.")
    make_consent(second, stay, given_on=LONG_AGO)
    assert authorize(case, stay).owner == second


def test_an_estimate_that_is_not_todays_is_refused() -> None:
    case, stay = make_car()
    old = estimated(stay)
    Need.objects.update(price_cents=12_000)
    assert refusal(authorize, case, stay, newest=old) == [STALE]
    assert not is_current(stay, old)
    add_work(stay, 1_000)
    assert refusal(authorize, case, stay, newest=old) == [STALE]
    newer = estimated(stay)
    sentence = f"Estimate {newer.number} is the newest. Look at it, then authorize."
    assert refusal(authorize, case, stay, newest=old) == [sentence]


@pytest.mark.parametrize("cents", [9_999, 10_001, 10**15])
def test_an_amount_unlike_the_estimate_is_refused(cents: int) -> None:
    case, stay = make_car()
    found = refusal(authorize, case, stay, cents=cents)
    assert found[0].endswith("is not the estimate’s 80 percent point, $100.00.")


def test_whoever_is_tied_to_the_household_decides_nothing() -> None:
    case, stay, item = make_over()
    user = make_user(RoleKind.TECHNICIAN)
    row = ask(stay, item)
    assert case.household
    declare_tie(household=case.household, user=user, by=make_user())
    sentence = ["Somebody else decides on this car."]
    assert refusal(budget_says, row, by=user) == sentence
    assert refusal(owner_says, row, by=user) == sentence
    Supplement.objects.all().delete()
    assert refusal(ask, stay, item, by=user) == sentence
    work = works([stay.pk])[stay.pk].authorization
    end: dict[str, Any] = {"authorization": work, "because": "Wrong car.", "by": user}
    assert refusal(actions.end_authorization, **end) == sentence
    actions.end_authorization(**end | {"by": make_user()})
    assert refusal(authorize, case, stay, by=user) == sentence


def test_an_ended_authorization_makes_room_for_another() -> None:
    case, stay, item = make_over()
    row = stay.authorizations.get()
    waiting = ask(stay, item)
    end: dict[str, Any] = {"authorization": row, "because": "Less work.", "by": make_user()}
    sentence = "A supplement waits for its answers. They come first."
    assert refusal(actions.end_authorization, **end) == [sentence]
    budget_says(waiting, yes=False, because="Too much.")
    assert refusal(actions.end_authorization, **end | {"because": " "}) == ["Say why."]
    actions.end_authorization(**end)
    assert works([stay.pk]) == {}
    assert authorize(case, stay).cents == 15_000
