"""What a gift would do, who may decide on it, and what is still open of it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.gifts.actions import meet_offer, receive_offer, refuse_offer
from program.gifts.earmarks import Named
from program.gifts.posting import Standing
from program.gifts.queries import (
    against,
    code_of,
    fund_of,
    lapse_of,
    may_not_decide,
    named_households,
    next_steps,
    standing_of,
    to_know,
)
from program.ledger.queries import pure_fund
from program.ledger.rules import parse
from shared.accounts.roles import RoleKind
from shared.policy.models import Policy
from shared.problems import Level
from tests.factories import TODAY, make_case, make_fund, make_household, make_program, make_user
from tests.program.gifts.offers import accept, make_offer, treasurer

if TYPE_CHECKING:
    from program.models import Offer

pytestmark = pytest.mark.django_db

CONDITION: dict[str, Any] = {"barrier": "Ten cars by June.", "returns": True}


def into_fund(**fields: Any) -> Offer:
    """Return a gift to an open fund, which the fields describe."""
    fund = make_fund(**{"name": "winter collection"} | fields)
    fund.refresh_from_db()
    return make_offer(fund=fund, fund_name="", rule={})


def steps(offer: Offer) -> list[str]:
    return [name for name, is_open in vars(next_steps(offer)).items() if is_open]


def test_a_gift_is_held_by_the_open_fund_or_by_the_one_it_would_open() -> None:
    offer = make_offer()
    found = fund_of(offer)
    assert found.code == code_of(offer) == f"GIFT{offer.pk}"
    assert (found.name, found.restricted) == ("Moss Lane gift", True)
    assert found.rule == parse({"systems": "tires"})
    there = into_fund()
    assert there.fund is not None
    assert fund_of(there) == pure_fund(there.fund)


def test_a_condition_is_open_until_it_is_written_down_as_met() -> None:
    offer = accept(make_offer(**CONDITION))
    assert standing_of(offer) == Standing(income="4020", arrived=True, conditional=True)
    met = meet_offer(
        offer=offer, on=TODAY, reason="The tenth left.", version=offer.version, by=treasurer()
    )
    assert standing_of(met) == Standing(income="4020", arrived=True, conditional=False)


def test_a_barrier_alone_is_no_condition() -> None:
    """Source: ASC 958-605-25-5A: a barrier and a right of return, both (text-seen)."""
    assert not standing_of(make_offer(barrier="Ten cars by June.")).conditional


def test_households_are_named_with_their_cases_in_one_question() -> None:
    dana = make_household(name="Dana Haskell")
    make_case(number="26-042", household=dana)
    make_case(number="26-041", household=dana)
    make_household(name="Lou Pell")
    make_household(name="Far Away", program=make_program(name="Other garage"))
    with CaptureQueriesContext(connection) as asked:
        found = named_households(dana.program)
    assert found == [
        Named(name="Dana Haskell", cases=("26-041", "26-042")),
        Named(name="Lou Pell"),
    ]
    assert len(asked) == 1


def test_an_earmark_stands_against_a_gift() -> None:
    """Source of the quote: IRS Publication 526 (text-seen)."""
    make_case(number="26-041", household=make_household(name="Dana Haskell"))
    (problem,) = against(make_offer(terms="For the car of case 26-041."))
    assert str(problem.sentence) == (
        "“26-041” may mean one household. A gift “must not be set aside for use by a specific "
        "person” (IRS Publication 526)."
    )
    assert against(make_offer()) == []


def test_a_closed_fund_stands_against_a_gift() -> None:
    (problem,) = against(into_fund(closed_on="2026-11-01"))
    assert (str(problem.sentence), str(problem.remedy)) == (
        "The winter collection was closed.",
        "Change the gift and name an open fund.",
    )
    assert against(into_fund()) == []


def test_the_names_of_another_program_stand_against_nothing() -> None:
    offer = make_offer(terms="For Dana, who drives to work.")
    make_household(name="Dana Haskell", program=make_program(name="Other garage"))
    assert against(offer) == []
    make_household(name="Dana Haskell", program=offer.program)
    assert len(against(offer)) == 1


@pytest.mark.parametrize(
    ("fields", "sentences"),
    [
        ({"restricted": True, "rule": {"systems": ["tires"]}}, []),
        ({"restricted": True}, ["The rule of the winter collection has no limits yet."]),
        ({}, ["The winter collection isn't held to what the giver asks."]),
    ],
)
def test_whoever_decides_hears_where_the_fund_would_not_hold_the_gift_to_its_terms(
    fields: dict[str, Any], sentences: list[str]
) -> None:
    assert [str(one.sentence) for one in to_know(into_fund(**fields), TODAY)] == sentences


def test_whoever_decides_hears_that_the_gift_lapses_soon() -> None:
    (lapse,) = to_know(make_offer(lapses_on=dt.date(2026, 12, 20)), TODAY)
    said = "will lapse $600.00 on Sunday, December 20, 2026, in 20 days."
    assert str(lapse.sentence).endswith(said)
    assert lapse.level == Level.WARNING


@pytest.mark.parametrize(
    ("lapses", "until", "last"),
    [
        (None, None, None),
        (dt.date(2027, 6, 30), None, dt.date(2027, 6, 30)),
        (dt.date(2027, 6, 30), "2027-03-31", dt.date(2027, 3, 31)),
        (dt.date(2027, 1, 31), "2027-03-31", dt.date(2027, 1, 31)),
        (None, "2027-03-31", dt.date(2027, 3, 31)),
    ],
)
def test_a_gift_lapses_on_the_earliest_of_its_days(
    lapses: dt.date | None, until: str | None, last: dt.date | None
) -> None:
    offer = make_offer(lapses_on=lapses, rule={"until_on": until} if until else {})
    assert lapse_of(offer) == last


def test_a_gift_to_an_open_fund_lapses_with_it() -> None:
    assert lapse_of(into_fund(lapses_on="2027-05-31")) == dt.date(2027, 5, 31)
    both = into_fund(lapses_on="2027-05-31", rule={"until_on": "2027-04-30"})
    assert lapse_of(both) == dt.date(2027, 4, 30)


@pytest.mark.parametrize("role", [RoleKind.TREASURER, RoleKind.BOARD])
def test_the_treasurer_and_the_board_decide(role: RoleKind) -> None:
    assert may_not_decide(make_offer(cents=500_000), make_user(role)) is None


@pytest.mark.parametrize("role", [RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN])
def test_nobody_else_decides(role: RoleKind) -> None:
    problem = may_not_decide(make_offer(), make_user(role))
    assert problem is not None
    assert str(problem.sentence) == ("The treasurer or the board decides on a gift with a purpose.")


def test_whoever_entered_a_gift_decides_up_to_the_amount_of_the_policy() -> None:
    by = treasurer()
    assert may_not_decide(make_offer(cents=100_000, by=by), by) is None
    over = make_offer(cents=100_001, by=by)
    problem = may_not_decide(over, by)
    assert problem is not None
    assert str(problem.sentence) == (
        "You entered this gift. Over $1,000.00, somebody else decides: the treasurer or the board."
    )
    assert may_not_decide(over, treasurer()) is None


def test_the_amount_is_the_policy_in_force_today() -> None:
    by = treasurer()
    offer = make_offer(cents=60_000, by=by)
    Policy.objects.create(
        program=offer.program,
        name="two_people_cents",
        value=50_000,
        since_on=TODAY,
        reason="The board's.",
        by=by,
    )
    problem = may_not_decide(offer, by)
    assert problem is not None
    assert "Over $500.00, somebody else decides" in str(problem.sentence)


@pytest.mark.parametrize(
    ("fields", "before", "after"),
    [
        ({}, ["decide"], ["undo"]),
        ({"arrived": False}, ["decide"], ["arrive", "undo"]),
        (CONDITION, ["decide"], ["meet", "undo"]),
        (CONDITION | {"arrived": False}, ["decide"], ["arrive", "meet", "undo"]),
    ],
)
def test_what_is_open_of_a_gift_goes_by_where_it_stands(
    fields: dict[str, Any], before: list[str], after: list[str]
) -> None:
    offer = make_offer(**fields)
    assert steps(offer) == before
    assert steps(accept(offer)) == after


def test_a_step_that_was_taken_is_open_no_more() -> None:
    offer = accept(make_offer(**CONDITION, arrived=False))
    came = receive_offer(offer=offer, on=TODAY, version=offer.version, by=treasurer())
    assert steps(came) == ["meet", "undo"]
    met = meet_offer(
        offer=came, on=TODAY, reason="The tenth left.", version=came.version, by=treasurer()
    )
    assert steps(met) == ["undo"]


@pytest.mark.parametrize(
    ("fields", "open_steps"), [({"arrived": True}, ["send_back"]), ({"arrived": False}, [])]
)
def test_the_money_of_a_refused_gift_is_sent_back_where_it_is_here(
    fields: dict[str, Any], open_steps: list[str]
) -> None:
    offer = make_offer(**fields)
    refused = refuse_offer(offer=offer, reason="Too narrow.", version=1, by=treasurer())
    assert steps(refused) == open_steps
