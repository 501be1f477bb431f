"""The small pages around papers and keys: each records one thing or says why not."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest

from shared.accounts.roles import RoleKind
from tests.factories import (
    TODAY,
    make_intake,
    make_owner,
)
from tests.vehicles.custody.papers import full, page, to
from tests.vehicles.pages import sign_in, words
from vehicles.custody.acts import Act
from vehicles.custody.queries import texts
from vehicles.models import Consent, Content, KeyTag, Owner, Standing, Tow

if TYPE_CHECKING:
    from django.test import Client


pytestmark = pytest.mark.django_db
ANSWERS = {
    "paper": "title",
    "joined": "any",
    "lien": "none",
    "hold": "none",
    "stolen": "no",
    "papers_agree": "unknown",
}
KEYS = {
    "tag": "14",
    "keys": "2",
    "wheel_lock_key": "yes",
    "radio_code": "unknown",
    "holder": "Hook 3",
}
TOW = {
    "direction": "in",
    "kind": "flatbed",
    "hauler": "Weir Street Towing",
    "from_place": "Mill Road",
    "to_place": "14 Osier Street",
    "on": "2026-01-02",
    "payer": "program",
    "cost_cents": "85.00",
}


@pytest.mark.parametrize(
    ("name", "sent", "model"),
    [
        ("record_standing", ANSWERS, Standing),
        (
            "name_owner",
            {"name": "Corin", "kind": "title", "paper_seen_on": "2026-01-02"},
            Owner,
        ),
        ("keep_keys", KEYS, KeyTag),
        ("list_content", {"kind": "medicine", "what": "Insulin"}, Content),
        ("order_tow", TOW, Tow),
    ],
)
def test_a_small_page_shows_its_form_records_it_and_refuses_nothing_typed(
    client: Client, name: str, sent: dict[str, str], model: Any
) -> None:
    sign_in(client)
    stay = make_intake(consents=())
    url = to(name, stay.pk)
    assert client.get(url).status_code == 200
    assert client.post(url, {}).status_code == 422
    assert not model.objects.exists()
    response = client.post(url, sent, follow=True)
    assert response.redirect_chain == [(to("custody_page", stay.pk), 302)]
    assert "Recorded." in words(response)
    assert model.objects.count() == 1


@pytest.mark.parametrize("name", ["record_standing", "name_owner", "keep_keys", "order_tow"])
def test_a_page_of_a_car_that_is_not_theirs_is_not_found(client: Client, name: str) -> None:
    user = sign_in(client)
    stay = make_intake()
    stay.vehicle.withheld_from.add(user)
    assert client.get(to(name, stay.pk)).status_code == 404
    assert client.post(to(name, stay.pk), KEYS).status_code == 404


def test_an_ended_stay_refuses_with_the_day_it_ended(client: Client) -> None:
    sign_in(client)
    response = client.post(to("keep_keys", make_intake(left_on=TODAY).pk), KEYS)
    assert response.status_code == 422
    assert "This stay ended on Monday, November 30, 2026" in words(response)


def test_an_owner_signs_on_paper_without_script(client: Client) -> None:
    sign_in(client)
    stay = make_intake(consents=())
    owner = make_owner(stay)
    url = to("give_consents", stay.pk)
    assert "may repair my 2012 Toyota Corolla" in words(client.get(url + "?act=repair"))
    sent = {"owner": owner.pk, "acts": ["repair", "store"], "how": "paper", "language": "en"}
    response = client.post(url, sent | {"given_on": "2026-01-02"}, follow=True)
    assert "Repair Dana Haskell, Jan 2: signed on paper, which is kept." in words(response)
    assert {row.act for row in Consent.objects.all()} == {"repair", "store"}


def test_an_owner_signs_on_the_screen_in_their_language(client: Client) -> None:
    sign_in(client)
    stay = make_intake(consents=())
    sent = {
        "owner": make_owner(stay).pk,
        "acts": "diagnose",
        "how": "screen",
        "given_on": "2026-01-02",
        "language": "es",
        "read": texts(stay, "es").digest,
        "strokes": "[[[10, 90], [200, 20]]]",
    }
    response = client.post(to("give_consents", stay.pk), sent, follow=True)
    assert 'd="M10 90L200 20"' in response.content.decode()
    assert Consent.objects.get().language == "es"


def test_an_empty_pad_and_an_unknown_language_are_met_with_a_sentence(client: Client) -> None:
    sign_in(client)
    stay = make_intake(consents=())
    sent = {"owner": make_owner(stay).pk, "acts": "diagnose", "how": "screen"}
    url = to("give_consents", stay.pk)
    read = {"given_on": "2026-01-02", "language": "en", "read": texts(stay, "en").digest}
    assert "The pad is empty, or nearly so." in words(client.post(url, sent | read))
    assert client.get(url + "?language=xx&act=sell").status_code == 200
    assert client.post(url, sent | read | {"language": "../xx"}).status_code == 422
    assert not Consent.objects.exists()


def test_a_consent_is_taken_back_and_an_owner_ended_on_pages_of_their_own(client: Client) -> None:
    sign_in(client)
    stay = make_intake(consents=(Act.REPAIR,))
    consent = stay.consents.get()
    url = to("withdraw_consent", stay.pk, consent.pk)
    assert "Dana Haskell: repair" in words(client.get(url))
    client.post(url, {"because": "She asked."})
    client.post(to("end_owner", stay.pk, consent.owner_id))
    consent.refresh_from_db()
    assert (consent.withdrawn_on, consent.owner.ended_on) == (stay.program.today(),) * 2


def test_a_row_of_another_stay_is_not_found(client: Client) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    stay, other = full(), make_intake()
    thing, consent = stay.contents.get(kind="weapon"), stay.consents.first()
    assert consent is not None
    for url in (
        to("return_content", other.pk, thing.pk),
        to("decide_content", other.pk, thing.pk),
        to("withdraw_consent", other.pk, consent.pk),
        to("end_owner", other.pk, consent.owner_id),
        to("return_keys", other.pk),
        to("decide_standing", other.pk),
    ):
        assert client.post(url, {"because": "So.", "to": "Dana"}).status_code == 404


def test_keys_and_contents_go_back_and_a_person_decides(client: Client) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    stay = full(arrived_on=dt.date(2020, 1, 2))
    seat, weapon = stay.contents.get(kind="child_seat"), stay.contents.get(kind="weapon")
    back = {"to": "Dana Haskell", "on": "2026-01-02"}
    client.post(to("return_keys", stay.pk), back)
    client.post(to("return_content", stay.pk, seat.pk), back)
    client.post(to("decide_content", stay.pk, weapon.pk), {"because": "Taken home."})
    sent = {"because": "The lender agreed.", "version": "1"}
    client.post(to("decide_standing", stay.pk), sent)
    text = page(client, stay)
    assert "Returned to Dana Haskell on Friday, January 2." in text
    assert "Imke Rasmus" in text
    assert "decided: Taken home." in text
    assert "The lender agreed." in text
    assert "Decide on" not in text
