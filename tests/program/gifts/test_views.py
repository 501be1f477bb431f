"""The pages of gifts, as a treasurer and the board use them."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from program.gifts.earmarks import preference
from program.models import Entry, Offer
from shared.accounts.roles import RoleKind
from tests.factories import make_case, make_fund, make_household
from tests.program.funds.work import make_ready, make_work
from tests.program.gifts.offers import accept, make_offer
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db


def page(offer: Offer, name: str = "page") -> str:
    return reverse(f"gifts:offer_{name}", args=[offer.pk])


TYPED = {
    "giver": "Moss Lane Grange",
    "cents": "600.00",
    "income": "4020",
    "on": "2026-11-30",
    "terms": "Tires for people who drive to work.",
    "fund_name": "Moss Lane gift",
    "arrived": "on",
}


def test_a_gift_is_entered_and_leads_to_its_test(client: Client) -> None:
    user = sign_in(client, RoleKind.COORDINATOR)
    response = client.post(reverse("gifts:offer_new"), TYPED)
    offer = Offer.objects.get()
    assert (response["Location"], offer.by, offer.state) == (page(offer), user, "offered")
    assert Entry.objects.count() == 0


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"fund_name": ""}, "Choose an open fund, or name a new one."),
        ({"returns": "on"}, "Say what has to be reached."),
        ({"on": "2026-12-01"}, "has not come yet."),
    ],
)
def test_a_gift_that_makes_no_sense_is_refused(
    client: Client, fields: dict[str, str], said: str
) -> None:
    sign_in(client, RoleKind.TREASURER)
    response = client.post(reverse("gifts:offer_new"), TYPED | fields)
    assert response.status_code == 422
    assert said in words(response)


def test_the_page_says_what_the_gift_would_do(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    case = make_ready()
    make_work(case, cents=12_000)
    make_work(case, cents=8_000, system="brakes", kind="brake_pads")
    make_fund(name="general fund")
    text = words(client.get(page(make_offer(lapses_on="2026-12-20"))))
    assert "May pay 1 of 2 open items, which still lack $120.00" in text
    assert "No open work may use $480.00 of it." in text
    assert "Refuses 1 It pays only for tires." in text
    assert "General fund may pay 1 of the same items, $120.00" in text
    assert "Never pays tools, rent, admin, fundraising" in text
    assert "will lapse $600.00 on Sunday, December 20, 2026, in 20 days." in text


def test_a_gift_that_nothing_may_use_is_too_narrow(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    make_work(make_ready(), system="brakes", kind="brake_pads")
    assert "Too narrow: nothing that is open now may use it." in words(
        client.get(page(make_offer()))
    )


def test_an_earmark_bars_acceptance_and_offers_a_preference(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    make_case(household=make_household(name="Dana Haskell"))
    offer = make_offer(terms="For the Haskell family.")
    text = words(client.get(page(offer)))
    assert "“Haskell” may mean one household." in text
    assert "Accept this gift" not in text
    form = client.get(page(offer, "edit") + "?prefer=1").context["form"]
    assert form["terms"].value() == str(preference())


def test_the_board_accepts_what_the_treasurer_entered(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    offer = make_offer(cents=500_000)
    typed = {"on": "2026-11-30", "reason": "It fits.", "version": "1"}
    assert client.post(page(offer, "accept"), typed)["Location"] == page(offer)
    text = words(client.get(page(offer)))
    assert "Accepted by" in text
    assert "Booked entry" in text


def test_a_stale_or_unreasoned_decision_is_refused(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    offer = make_offer()
    typed = {"on": "2026-11-30", "reason": "It fits.", "version": "7"}
    response = client.post(page(offer, "accept"), typed)
    assert response.status_code == 422
    assert "Somebody else changed this gift. Open the page again." in words(response)
    response = client.post(page(offer, "refuse"), {"version": "1"})
    assert "Why it is refused: an answer is missing." in words(response)


def test_a_refused_gift_whose_money_is_here_is_sent_back(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    offer = make_offer()
    client.post(page(offer, "refuse"), {"reason": "Too narrow.", "version": "1"})
    text = words(client.get(page(offer)))
    assert "Send $600.00 back to Moss Lane Grange; it is not ours to book." in text


def test_a_condition_is_written_down_as_reached(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    offer = accept(make_offer(barrier="Ten cars by June.", returns=True))
    assert "A refundable advance" in words(client.get(page(offer)))
    typed = {"on": "2026-11-30", "reason": "The tenth left.", "version": str(offer.version)}
    client.post(page(offer, "meet"), typed)
    assert "Condition met entry" in words(client.get(page(offer)))


def test_the_rule_of_a_new_fund_is_tried_and_kept(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    offer = make_offer()
    assert client.get(page(offer, "rule"), {"systems": "brakes", "try": "1"}).status_code == 200
    client.post(page(offer, "rule"), {"systems": "brakes", "version": "1"})
    offer.refresh_from_db()
    assert offer.rule == {"systems": ["brakes"]}


def test_the_list_says_how_many_wait(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    make_offer()
    text = words(client.get(reverse("gifts:offer_list")))
    assert "One waits for a decision." in text
    assert "Moss Lane Grange Nov 30 Moss Lane gift (new) Offered 600.00" in text


def test_the_coordinator_may_not_accept(client: Client) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    assert client.post(page(make_offer(), "accept"), {}).status_code == 403


def test_a_slip_is_taken_back_on_the_gifts_page(client: Client) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    offer = accept(make_offer())
    assert "That it was accepted: what that booked is reversed today." in words(
        client.get(page(offer))
    )
    sent = {"version": offer.version, "reason": ""}
    response = client.post(page(offer, "take_back"), sent)
    assert response.status_code == 422
    assert "Why: an answer is missing." in words(response)
    text = words(client.post(page(offer, "take_back"), sent | {"reason": "Twice."}, follow=True))
    assert "Taken back." in text
    assert "Taken back: that it was accepted. Twice." in text
    assert "Take it back" not in text


@pytest.mark.parametrize(
    ("step", "said"),
    [
        ("accept", "Somebody else changed this gift. Open the page again."),
        ("refuse", "Somebody else changed this gift. Open the page again."),
        ("meet", "No condition of this gift is open."),
        ("receive", "The money of this gift is here already."),
    ],
)
def test_a_step_that_was_taken_meanwhile_is_told_on_the_page_as_it_stands_now(
    client: Client, step: str, said: str
) -> None:
    sign_in(client, RoleKind.TREASURER)
    offer = make_offer()
    version = offer.version if step in {"accept", "refuse"} else accept(offer).version
    if step in {"accept", "refuse"}:
        accept(offer)
    typed = {"on": "2026-11-30", "reason": "It fits.", "version": version}
    assert said in words(client.post(page(offer, step), typed, follow=True))
    assert Entry.objects.count() == 1
