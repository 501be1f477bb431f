"""A claim that was sent: withdrawn, and what comes off the next one."""

from __future__ import annotations

from datetime import date

import pytest
from django.core.exceptions import ValidationError

from program.grants.actions import send_claim, withdraw_claim
from program.grants.answering import take_back
from program.grants.duties import standing
from program.grants.queries import book_of
from program.ledger.actions import reverse_entry
from program.models import Claim, Entry, ShutMonth
from tests.factories import make_program, make_user
from tests.program.grants.awards import (
    NOVEMBER,
    OCTOBER,
    begun,
    booked,
    general,
    make_grant,
    paid,
    refused,
    sent,
    spent,
    treasurer,
)

pytestmark = pytest.mark.django_db


def withdraw(claim: Claim, reason: str = "Wrong month.") -> Claim:
    return withdraw_claim(claim=claim, version=claim.version, reason=reason, by=treasurer())


def test_withdrawing_reverses_the_entry_and_frees_the_costs() -> None:
    spent(general(), 5_000)
    grant = make_grant()
    claim = withdraw(sent(grant))
    reversal = Entry.objects.get(reverses=claim.entry)
    assert booked(reversal) == [("4030", "1110", 5_000, "GEN")]
    assert reversal.on == OCTOBER
    assert (claim.state, claim.reason) == ("withdrawn", "Wrong month.")
    assert not claim.lines.filter(freed=False).exists()
    again = begun(grant)
    assert (again.number, again.cents) == (2, 5_000)


def test_a_claim_whose_entry_was_reversed_is_withdrawn_and_never_paid() -> None:
    spent(general(), 5_000)
    claim = sent(make_grant())
    assert claim.entry is not None
    reverse_entry(entry=claim.entry, on=NOVEMBER, reason="Wrong.", by=treasurer())
    with pytest.raises(ValidationError, match="The entry of this claim was reversed"):
        paid(claim)
    assert withdraw(claim).state == "withdrawn"


def test_a_paid_claim_is_not_withdrawn_and_a_reason_is_asked() -> None:
    spent(general(), 5_000)
    claim = sent(make_grant())
    with pytest.raises(ValidationError, match="Say why the claim is withdrawn"):
        withdraw(claim, " ")
    with pytest.raises(ValidationError, match="Claim 1 is answered already"):
        withdraw(paid(claim))


def test_what_was_claimed_and_reversed_comes_off_the_next_claim() -> None:
    fund = general()
    row = spent(fund, 5_000)
    grant = make_grant(own_percent=10)
    paid(sent(grant))
    back = reverse_entry(entry=row.entry, on=NOVEMBER, reason="Core sent back.", by=treasurer())
    assert standing(book_of(grant, NOVEMBER)).owed_back == 4_500
    spent(fund, 8_000, date(2026, 11, 4))
    claim = begun(grant, NOVEMBER)
    assert claim.cents == 2_700
    assert claim.lines.filter(transfer__entry=back).count() == 1
    assert standing(book_of(grant, NOVEMBER)).owed_back == 0


def test_what_a_claim_booked_in_a_month_that_is_shut_by_now_is_reversed_today() -> None:
    spent(general(), 5_000)
    claim = sent(make_grant())
    ShutMonth.objects.create(program=make_program(), month=date(2026, 10, 1), shut_by=make_user())
    assert Entry.objects.get(reverses=withdraw(claim).entry).on == NOVEMBER


def test_what_came_back_waits_for_later_costs_of_its_fund() -> None:
    fund = general()
    row = spent(fund, 5_000)
    grant = make_grant()
    sent(grant)
    reverse_entry(entry=row.entry, on=NOVEMBER, reason="Core sent back.", by=treasurer())
    sentence = "In one fund more came back than was spent. Claim it with later costs."
    with pytest.raises(ValidationError) as error:
        begun(grant, NOVEMBER)
    assert error.value.messages == [sentence]


def test_a_draft_that_would_be_another_amount_by_now_is_not_sent() -> None:
    fund = general()
    spent(fund, 5_000)
    spent(fund, 3_000, date(2026, 11, 4))
    claim = refused(sent(make_grant(cents=5_000)), 3_000)
    draft = begun(claim.grant, NOVEMBER)
    take_back(
        claim=claim,
        version=claim.version,
        answer=claim.answers.get().pk,
        reason="A slip.",
        by=treasurer(),
    )
    with pytest.raises(ValidationError) as error:
        send_claim(claim=draft, version=1, on=NOVEMBER, by=treasurer())
    assert error.value.messages == [
        "This claim would now be $0.00, not $30.00. Record the choice of costs again."
    ]
