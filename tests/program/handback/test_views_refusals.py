"""What the page of a car that goes back refuses, and what it shows then."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import make_content, make_intake, make_standing, make_vehicle
from tests.program.handback.story import NAME, make_held_case, page_of, stay_of, typed
from tests.vehicles.pages import sign_in, words
from vehicles.models import Departure, Finding

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db


def test_other_words_than_were_read_are_shown_and_signed_anew(client: Client) -> None:
    case = make_held_case()
    sign_in(client, RoleKind.COORDINATOR)
    sent = typed(case)
    Finding.objects.filter(deficiency="minor").update(deficiency="dangerous")
    answer = client.post(page_of(case), sent | {"confirmed": "yes"})
    assert answer.status_code == 422
    assert "The notice has changed since it was read. Read it again, then sign." in words(answer)
    html = answer.content.decode()
    assert typed(case)["read"] in html
    assert sent["read"] not in html
    assert json.dumps(NAME) not in html
    assert not Departure.objects.exists()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"because": " "}, "Why it goes back unrepaired: an answer is missing."),
        ({"because": "x" * 151}, "at most 150 characters"),
        ({"strokes": "[]"}, "The pad is empty, or nearly so."),
        ({"strokes": "{]"}, "The signature did not arrive whole."),
        ({"how": "declined"}, "Name who sees it signed on paper, or sees them decline."),
        ({"how": "paper", "witness": "dana haskell"}, "The witness is somebody else"),
        ({"tow_answer": "taken"}, "Who tows: an answer is missing for the tow."),
        ({"tow_answer": "flown"}, "choose one of the answers offered."),
        ({"on": "2049-01-01"}, "has not come yet."),
        ({"on": "2019-01-01", "confirmed": "yes"}, "A vehicle can’t leave before it arrives."),
        ({"on": "soon"}, "“soon” is not a date."),
        ({"after": ""}, "What becomes of the case: an answer is missing."),
        ({"after": "followed_up"}, "choose one of the answers offered."),
        ({"version": "7", "confirmed": "yes"}, "Somebody else changed this stay meanwhile."),
        ({"cost_cents": "-3"}, "is too little"),
        ({"cost_cents": "1000000000"}, "is too much"),
        ({"language": "fr"}, "choose one of the answers offered."),
    ],
)
def test_what_is_wrong_stands_on_the_page_and_what_was_typed_stays(
    client: Client, fields: dict[str, str], sentence: str
) -> None:
    case = make_held_case()
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.post(page_of(case), typed(case) | fields)
    assert answer.status_code == 422
    assert sentence.replace("’", "'") in words(answer).replace("’", "'")
    assert "Dana Haskell" in answer.content.decode()
    assert not Departure.objects.exists()


def test_what_still_lies_in_the_car_is_asked_for(client: Client) -> None:
    case = make_held_case()
    make_content(stay_of(case), what="Booster seat")
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.post(page_of(case), typed(case))
    assert answer.status_code == 422
    assert "Still here: Booster seat" in words(answer)
    assert "Who takes what lies in it: an answer is missing." in words(answer)


def test_a_car_that_may_not_leave_says_why_and_offers_no_form(client: Client) -> None:
    case = make_held_case()
    make_standing(stay_of(case), hold="police")
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.get(page_of(case))
    assert "Police hold: it may not leave before a person has decided." in words(answer)
    assert "Look at what will happen" not in words(answer)
    refused = client.post(page_of(case), typed(case) | {"confirmed": "yes"})
    assert refused.status_code == 422
    assert not Departure.objects.exists()


def test_a_car_that_left_otherwise_has_no_such_page(client: Client) -> None:
    stay = make_intake(vehicle=make_vehicle(step="handed_back"))
    type(stay).objects.update(left_on=stay.program.today())
    sign_in(client, RoleKind.COORDINATOR)
    for name in ("return_car", "notice"):
        assert client.get(reverse(f"handback:{name}", args=[stay.pk])).status_code == 404
    assert client.get(reverse("handback:return_car", args=[999_999])).status_code == 404
