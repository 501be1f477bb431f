"""What a funder answers to a claim: paid and refused, in parts."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from program.grants.actions import send_claim, withdraw_claim
from program.grants.answering import open_claim
from program.grants.claiming import is_carried, split_open
from program.grants.duties import standing
from program.grants.gathering import own_share_met
from program.grants.queries import Answered, book_of, open_by_fund
from program.grants.sheet import claim_rows, claim_sheet
from program.grants.states import ClaimState
from program.grants.writing import edit_grant
from program.models import Claim, ShutMonth
from tests.factories import make_fund, make_program, make_user
from tests.program.grants.awards import (
    NOVEMBER,
    award,
    begun,
    booked,
    claim_of,
    general,
    make_grant,
    nothing_changed,
    paid,
    refused,
    sent,
    spent,
    told,
    treasurer,
)

if TYPE_CHECKING:
    from collections.abc import Callable


pytestmark = pytest.mark.django_db


# ---- how an answer is shared ----


@given(
    st.dictionaries(st.integers(1, 9), st.integers(1, 10**9), min_size=1, max_size=6),
    st.integers(0, 10**4),
)
def test_an_answer_is_shared_to_the_cent_and_never_beyond_what_is_open(
    left: dict[int, int], part: int
) -> None:
    cents = sum(left.values()) * part // 10**4
    parts = split_open(cents, left)
    assert sum(parts.values()) == cents
    assert all(0 < parts[fund] <= left[fund] for fund in parts)


def test_more_than_is_open_is_not_shared() -> None:
    with pytest.raises(ValueError, match="No more can be answered than is open"):
        split_open(101, {1: 60, 2: 40})


def test_what_is_asked_needs_costs_that_carry_it() -> None:
    assert is_carried(8_000, [10_000], 20)
    assert not is_carried(8_001, [10_000], 20)


# ---- being paid ----


def test_being_paid_moves_the_receivable_to_the_bank_in_the_same_funds() -> None:
    fund, tools = general(), make_fund(code="TOOL", name="tool fund")
    spent(fund, 10_000)
    spent(tools, 5_000)
    claim = paid(sent(make_grant(), on=date(2026, 11, 3)), on=date(2026, 11, 20))
    row = claim.answers.get()
    assert booked(row.entry) == [
        ("1010", "1110", 10_000, "GEN"),
        ("1010", "1110", 5_000, "TOOL"),
    ]
    assert (row.entry.key, row.entry.on) == (f"claim-paid:{claim.pk}:1", date(2026, 11, 20))
    assert row.entry.what == "Claim 1 for October 2026 paid by Orrin County"
    assert (claim.state, claim.paid_on, told(claim)) == (
        ClaimState.PAID,
        date(2026, 11, 20),
        Answered(paid=15_000),
    )


def test_a_claim_is_paid_in_parts_each_shared_by_what_is_open() -> None:
    fund, tools = general(), make_fund(code="TOOL", name="tool fund")
    spent(fund, 10_000)
    spent(tools, 5_000)
    claim = sent(make_grant(), on=date(2026, 11, 3))
    claim = paid(claim, 1_000, date(2026, 11, 20))
    # $10.00 over $100.00 and $50.00 is $6.666 and $3.333: the odd cent goes to the larger rest.
    assert booked(claim.answers.get().entry) == [
        ("1010", "1110", 667, "GEN"),
        ("1010", "1110", 333, "TOOL"),
    ]
    assert (claim.state, claim.paid_on, sum(open_by_fund(claim).values())) == ("sent", None, 14_000)
    claim = paid(claim, 14_000, date(2026, 11, 28))
    assert (claim.state, claim.paid_on) == ("paid", date(2026, 11, 28))
    assert [row.entry.key for row in claim.answers.all()] == [
        f"claim-paid:{claim.pk}:1",
        f"claim-paid:{claim.pk}:2",
    ]
    assert open_by_fund(claim) == {}


def test_a_claim_is_closed_on_the_day_of_its_last_answer_not_the_last_typed() -> None:
    claim = paid(claim_of(5_000), 1_000, date(2026, 11, 28))
    assert paid(claim, 4_000, date(2026, 11, 20)).paid_on == date(2026, 11, 28)


@pytest.mark.parametrize(
    ("cents", "on", "sentence"),
    [
        (0, NOVEMBER, "Type an amount above zero."),
        (-5, NOVEMBER, "Type an amount above zero."),
        (5_001, NOVEMBER, "$50.00 is open of this claim. $50.01 is $0.01 more."),
        (
            100,
            date(2026, 11, 2),
            "It was sent on Tuesday, November 3, 2026; an answer comes after, by today.",
        ),
        (
            100,
            date(2026, 12, 1),
            "It was sent on Tuesday, November 3, 2026; an answer comes after, by today.",
        ),
    ],
)
@pytest.mark.parametrize("answer", [paid, refused])
def test_an_impossible_answer_is_refused_and_changes_nothing(
    answer: Callable[..., Claim], cents: int, on: date, sentence: str
) -> None:
    claim = claim_of(5_000)
    with pytest.raises(ValidationError) as error:
        answer(claim, cents, on)
    assert error.value.messages == [sentence]
    assert nothing_changed(claim)


def test_an_answer_in_a_month_that_is_shut_is_refused() -> None:
    claim = claim_of(5_000)
    ShutMonth.objects.create(program=make_program(), month=date(2026, 11, 1), shut_by=make_user())
    for answer in (paid, refused):
        with pytest.raises(ValidationError, match="November 2026 was shut by"):
            answer(claim, 100, date(2026, 11, 20))
    assert nothing_changed(claim)


def test_an_answer_that_is_sent_twice_is_booked_once() -> None:
    claim = claim_of(5_000)
    paid(claim, 1_000)
    with pytest.raises(ValidationError, match="Somebody else changed this claim"):
        paid(claim, 1_000)
    assert told(claim) == Answered(paid=1_000)


def test_a_claim_is_answered_once_it_was_sent_and_until_nothing_is_open() -> None:
    spent(general(), 5_000)
    claim = begun(make_grant())
    with pytest.raises(ValidationError, match="Claim 1 is a draft and was not sent"):
        paid(claim)
    claim = paid(send_claim(claim=claim, version=1, on=NOVEMBER, by=treasurer()))
    with pytest.raises(ValidationError, match="Claim 1 is answered already"):
        paid(claim)
    with pytest.raises(ValidationError, match="Claim 1 is answered already"):
        open_claim(claim, claim.version, ClaimState.DRAFT)


def test_a_report_is_not_answered() -> None:
    report = sent(make_grant(pays="ahead"))
    for answer in (paid, refused):
        with pytest.raises(ValidationError, match="The money of this grant came ahead"):
            answer(report, 100)


# ---- being refused ----


def test_what_is_refused_is_owed_no_more_and_no_income() -> None:
    claim = refused(claim_of(10_000), 4_000, date(2026, 11, 20))
    row = claim.answers.get()
    assert booked(row.entry) == [("4030", "1110", 4_000, "GEN")]
    assert (row.entry.key, row.entry.fact) == (f"claim-refused:{claim.pk}:1", True)
    assert row.entry.what == "Part of claim 1 for October 2026 refused by Orrin County"
    assert (row.reason, claim.state) == ("No receipt.", "sent")
    claim = paid(claim, 6_000)
    assert (claim.state, told(claim)) == ("paid", Answered(paid=6_000, refused=4_000))


def test_a_refusal_needs_a_reason() -> None:
    claim = claim_of(5_000)
    with pytest.raises(ValidationError) as error:
        refused(claim, 100, reason=" ")
    assert error.value.message_dict == {"reason": ["Say why the funder refuses it."]}
    assert nothing_changed(claim)


def test_what_was_refused_is_room_in_the_award_again() -> None:
    claim = refused(claim_of(10_000), 4_000)
    at = standing(book_of(claim.grant, NOVEMBER))
    assert (at.claimed, at.paid, at.refused, at.left) == (6_000, 0, 4_000, 44_000)
    assert book_of(claim.grant, NOVEMBER).room == 44_000
    paid(claim, 2_500)
    at = standing(book_of(claim.grant, NOVEMBER))
    assert (at.claimed, at.paid, at.left) == (6_000, 2_500, 44_000)


def test_an_award_may_fall_to_what_was_claimed_and_not_refused() -> None:
    claim = refused(claim_of(10_000), 4_000)
    grant = claim.grant
    with pytest.raises(ValidationError, match=r"\$60.00 was claimed already"):
        edit_grant(grant=grant, award=award(cents=5_999), version=1, by=treasurer())
    edit_grant(grant=grant, award=award(cents=6_000), version=1, by=treasurer())
    assert book_of(grant, NOVEMBER).room == 50_000 - 50_000 + 44_000


def test_the_own_share_counts_only_with_what_was_not_refused() -> None:
    claim = claim_of(10_000, own_percent=20)
    assert own_share_met(claim.grant) == 2_000
    claim = refused(claim, 4_000)
    assert own_share_met(claim.grant) == 1_000
    first = claim.lines.get()
    first.freed = True
    first.save()
    assert own_share_met(claim.grant) == 1_000


def test_the_next_claims_paper_counts_what_was_refused_as_not_claimed() -> None:
    claim = refused(claim_of(10_000), 4_000)
    spent(claim.lines.get().transfer.fund, 2_000, date(2026, 11, 4))
    later = begun(claim.grant, NOVEMBER)
    sheet = claim_sheet(later)
    assert (sheet.before, sheet.cents, sheet.left) == (6_000, 2_000, 42_000)


@pytest.mark.parametrize(
    ("answers", "words"),
    [
        ([], "sent, not paid yet"),
        ([(paid, 6_000)], "sent, $40.00 open"),
        ([(refused, 6_000)], "sent, $40.00 open"),
        ([(paid, 10_000)], "paid"),
        ([(paid, 6_000), (refused, 4_000)], "paid, $40.00 refused"),
        ([(refused, 10_000)], "refused whole"),
    ],
)
def test_where_a_claim_stands_is_said_in_a_few_words(
    answers: list[tuple[Callable[..., Claim], int]], words: str
) -> None:
    claim = claim_of(10_000)
    for answer, cents in answers:
        claim = answer(claim, cents)
    assert [row.state for row in claim_rows(claim.grant)] == [words]


def test_a_report_is_sent_and_a_withdrawn_claim_says_why() -> None:
    report = sent(make_grant(pays="ahead"))
    assert [row.state for row in claim_rows(report.grant)] == ["sent"]
    withdraw_claim(claim=report, version=2, reason="Wrong month.", by=treasurer())
    assert [row.state for row in claim_rows(report.grant)] == ["withdrawn: Wrong month."]
