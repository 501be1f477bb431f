"""Costs that a funder refused, and answers that are taken back."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from program.grants.actions import withdraw_claim
from program.grants.answering import take_back
from program.grants.duties import standing
from program.grants.queries import Answered, book_of, open_by_fund
from program.ledger.actions import reverse_by_hand, reverse_entry
from program.models import Claim, ClaimAnswer, Entry, Fund
from tests.factories import make_entry, make_fund
from tests.program.grants.awards import (
    NOVEMBER,
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
    from program.models import Grant

pytestmark = pytest.mark.django_db


def back(claim: Claim, answer: ClaimAnswer | None = None, reason: str = "A slip.") -> Claim:
    row = answer or claim.answers.latest("pk")
    return take_back(
        claim=claim, version=claim.version, answer=row.pk, reason=reason, by=treasurer()
    )


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
    assert reversal.on == date(2026, 11, 20)
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


def test_a_refusal_is_not_taken_back_once_a_later_claim_has_taken_its_room() -> None:
    fund = general()
    spent(fund, 5_000)
    spent(fund, 3_000, date(2026, 11, 4))
    claim = refused(sent(make_grant(cents=5_000)), 3_000)
    later = sent(claim.grant, NOVEMBER)
    with pytest.raises(ValidationError) as error:
        back(claim)
    assert error.value.messages == [
        (
            "A later claim has taken its room: $30.00 more than the award would be claimed."
            " Withdraw that claim first."
        )
    ]
    withdraw_claim(claim=later, version=later.version, reason="Too early.", by=treasurer())
    assert sum(open_by_fund(back(claim)).values()) == 5_000


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
