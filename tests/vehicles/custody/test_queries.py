"""Who may say yes to what on a stay, and who has."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest

from tests.factories import TODAY, make_consent, make_intake, make_owner
from vehicles.custody.acts import Act
from vehicles.custody.queries import authority, owners

if TYPE_CHECKING:
    from vehicles.custody.authority import Authority
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db
DAY = dt.timedelta(days=1)
HOLDER = ("Dana Haskell",)


def to_repair(stay: Intake, on: dt.date = TODAY) -> Authority:
    return next(one for one in authority(stay, on) if one.act is Act.REPAIR)


def test_without_a_consent_nothing_may_be_repaired() -> None:
    stay = make_intake(consents=())
    make_owner(stay)
    found = to_repair(stay)
    assert (found.met, found.label) == (False, "Repair")
    assert found.note == "no owner has consented: nothing may be repaired"


def test_a_consent_in_force_names_who_gave_it_and_who_else_is_on_the_title() -> None:
    stay = make_intake(consents=())
    make_consent(make_owner(stay), stay)
    make_owner(stay, "Corin Haskell")
    make_owner(stay, "Alder County Credit Union", kind="lienholder")
    found = to_repair(stay)
    assert (found.met, found.missing) == (True, ("Corin Haskell",))
    assert found.note == "signed by Dana Haskell; not signed by Corin Haskell, also on the title"


def test_when_all_on_the_title_have_signed_nobody_is_missing() -> None:
    stay = make_intake(consents=())
    make_consent(make_owner(stay), stay)
    assert to_repair(stay).note == "signed by Dana Haskell"


@pytest.mark.parametrize(
    ("fields", "who"),
    [
        ({}, HOLDER),
        ({"given_on": TODAY + DAY}, ()),
        ({"until_on": TODAY}, HOLDER),
        ({"given_on": TODAY - 9 * DAY, "until_on": TODAY - DAY}, ()),
        ({"withdrawn_on": TODAY}, ()),
        ({"withdrawn_on": TODAY + DAY}, HOLDER),
    ],
)
def test_a_consent_holds_between_its_days(fields: dict[str, Any], who: tuple[str, ...]) -> None:
    stay = make_intake(consents=())
    make_consent(make_owner(stay), stay, **fields)
    assert to_repair(stay).given_by == who


def test_the_consent_of_somebody_who_no_longer_owns_the_car_is_void() -> None:
    stay = make_intake(consents=())
    owner = make_owner(stay, ended_on=TODAY)
    make_consent(owner, stay)
    assert (to_repair(stay).met, owners(stay)) == (False, [])


def test_a_consent_counts_for_its_own_stay_alone() -> None:
    stay = make_intake(consents=(), left_on=TODAY)
    make_consent(make_owner(stay), stay)
    again = make_intake(consents=(), vehicle=stay.vehicle, arrived_on=TODAY)
    assert to_repair(again).met is False
