"""Who may say yes to what on a stay, and who has."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from tests.factories import (
    TODAY,
    make_consent,
    make_content,
    make_intake,
    make_owner,
    make_standing,
    make_user,
    make_vehicle,
)
from vehicles.custody.acts import Act
from vehicles.custody.queries import (
    act_rows,
    against,
    authorities,
    authority,
    beside,
    contents,
    may_sign,
    open_stay,
    owners,
    refuse_without,
    stops,
    texts,
)
from vehicles.models import Condition, Intake

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from vehicles.custody.authority import Authority

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


# ---- what an act is refused on ----


def refusal_of(stay: Intake, act: Act = Act.REPAIR) -> list[str]:
    with pytest.raises(ValidationError) as refusal:
        refuse_without(stay, act, TODAY)
    return refusal.value.messages


@pytest.mark.parametrize("act", Act)
def test_an_act_to_which_an_owner_said_yes_is_not_refused(act: Act) -> None:
    refuse_without(make_intake(consents=(act,)), act, TODAY)


def test_an_act_without_a_yes_is_refused_with_who_may_sign() -> None:
    stay = make_intake(consents=(Act.STORE,))
    assert refusal_of(stay) == ["No owner has consented to the repair. Dana Haskell may sign."]


def test_an_act_is_refused_with_all_that_stands_against_it_the_gravest_first() -> None:
    stay = make_intake(consents=())
    make_standing(stay, stolen="reported", hold="police", lien="in_default")
    make_content(stay, kind="weapon", what="Hunting rifle")
    assert [one.split(".")[0] for one in refusal_of(stay)] == [
        "The car was reported stolen",
        "The police hold the car",
        "The lien on the car is in default",
        "Nobody has decided yet on what lies in the car: Hunting rifle",
        "No paper was seen that names an owner",
    ]


@pytest.mark.parametrize(
    ("because", "met"), [("The lender agreed.", False), ("Police release 26-1: found.", True)]
)
def test_a_report_of_theft_asks_for_the_release_in_the_reason(because: str, met: bool) -> None:  # noqa: FBT001  # what is expected
    stay = make_intake()
    user = make_user()
    make_standing(
        stay, stolen="reported", cleared_on=TODAY, cleared_by=user, cleared_because=because
    )
    assert to_repair(stay).met is met


def test_a_weapon_stops_the_work_until_somebody_has_decided() -> None:
    stay = make_intake()
    weapon = make_content(stay, kind="weapon", what="Hunting rifle")
    assert not to_repair(stay).met
    weapon.decided_by, weapon.decided_because = make_user(), "The owner took it home."
    weapon.save()
    assert to_repair(stay).met


def test_the_authority_of_many_stays_takes_as_many_queries_as_that_of_one(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    stays = [make_intake() for _ in range(3)]
    for stay in stays:
        make_standing(stay)
        make_content(stay, kind="biohazard")
    for some in (stays[:1], stays):
        with django_assert_num_queries(5):
            found = authorities(some, TODAY)
        assert [found[stay.pk][3].met for stay in some] == [True] * len(some)


def test_what_stands_against_the_car_is_listed_once_and_stops_come_first() -> None:
    stay = make_intake(consents=(Act.STORE,))
    make_standing(stay, lien="in_default", stolen="unknown")
    assert stops(stay) == "The lien on the car is in default."
    found = against(authority(stay, TODAY))
    assert [(str(one.sentence), one.level) for one in found] == [
        ("The lien on the car is in default.", "blocker"),
        ("Nobody knows whether the car was reported stolen.", "warning"),
    ]


# ---- who signs, and what is read ----


def test_those_on_the_title_sign_and_else_those_on_the_registration() -> None:
    stay = make_intake(consents=())
    registered = make_owner(stay, "Ana Haskell", kind="registration")
    make_owner(stay, "Alder County Credit Union", kind="lienholder")
    assert may_sign(stay) == [registered]
    titled = make_owner(stay)
    assert may_sign(stay) == [titled]


def test_the_words_of_a_consent_have_a_digest_that_tells_them_from_others() -> None:
    stay = make_intake()
    found = texts(stay, "en")
    assert list(found.acts) == list(Act)
    assert found.acts[Act.STORE].endswith("on its lot until I fetch it. The car stays mine.")
    stay.program.name = "Weir Street Garage"
    assert texts(stay, "en").digest != found.digest


def test_the_acts_show_the_consents_that_were_not_taken_back() -> None:
    stay = make_intake(consents=())
    owner = make_owner(stay)
    make_consent(owner, stay, strokes=[[[1, 2], [80, 9]]])
    make_consent(owner, stay, "store", withdrawn_on=TODAY)
    rows = act_rows(stay, authority(stay, TODAY))
    assert [[drawn for _, drawn in row.signed] for row in rows] == [[], ["M1 2L80 9"], [], []]


def test_an_ended_stay_says_when_it_ended() -> None:
    stay = make_intake(left_on=TODAY)
    with pytest.raises(ValidationError) as refusal:
        open_stay(stay)
    assert refusal.value.messages == [
        "This stay ended on Monday, November 30, 2026; nothing more can be recorded on it."
    ]


# ---- what lies and stands where ----


def test_contents_know_what_their_kind_asks_for() -> None:
    stay = make_intake()
    make_content(stay)
    make_content(stay, kind="weapon")
    assert [(kind.is_essential, kind.stops_work) for _, kind in contents(stay)] == [
        (True, False),
        (False, True),
    ]


def placed(place: str, **fields: Any) -> Condition:
    vehicle = make_vehicle(**fields)
    Condition.objects.filter(vehicle=vehicle).update(place=place)
    return Condition.objects.get(vehicle=vehicle)


def test_other_cars_in_the_same_place_are_named_to_those_who_may_know_them() -> None:
    user, here = make_user(), placed("Bay 2")
    placed("bay 2", model="Camry")
    placed("Bay 2", step="handed_back")
    hidden = placed("Bay 2")
    hidden.vehicle.withheld_from.add(user)
    assert beside(here, user) == ["2012 Toyota Camry", "another car"]


def test_a_car_without_a_place_stands_beside_none() -> None:
    assert beside(placed(""), make_user()) == []
    assert beside(None, make_user()) == []
