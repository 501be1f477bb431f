"""An owner's yes: who may say it, how, to which words, and taking it back."""

from __future__ import annotations

import datetime as dt
import json
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from shared.models import Event
from tests.factories import make_consent, make_intake, make_owner, make_user
from vehicles.custody.acts import Act
from vehicles.custody.approving import give_consents, withdraw_consent
from vehicles.custody.kinds import SignedHow
from vehicles.custody.queries import authority, texts
from vehicles.custody.wording import digest
from vehicles.models import Consent, Intake

pytestmark = pytest.mark.django_db
DRAWN = [[[10, 90], [200, 20]]]
DAY = dt.timedelta(days=1)


def today(stay: Intake) -> dt.date:
    return stay.program.today()


@pytest.fixture
def stay() -> Intake:
    return make_intake(consents=())


def give(stay: Intake, **fields: Any) -> list[Consent]:
    """Give consents on the screen, by an owner on the title, to a diagnosis."""
    facts: dict[str, Any] = {
        "intake": stay,
        "owner": fields.pop("owner", None) or make_owner(stay),
        "acts": [Act.DIAGNOSE],
        "how": SignedHow.SCREEN,
        "given_on": today(stay),
        "read": texts(stay, fields.get("language", "en")).digest,
        "strokes": json.dumps(DRAWN),
        "client_key": uuid4(),
        "by": make_user(),
    }
    return give_consents(**facts | fields)


def refusal_of(stay: Intake, **fields: Any) -> dict[str, list[str]]:
    with pytest.raises(ValidationError) as refusal:
        give(stay, **fields)
    assert not Consent.objects.exists()
    return dict(refusal.value.message_dict)


def test_one_signature_gives_one_consent_for_each_act_in_their_order(stay: Intake) -> None:
    user = make_user()
    found = give(stay, acts=[Act.STORE, Act.DIAGNOSE], until_on=today(stay) + DAY, by=user)
    assert [one.act for one in found] == ["diagnose", "store"]
    assert [one.until_on for one in found] == [None, today(stay) + DAY]
    assert {(one.how, one.given_on, one.recorded_by) for one in found} == {
        ("screen", today(stay), user)
    }
    assert [one.strokes for one in found] == [DRAWN, DRAWN]
    assert [one.met for one in authority(stay, today(stay))] == [True, False, False, True]


def test_each_consent_keeps_the_digest_of_its_own_words(stay: Intake) -> None:
    words = texts(stay, "es")
    found = give(stay, acts=[Act.REPAIR], language="es")[0]
    assert found.content_hash == digest([words.opening, words.acts[Act.REPAIR]])
    assert found.language == "es"


def test_the_log_names_the_act_and_nobody(stay: Intake) -> None:
    give(stay)
    event = Event.objects.about("intake", stay.pk).get()
    assert (event.what, event.reason) == (
        "An owner consented: diagnose.",
        "Signed on the screen",
    )
    assert event.fields == ["consents"]


def test_the_same_form_sent_twice_gives_one_consent(stay: Intake) -> None:
    owner, key = make_owner(stay), uuid4()
    first = give(stay, owner=owner, client_key=key)
    assert give(stay, owner=owner, client_key=key) == first
    assert Consent.objects.count() == 1


def test_who_signs_on_the_screen_does_so_today(stay: Intake) -> None:
    assert give(stay, given_on=today(stay) - 9 * DAY)[0].given_on == today(stay)


def test_a_paper_keeps_its_day_and_needs_no_pad(stay: Intake) -> None:
    day = today(stay) - 9 * DAY
    found = give(stay, how=SignedHow.PAPER, given_on=day, strokes="", read="")[0]
    assert (found.given_on, found.strokes, found.content_hash) == (day, [], "")


def test_a_day_to_come_is_refused(stay: Intake) -> None:
    tomorrow = today(stay) + DAY
    assert refusal_of(stay, how=SignedHow.PAPER, given_on=tomorrow) == {
        "given_on": ["This day has not come yet."]
    }


def test_a_consent_on_the_phone_has_a_witness(stay: Intake) -> None:
    assert refusal_of(stay, how=SignedHow.PHONE, witness="  ") == {
        "witness": ["A consent on the phone needs somebody who heard it."]
    }
    found = give(stay, how=SignedHow.PHONE, witness=" Jonas ", owner=stay.vehicle.owners.get())[0]
    assert (found.witness, found.strokes) == ("Jonas", [])


def test_a_lienholder_and_somebody_no_longer_named_may_not_sign(stay: Intake) -> None:
    refused = {
        "owner": ["Only somebody whom the title names may sign; without it, the registration."]
    }
    lender = make_owner(stay, "Alder County Credit Union", kind="lienholder")
    gone = make_owner(stay, ended_on=today(stay))
    assert refusal_of(stay, owner=lender) == refused
    assert refusal_of(stay, owner=gone) == refused


def test_the_registration_signs_until_a_title_is_seen(stay: Intake) -> None:
    registered = make_owner(stay, "Ana Haskell", kind="registration")
    assert give(stay, owner=registered)[0].owner == registered
    make_owner(stay)
    with pytest.raises(ValidationError, match="Only somebody whom the title names may sign"):
        give(stay, owner=registered, acts=[Act.STORE])


def test_the_owner_of_another_car_may_not_sign(stay: Intake) -> None:
    other = make_owner(make_intake(consents=()))
    assert "owner" in refusal_of(stay, owner=other)


def test_an_empty_pad_is_no_signature(stay: Intake) -> None:
    assert refusal_of(stay, strokes="") == {
        "strokes": ["The pad is empty, or nearly so. Sign on it, or sign on paper."]
    }


@pytest.mark.parametrize("how", [SignedHow.SCREEN, SignedHow.PHONE])
def test_words_that_changed_since_they_were_read_are_read_again(
    stay: Intake, how: SignedHow
) -> None:
    with pytest.raises(ValidationError) as refusal:
        give(stay, how=how, witness="Jonas", read="0" * 64)
    assert refusal.value.messages == [
        "The words have changed since they were shown. Read them again."
    ]


def test_one_act_on_record_already_refuses_all_of_them(stay: Intake) -> None:
    owner = make_owner(stay)
    give(stay, owner=owner)
    with pytest.raises(ValidationError) as refusal:
        give(stay, owner=owner, acts=[Act.STORE, Act.DIAGNOSE])
    assert refusal.value.message_dict == {"acts": ["Dana Haskell has consented already: diagnose."]}
    assert Consent.objects.count() == 1


def test_a_consent_that_has_run_out_is_given_anew(stay: Intake) -> None:
    owner = make_owner(stay)
    make_consent(owner, stay, "store", given_on=today(stay) - 9 * DAY, until_on=today(stay) - DAY)
    give(stay, owner=owner, acts=[Act.STORE])
    assert [one.met for one in authority(stay, today(stay))] == [False, False, False, True]


def test_a_consent_never_ends_before_it_is_given(stay: Intake) -> None:
    with pytest.raises(ValidationError, match="A consent can't end before it is given"):
        give(stay, acts=[Act.STORE], until_on=today(stay) - DAY)


def test_an_ended_stay_takes_no_consent() -> None:
    ended = make_intake(consents=(), left_on=dt.date(2026, 11, 30))
    with pytest.raises(ValidationError, match="This stay ended on Monday, November 30, 2026"):
        give(ended)


def test_a_consent_taken_back_ends_today_and_stays_ended(stay: Intake) -> None:
    consent = give(stay)[0]
    ended = withdraw_consent(consent=consent, because="She sold the car.", by=make_user())
    assert ended.withdrawn_on == today(stay)
    assert not authority(stay, today(stay))[0].met
    again = withdraw_consent(consent=consent, because="Twice.", by=make_user())
    assert again.withdrawn_on == today(stay)
    assert Event.objects.about("intake", stay.pk).count() == 2


def test_what_was_taken_back_may_be_given_again(stay: Intake) -> None:
    owner = make_owner(stay)
    withdraw_consent(consent=give(stay, owner=owner)[0], because="Asked.", by=make_user())
    give(stay, owner=owner)
    assert authority(stay, today(stay))[0].met
