"""A claim from draft to sent, and what sending books."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from program.grants.actions import (
    CLAIM_PAPERS,
    choose_costs,
    draft_claim,
    send_claim,
)
from program.grants.duties import standing
from program.grants.queries import book_of
from program.ledger.actions import reverse_entry
from program.models import Claim, ClaimLine, Entry, ShutMonth
from shared.models import Job
from tests.factories import make_fund, make_program, make_user
from tests.program.grants.awards import (
    NOVEMBER,
    OCTOBER,
    begun,
    booked,
    general,
    make_grant,
    sent,
    spent,
    treasurer,
)

pytestmark = pytest.mark.django_db


def costs(claim: Claim) -> list[int]:
    rows = claim.lines.filter(freed=False).order_by("transfer_id")
    return list(rows.values_list("transfer_id", flat=True))


def choose(claim: Claim, shown: list[Any], chosen: list[Any], version: int = 1) -> Claim:
    ids = {"shown": [row.pk for row in shown], "chosen": [row.pk for row in chosen]}
    return choose_costs(claim=claim, version=version, by=treasurer(), **ids)


# ---- a draft ----


def test_a_draft_takes_every_allowed_cost_of_its_cycle() -> None:
    fund = general()
    row = spent(fund, 5_000)
    spent(fund, 7_000, date(2026, 11, 2))
    spent(fund, 900, date(2026, 9, 30))
    claim = begun(make_grant())
    assert (costs(claim), claim.cents, claim.number, claim.state) == ([row.pk], 5_000, 1, "draft")


def test_a_later_claim_takes_what_an_earlier_cycle_left() -> None:
    row = spent(general(), 5_000)
    assert costs(begun(make_grant(), NOVEMBER)) == [row.pk]


def test_beginning_twice_gives_the_same_draft() -> None:
    spent(general(), 5_000)
    grant = make_grant()
    assert begun(grant) == begun(grant)
    assert ClaimLine.objects.count() == 1


@pytest.mark.parametrize(
    ("until_on", "sentence"),
    [
        (date(2026, 10, 30), "No cycle of this grant ends on Friday, October 30, 2026."),
        (
            date(2026, 12, 31),
            "December 2026 is not over: it ends on Thursday, December 31, 2026.",
        ),
        (NOVEMBER, "There is no cost to claim for November 2026."),
    ],
)
def test_a_cycle_that_cannot_be_claimed_is_refused(until_on: date, sentence: str) -> None:
    with pytest.raises(ValidationError) as error:
        begun(make_grant(), until_on)
    assert error.value.messages == [sentence]


def test_a_cycle_that_was_claimed_is_refused() -> None:
    fund = general()
    spent(fund, 5_000)
    grant = make_grant()
    sent(grant)
    spent(fund, 100)
    with pytest.raises(ValidationError) as error:
        begun(grant)
    assert error.value.messages == ["Claim 1 covers October 2026 already."]


def test_a_claim_never_asks_for_more_than_the_award() -> None:
    fund = general()
    spent(fund, 40_000)
    spent(fund, 40_000, date(2026, 11, 2))
    grant = make_grant()
    claims = [sent(grant), sent(grant, NOVEMBER)]
    assert [claim.cents for claim in claims] == [40_000, 10_000]
    assert standing(book_of(grant, NOVEMBER)).left == 0


def test_two_grants_never_claim_one_cost() -> None:
    row = spent(general(), 5_000)
    first, second = make_grant(), make_grant(make_fund(restricted=True))
    assert costs(begun(first)) == [row.pk]
    with pytest.raises(ValidationError, match="There is no cost to claim"):
        begun(second)


def test_only_the_costs_shown_are_chosen_from() -> None:
    fund = general()
    rows = [spent(fund, cents) for cents in (1_000, 2_000, 3_000)]
    claim = choose(begun(make_grant()), rows[:2], rows[:1])
    assert (costs(claim), claim.cents) == ([rows[0].pk, rows[2].pk], 4_000)
    claim = choose(claim, rows[:2], rows[:2], version=2)
    assert (len(costs(claim)), claim.cents) == (3, 6_000)


def test_a_cost_of_another_claim_cannot_be_chosen() -> None:
    fund = general()
    spent(fund, 1_000)
    taken = spent(fund, 2_000, debit="6030")
    claim = begun(make_grant(accounts=["6010"]))
    begun(make_grant(make_fund(restricted=True), accounts=["6030"]))
    with pytest.raises(ValidationError, match="One of these costs can't be claimed any more"):
        choose(claim, [taken], [taken])


def test_a_stale_choice_is_refused() -> None:
    row = spent(general(), 1_000)
    claim = begun(make_grant())
    choose(claim, [row], [row])
    with pytest.raises(ValidationError, match="Somebody else changed this claim"):
        choose(claim, [row], [])


def test_another_programs_grant_is_not_touched() -> None:
    spent(general(), 5_000)
    grant = make_grant(
        make_fund(program=make_program(name="Other garage"), restricted=True), pays="after"
    )
    with pytest.raises(ValidationError, match="There is no cost to claim"):
        draft_claim(grant=grant, until_on=OCTOBER, by=treasurer())


# ---- sending ----


def test_sending_books_the_funders_share_in_each_fund_where_the_costs_stand() -> None:
    fund, tools = general(), make_fund(code="TOOL", name="tool fund")
    spent(fund, 10_000)
    spent(tools, 5_001)
    claim = sent(make_grant(own_percent=20))
    # $150.01 at 80 percent is $120.008: the part of a cent stays with us. Split by cost, that is
    # $79.9947 and $40.0053: the odd cent goes to the larger remainder.
    assert booked(claim.entry) == [("1110", "4030", 7_999, "GEN"), ("1110", "4030", 4_001, "TOOL")]
    assert claim.entry is not None
    assert (claim.entry.key, claim.entry.on) == (f"claim:{claim.pk}", OCTOBER)
    assert (claim.state, claim.sent_on, claim.cents) == ("sent", NOVEMBER, 12_000)


def test_in_a_month_that_is_shut_a_claim_is_booked_on_the_day_it_was_sent() -> None:
    spent(general(), 5_000)
    grant = make_grant()
    ShutMonth.objects.create(program=make_program(), month=date(2026, 10, 1), shut_by=make_user())
    entry = sent(grant).entry
    assert entry is not None
    assert entry.on == NOVEMBER


def test_sending_asks_for_the_papers() -> None:
    spent(general(), 5_000)
    claim = sent(make_grant())
    assert Job.objects.get(kind=CLAIM_PAPERS).payload == {"claim": claim.pk}


def test_a_report_books_nothing() -> None:
    fund = make_fund(code="COM", name="commuter grant", restricted=True)
    spent(fund, 50_000, date(2026, 10, 1), debit="1010", credit="4030")
    spent(fund, 5_000)
    spent(general(), 700)
    report = sent(make_grant(fund, pays="ahead"))
    assert (report.entry, report.cents, report.state) == (None, 5_000, "sent")


def test_a_report_may_say_that_nothing_was_spent() -> None:
    report = sent(make_grant(pays="ahead"))
    assert (report.cents, report.lines.count()) == (0, 0)


@pytest.mark.parametrize("on", [date(2026, 10, 30), date(2026, 12, 1)])
def test_a_claim_is_sent_between_the_end_of_its_cycle_and_today(on: date) -> None:
    spent(general(), 5_000)
    with pytest.raises(ValidationError) as error:
        sent(make_grant(), on=on)
    assert error.value.message_dict == {
        "on": ["A claim is sent after Saturday, October 31, 2026, and not later than today."]
    }


def test_a_cost_that_was_reversed_stops_its_draft() -> None:
    fund = general()
    row, other = spent(fund, 5_000), spent(fund, 100)
    claim = begun(make_grant())
    reverse_entry(entry=row.entry, on=NOVEMBER, reason="Wrong car.", by=treasurer())
    with pytest.raises(ValidationError) as error:
        send_claim(claim=claim, version=1, on=NOVEMBER, by=treasurer())
    assert error.value.messages == [
        "1 cost of this claim can't be claimed any more. Record the choice of costs again."
    ]
    claim = choose(claim, [row, other], [other])
    assert (claim.cents, costs(claim)) == (100, [other.pk])


def test_a_claim_of_nothing_is_refused() -> None:
    row = spent(general(), 5_000)
    claim = choose(begun(make_grant()), [row], [])
    with pytest.raises(ValidationError, match="This claim asks for nothing"):
        send_claim(claim=claim, version=2, on=NOVEMBER, by=treasurer())


def test_a_claim_is_sent_once() -> None:
    spent(general(), 5_000)
    claim = sent(make_grant())
    with pytest.raises(ValidationError) as error:
        send_claim(claim=claim, version=claim.version, on=NOVEMBER, by=treasurer())
    assert error.value.messages == ["Claim 1 is sent already."]
    assert Entry.objects.filter(key__startswith="claim:").count() == 1
