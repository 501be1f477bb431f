"""What a funder answers to a claim: paid and refused in parts, and taken back."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from program.grants.actions import send_claim, withdraw_claim
from program.grants.answering import open_claim, take_back
from program.grants.claiming import is_carried, split_open
from program.grants.duties import standing
from program.grants.gathering import own_share_met
from program.grants.queries import Answered, answered, book_of, open_by_fund
from program.grants.sheet import claim_rows, claim_sheet
from program.grants.states import ClaimState
from program.grants.writing import edit_grant
from program.ledger.actions import reverse_by_hand, reverse_entry
from program.models import Claim, ClaimAnswer, Entry, Fund, ShutMonth
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.grants.awards import (
    NOVEMBER,
    award,
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

if TYPE_CHECKING:
    from collections.abc import Callable

    from program.models import Grant

pytestmark = pytest.mark.django_db


def claim_of(*cents: int, **fields: Any) -> Claim:
    """Return a claim of these costs of the general fund, sent on November 3."""
    fund = general()
    for one in cents:
        spent(fund, one)
    return sent(make_grant(**fields), on=date(2026, 11, 3))


def back(claim: Claim, answer: ClaimAnswer | None = None, reason: str = "A slip.") -> Claim:
    row = answer or claim.answers.latest("pk")
    return take_back(
        claim=claim, version=claim.version, answer=row.pk, reason=reason, by=treasurer()
    )


def told(claim: Claim) -> Answered:
    return answered([claim]).get(claim.pk, Answered())


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


def nothing_changed(claim: Claim) -> bool:
    found = Claim.objects.get(pk=claim.pk)
    entries = Entry.objects.filter(key__startswith="claim-").exists()
    return not entries and (found.state, found.version) == (claim.state, claim.version)


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


# ---- costs that were refused ----


def two_costs(**fields: Any) -> tuple[Claim, list[int]]:
    claim = claim_of(6_000, 4_000, **fields)
    return claim, list(claim.lines.order_by("transfer").values_list("transfer", flat=True))


def others_say(grant: Grant) -> list[str]:
    return [str(why) for _, why in book_of(grant, NOVEMBER).others]


def test_a_refused_cost_is_free_for_another_grant_and_not_for_this_one() -> None:
    claim, (first, second) = two_costs()
    claim = refused(claim, 4_000, freed=[second])
    book = book_of(claim.grant, NOVEMBER)
    assert [cost.id for cost in book.allowed] == []
    assert others_say(claim.grant) == ["The funder refused it in claim 1."]
    other = make_grant(make_fund(restricted=True))
    assert [cost.id for cost in book_of(other, NOVEMBER).allowed] == [second]
    assert begun(other).cents == 4_000
    assert list(claim.lines.filter(freed=False).values_list("transfer", flat=True)) == [first]


def test_no_more_costs_are_freed_than_the_refusal_covers() -> None:
    claim, (first, second) = two_costs(own_percent=20)
    with pytest.raises(ValidationError) as error:
        refused(claim, 3_199, freed=[second])
    assert error.value.message_dict == {
        "freed": [
            (
                "The other costs don't carry what is still asked of the funder. Leave a cost in, or"
                " refuse more."
            )
        ]
    }
    assert nothing_changed(claim)
    claim = refused(claim, 3_200, freed=[second])
    with pytest.raises(ValidationError, match="One of these costs does not stand in this claim"):
        refused(claim, 4_800, freed=[first, second])
    assert refused(claim, 4_800, freed=[first]).state == "paid"


def test_the_reversal_of_a_refused_cost_is_not_owed_back() -> None:
    claim, (_, second) = two_costs()
    claim = refused(claim, 4_000, freed=[second])
    entry = Entry.objects.get(transfers=second)
    reverse_entry(entry=entry, on=NOVEMBER, reason="Sent back.", by=treasurer())
    assert standing(book_of(claim.grant, NOVEMBER)).owed_back == 0


# ---- an answer that is taken back ----


def test_an_answer_taken_back_is_reversed_and_its_amount_is_open_again() -> None:
    claim = paid(claim_of(5_000), on=date(2026, 11, 20))
    row = claim.answers.get()
    claim = back(claim)
    reversal = Entry.objects.get(reverses=row.entry)
    assert booked(reversal) == [("1110", "1010", 5_000, "GEN")]
    assert reversal.on == NOVEMBER
    assert (claim.state, claim.paid_on, told(claim)) == ("sent", None, Answered())
    claim = paid(claim)
    assert (claim.state, claim.answers.latest("pk").entry.key) == (
        "paid",
        f"claim-paid:{claim.pk}:2",
    )


def test_an_answer_is_taken_back_once_with_a_reason_and_only_from_its_own_claim() -> None:
    claim = paid(claim_of(5_000), 1_000)
    row = claim.answers.get()
    with pytest.raises(ValidationError) as error:
        back(claim, reason=" ")
    assert error.value.message_dict == {"reason": ["Say why the answer is taken back."]}
    claim = back(claim)
    with pytest.raises(ValidationError, match="This answer was taken back already"):
        back(claim, row)
    with pytest.raises(ValidationError, match="Somebody else changed this claim"):
        take_back(claim=claim, version=1, answer=row.pk, reason="A slip.", by=treasurer())


def test_an_answer_of_before_claims_were_answered_in_parts_has_no_number_and_counts() -> None:
    claim = claim_of(5_000)
    fund = Fund.objects.get(code="GEN")
    entry = make_entry(("1010", "1110", 1_000, fund), key=f"claim-paid:{claim.pk}")
    old = ClaimAnswer.objects.create(
        program=claim.program,
        claim=claim,
        kind="paid",
        on=NOVEMBER,
        cents=1_000,
        by=treasurer(),
        entry=entry,
    )
    assert paid(claim, 500).answers.latest("pk").entry.key == f"claim-paid:{claim.pk}:2"
    claim = back(Claim.objects.get(pk=claim.pk), old)
    assert told(claim) == Answered(paid=500)


def test_a_refusal_taken_back_brings_its_costs_into_the_claim_again() -> None:
    claim, (_, second) = two_costs()
    claim = back(refused(claim, 4_000, freed=[second]))
    assert not claim.lines.filter(freed=True).exists()
    assert others_say(claim.grant) == []
    assert sum(open_by_fund(claim).values()) == 10_000


def test_a_freed_cost_stays_free_while_another_refusal_covers_it() -> None:
    claim, (_, second) = two_costs()
    claim = refused(claim, 4_000)
    claim = refused(claim, 4_000, freed=[second])
    first, later = claim.answers.order_by("pk")
    claim = back(claim, later)
    assert claim.lines.filter(freed=True).count() == 1
    claim = back(claim, first)
    assert claim.lines.filter(freed=True).count() == 0


def test_a_refusal_is_not_taken_back_while_another_claim_holds_its_cost() -> None:
    claim, (_, second) = two_costs()
    claim = refused(claim, 4_000, freed=[second])
    begun(make_grant(make_fund(name="van grant", restricted=True)))
    with pytest.raises(ValidationError) as error:
        back(claim)
    assert error.value.messages == [
        (
            "“Front pads” was refused here and stands in claim 1 of van grant by now. Take it out"
            " there first."
        )
    ]
    assert told(claim) == Answered(refused=4_000)


def test_a_claim_is_withdrawn_only_while_no_answer_stands() -> None:
    claim = paid(claim_of(5_000), 1_000)
    with pytest.raises(ValidationError) as error:
        withdraw_claim(claim=claim, version=claim.version, reason="Wrong.", by=treasurer())
    assert error.value.messages == ["The funder answered this claim. Take its answers back first."]
    claim = back(claim)
    claim = withdraw_claim(claim=claim, version=claim.version, reason="Wrong.", by=treasurer())
    assert claim.state == "withdrawn"
    with pytest.raises(ValidationError, match="Claim 1 is withdrawn already"):
        back(claim)


def test_the_journal_leaves_an_answer_to_its_claim() -> None:
    claim = refused(paid(claim_of(5_000), 1_000), 500)
    assert claim.entry is not None
    rows = [claim.entry, *(row.entry for row in claim.answers.all())]
    for entry, undo in zip(
        rows,
        ("withdraw it there.", "take the answer back there.", "take the answer back there."),
        strict=True,
    ):
        with pytest.raises(ValidationError) as error:
            reverse_by_hand(entry=entry, on=NOVEMBER, reason="Wrong.", by=treasurer())
        assert error.value.messages == [f"This was booked for claim 1 of commuter grant: {undo}"]
    claim = back(claim)
    reversal = Entry.objects.latest("pk")
    with pytest.raises(ValidationError, match="This was booked for claim 1 of commuter grant"):
        reverse_by_hand(entry=reversal, on=NOVEMBER, reason="Wrong.", by=treasurer())
