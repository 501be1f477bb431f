"""The last step of a gift is taken back, and what it booked with it."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.exceptions import ValidationError

from program.gifts.actions import meet_offer, receive_offer, take_back
from program.gifts.queries import next_steps
from program.ledger.actions import reverse_by_hand, reverse_entry
from program.ledger.queries import held
from program.models import Entry, Fund, Offer
from tests.factories import TODAY, make_program
from tests.program.gifts.offers import accept, make_offer, treasurer

pytestmark = pytest.mark.django_db


def back(offer: Offer, reason: str = "A slip.") -> Offer:
    return take_back(offer=offer, reason=reason, version=offer.version, by=treasurer())


def keys() -> list[str]:
    return list(Entry.objects.order_by("pk").values_list("key", flat=True))


def sums() -> dict[str, int]:
    found = held(make_program()).accounts()
    return {account: cents for account, cents in found.items() if cents}


def test_a_gift_that_is_not_accepted_after_all_waits_again_for_the_fund_that_was_opened() -> None:
    offer = accept(make_offer())
    first = offer.entry
    assert first is not None
    offer = back(offer)
    assert (offer.state, offer.entry, offer.decided_by, offer.fund_name) == (
        "offered",
        None,
        None,
        "",
    )
    assert (offer.fund, sums()) == (Fund.objects.get(), {})
    assert keys() == [f"offer:{offer.pk}", f"reversal:{first.pk}"]
    again = accept(offer)
    assert again.entry is not None
    assert again.entry.key == f"offer:{offer.pk}:2"
    assert sums() == {"1010": 60_000, "4020": -60_000}


def test_the_steps_come_off_in_the_order_in_which_they_were_booked() -> None:
    offer = accept(make_offer(barrier="Ten cars by June.", returns=True, arrived=False))
    given: dict[str, Any] = {"on": TODAY, "by": treasurer()}
    offer = receive_offer(offer=offer, version=offer.version, **given)
    offer = meet_offer(offer=offer, reason="The tenth left.", version=offer.version, **given)
    seen = []
    for _ in range(3):
        seen.append(next_steps(offer).undo)
        offer = back(offer)
    assert seen == [
        "that the condition was reached",
        "that the money came",
        "that it was accepted",
    ]
    assert (offer.state, offer.arrived, offer.met_entry, sums()) == ("offered", False, None, {})
    with pytest.raises(ValidationError, match="Only a gift that was accepted is booked"):
        back(offer)


def test_money_that_came_by_mistake_is_booked_again_under_another_key() -> None:
    offer = accept(make_offer(arrived=False))
    offer = receive_offer(offer=offer, on=TODAY, version=offer.version, by=treasurer())
    offer = back(offer)
    assert (offer.arrived, sums()) == (False, {"1110": 60_000, "4020": -60_000})
    receive_offer(offer=offer, on=TODAY, version=offer.version, by=treasurer())
    assert keys()[-1] == f"offer-in:{offer.pk}:2"


def test_a_deposit_that_the_bank_returned_is_not_reversed_twice() -> None:
    offer = accept(make_offer())
    assert offer.entry is not None
    reverse_entry(entry=offer.entry, on=TODAY, reason="Returned.", by=treasurer())
    offer = back(offer)
    assert (offer.state, sums(), Entry.objects.count()) == ("offered", {}, 2)


def test_a_gift_of_another_number_is_left_alone() -> None:
    fund = accept(make_offer()).fund
    others = [accept(make_offer(fund=fund, fund_name="", rule={})) for _ in range(11)]
    back(Offer.objects.order_by("pk")[0])
    assert {one.state for one in Offer.objects.filter(pk__in=[row.pk for row in others])} == {
        "accepted"
    }


def test_why_it_is_taken_back_is_said_and_a_stale_page_is_refused() -> None:
    offer = accept(make_offer())
    with pytest.raises(ValidationError) as error:
        back(offer, " ")
    assert error.value.message_dict == {"reason": ["Say why it is taken back."]}
    with pytest.raises(ValidationError, match="Somebody else changed this gift"):
        take_back(offer=offer, reason="A slip.", version=1, by=treasurer())
    assert Entry.objects.count() == 1


def test_the_journal_leaves_a_gift_to_its_page() -> None:
    entry = accept(make_offer()).entry
    assert entry is not None
    with pytest.raises(ValidationError) as error:
        reverse_by_hand(entry=entry, on=TODAY, reason="Wrong.", by=treasurer())
    assert error.value.messages == [
        "This was booked for the gift of Moss Lane Grange: take it back there."
    ]
