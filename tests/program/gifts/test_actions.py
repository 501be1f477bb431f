"""A gift is entered, decided by a named person, and booked in one go."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError

from program.gifts.actions import (
    change_offer,
    meet_offer,
    receive_offer,
    refuse_offer,
    set_offer_rule,
)
from program.ledger.rules import parse
from program.models import Entry, Fund, Offer
from shared.accounts.roles import RoleKind
from shared.audit.models import Event
from tests.factories import TODAY, make_case, make_fund, make_household, make_user
from tests.program.gifts.offers import accept, make_offer, treasurer

if TYPE_CHECKING:
    from collections.abc import Callable

pytestmark = pytest.mark.django_db


def booked(entry: Entry | None) -> list[tuple[str, str, int]]:
    return list(entry.transfers.values_list("debit", "credit", "cents")) if entry else []


def test_accepting_opens_the_fund_with_its_rule_and_books_the_gift() -> None:
    offer = accept(make_offer(lapses_on="2027-06-30"))
    fund = Fund.objects.get()
    assert (fund.name, fund.restricted, fund.rule) == (
        "Moss Lane gift",
        True,
        {"systems": ["tires"]},
    )
    assert offer.fund == fund
    assert booked(offer.entry) == [("1010", "4020", 60_000)]
    assert offer.entry is not None
    assert (offer.entry.key, offer.entry.what) == (
        f"offer:{offer.pk}",
        "Gift for the Moss Lane gift",
    )


def test_a_gift_to_an_open_fund_is_booked_there() -> None:
    fund = make_fund(restricted=True)
    offer = accept(make_offer(fund=fund, fund_name="", rule={}))
    assert offer.entry is not None
    assert [row.fund for row in offer.entry.transfers.all()] == [fund]


def test_a_promise_is_a_receivable_until_the_money_comes() -> None:
    offer = accept(make_offer(arrived=False))
    assert booked(offer.entry) == [("1110", "4020", 60_000)]
    came = receive_offer(offer=offer, on=TODAY, version=offer.version, by=treasurer())
    entry = Entry.objects.get(key=f"offer-in:{offer.pk}")
    assert (came.arrived, booked(entry)) == (True, [("1010", "1110", 60_000)])


def test_a_conditional_gift_is_an_advance_until_the_condition_is_met() -> None:
    """Source: ASC 958-605-25-5A, as RF-10 shows it (text-seen)."""
    offer = accept(make_offer(barrier="Ten cars by June.", returns=True))
    assert booked(offer.entry) == [("1010", "2110", 60_000)]
    met = meet_offer(
        offer=offer, on=TODAY, reason="The tenth left.", version=offer.version, by=treasurer()
    )
    assert booked(met.met_entry) == [("2110", "4020", 60_000)]


def test_a_conditional_promise_books_nothing_until_it_is_met() -> None:
    offer = accept(make_offer(barrier="Ten cars by June.", returns=True, arrived=False))
    assert (offer.entry, Entry.objects.count()) == (None, 0)
    met = meet_offer(
        offer=offer, on=TODAY, reason="The tenth left.", version=offer.version, by=treasurer()
    )
    assert booked(met.met_entry) == [("1110", "4020", 60_000)]


def test_a_condition_is_met_once_and_only_where_there_is_one() -> None:
    offer = accept(make_offer())
    with pytest.raises(ValidationError, match="No condition of this gift is open"):
        meet_offer(offer=offer, on=TODAY, reason="?", version=offer.version, by=treasurer())


def test_money_comes_once() -> None:
    offer = accept(make_offer())
    with pytest.raises(ValidationError, match="The money of this gift is here already"):
        receive_offer(offer=offer, on=TODAY, version=offer.version, by=treasurer())


def test_the_same_form_sent_twice_is_one_gift() -> None:
    key = uuid.uuid4()
    assert make_offer(client_key=key) == make_offer(client_key=key)
    assert Offer.objects.count() == 1


def test_accepting_twice_books_once() -> None:
    offer = make_offer()
    accept(offer)
    with pytest.raises(ValidationError, match="Somebody else changed this gift"):
        accept(offer)
    with pytest.raises(ValidationError, match="This gift was accepted already"):
        accept(Offer.objects.get())
    assert Entry.objects.count() == 1


def test_a_gift_for_a_named_household_is_not_accepted() -> None:
    make_case(household=make_household(name="Dana Haskell"))
    offer = make_offer(terms="For the Haskells? No: for Dana's brakes.")
    with pytest.raises(ValidationError, match="“Dana” may mean one household"):
        accept(offer)
    assert (Fund.objects.count(), Entry.objects.count()) == (0, 0)


def test_a_refusal_has_a_reason_and_books_nothing() -> None:
    offer, by = make_offer(), treasurer()
    refused = refuse_offer(offer=offer, reason="Too narrow.", version=1, by=by)
    assert (refused.state, refused.decided_by, refused.reason) == ("refused", by, "Too narrow.")
    assert Entry.objects.count() == 0
    other = make_offer()
    with pytest.raises(ValidationError, match="Say why the gift is refused"):
        refuse_offer(offer=other, reason="", version=1, by=by)


@pytest.mark.parametrize(
    ("cents", "refused"), [(100_000, ""), (100_001, "You entered this gift. Over $1,000.00")]
)
def test_over_the_amount_of_the_policy_somebody_else_decides(cents: int, refused: str) -> None:
    by = treasurer()
    offer = make_offer(cents=cents, by=by)
    if not refused:
        assert accept(offer, by=by).state == "accepted"
        return
    with pytest.raises(ValidationError) as stopped:
        accept(offer, by=by)
    assert stopped.value.messages[0].startswith(refused)
    assert accept(offer, by=make_user(RoleKind.BOARD)).state == "accepted"


def test_the_coordinator_does_not_decide() -> None:
    with pytest.raises(ValidationError, match="The treasurer or the board decides"):
        accept(make_offer(), by=make_user(RoleKind.COORDINATOR))


def test_a_gift_is_changed_before_it_is_decided_and_the_fields_are_logged() -> None:
    offer = change_offer(offer=make_offer(), version=1, by=treasurer(), cents=50_000)
    assert (offer.cents, offer.version) == (50_000, 2)
    assert Event.objects.about("offer", offer.pk)[0].fields == ["cents"]
    taken = accept(offer)
    with pytest.raises(ValidationError, match="This gift was accepted already"):
        change_offer(offer=taken, version=taken.version, by=treasurer(), cents=1)


def test_only_a_new_fund_takes_the_rule_of_a_gift() -> None:
    rule = parse({"systems": "brakes"})
    offer = set_offer_rule(offer=make_offer(), rule=rule, version=1, by=treasurer())
    assert offer.rule == {"systems": ["brakes"]}
    there = make_offer(fund=make_fund(), fund_name="", rule={})
    with pytest.raises(ValidationError, match="has its own rule"):
        set_offer_rule(offer=there, rule=rule, version=1, by=treasurer())


@pytest.mark.parametrize("step", [receive_offer, meet_offer])
def test_nothing_of_an_undecided_gift_is_booked(step: Callable[..., Offer]) -> None:
    more = {"reason": "x"} if step is meet_offer else {}
    with pytest.raises(ValidationError, match="Only a gift that was accepted is booked"):
        step(offer=make_offer(), on=TODAY, version=1, by=treasurer(), **more)


def test_a_gift_that_goes_to_an_open_fund_instead_loses_its_own_rule() -> None:
    fund = make_fund(restricted=True)
    offer = make_offer()
    moved = change_offer(offer=offer, version=1, by=treasurer(), fund=fund, fund_name="")
    assert (moved.fund, moved.rule) == (fund, {})
    kept = change_offer(offer=make_offer(), version=1, by=treasurer(), fund_name="Moss gift")
    assert kept.rule == {"systems": ["tires"]}


def test_the_coordinator_does_not_refuse_a_gift() -> None:
    offer = make_offer()
    with pytest.raises(ValidationError, match="The treasurer or the board decides"):
        refuse_offer(
            offer=offer, reason="Too narrow.", version=1, by=make_user(RoleKind.COORDINATOR)
        )
    assert Offer.objects.get().state == "offered"
