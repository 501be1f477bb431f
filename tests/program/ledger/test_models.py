from __future__ import annotations

from typing import Any

import pytest
from django.db import IntegrityError

from program.models import (
    Commitment,
    Entry,
    Fund,
    Proposal,
    ShutMonth,
    Transfer,
)
from shared.audit.models import AppendOnlyError
from tests.factories import TODAY, make_case, make_entry, make_fund, make_program, make_user
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def fund(**fields: Any) -> Fund:
    defaults = {"program": make_program(), "code": "GEN", "name": "fund", "opened_on": TODAY}
    return Fund(**defaults | fields)


def transfer(**fields: Any) -> Transfer:
    defaults = {
        "program": make_program(),
        "entry": make_entry(),
        "debit": "1010",
        "credit": "4010",
        "cents": 100,
        "fund": fields.get("fund") or make_fund(),
    }
    return Transfer(**defaults | fields)


def commitment(**fields: Any) -> Commitment:
    defaults = {
        "program": make_program(),
        "cause": "plan:5",
        "case": fields.get("case") or make_case(),
        "item_id": 1,
        "fund": fields.get("fund") or make_fund(),
        "cents": 100,
        "entry": make_entry(),
    }
    return Commitment(**defaults | fields)


def test_a_funds_code_is_given_once() -> None:
    fund().save()
    assert_refused(fund(), "fund_code_once", "There is a fund of this code already.")
    fund(program=make_program(name="Other garage")).save()


def test_a_fund_lapses_after_it_opens() -> None:
    row = fund(lapses_on=TODAY.replace(day=1))
    assert_refused(row, "fund_dates_in_order", "A fund can't lapse before it opens.")


def test_one_cause_is_booked_once() -> None:
    make_entry(key="bill:1")
    row = Entry(program=make_program(), key="bill:1", on=TODAY, what="Again")
    assert_refused(row, "entry_key_once", "This was booked already.")


@pytest.mark.parametrize("cents", [0, -1])
def test_a_transfer_moves_more_than_nothing(cents: int) -> None:
    sentence = "The amount of a transfer must be more than zero."
    assert_refused(transfer(cents=cents), "transfer_cents_above_zero", sentence)


def test_a_transfer_has_two_accounts() -> None:
    sentence = "A transfer moves money between two different accounts."
    assert_refused(transfer(credit="1010"), "transfer_between_two_accounts", sentence)


def test_a_commitment_is_more_than_nothing() -> None:
    sentence = "A commitment must be more than zero."
    assert_refused(commitment(cents=0), "commitment_cents_above_zero", sentence)


def test_a_fund_commits_to_an_item_once_until_that_is_released() -> None:
    one = commitment()
    one.save()
    sentence = "This fund has money set aside for this item already."
    again = commitment(fund=one.fund, case=one.case)
    assert_refused(again, "commitment_once_an_item", sentence)
    one.released_by = make_entry()
    one.save()
    commitment(fund=one.fund, case=one.case).save()


def test_entries_and_transfers_are_only_added() -> None:
    entry = make_entry(("1010", "4010", 100, make_fund()))
    for change in (entry.save, entry.delete, entry.transfers.get().save):
        with pytest.raises(AppendOnlyError):
            change()
    with pytest.raises(AppendOnlyError):
        Entry.objects.update(what="else")


def test_a_reader_sees_the_books_of_one_program() -> None:
    make_entry(("1010", "4010", 100, make_fund()))
    stranger = make_user(program=make_program(name="Other garage"))
    for model in (Fund, Entry, Transfer):
        assert model.objects.for_user(make_user()).count() == 1
        assert not model.objects.for_user(stranger).exists()


def proposal(**fields: Any) -> Proposal:
    defaults = {
        "program": make_program(),
        "key": "form:1",
        "on": TODAY,
        "what": "A lift",
        "lines": [{"debit": "1410", "credit": "1010", "cents": 120_000}],
        "why": "The program asks for two people over $1,000.00.",
        "by": fields.get("by") or make_user(),
    }
    return Proposal(**defaults | fields)


def test_a_spend_waits_once_and_for_somebody_else() -> None:
    row = proposal()
    row.save()
    again = proposal(by=row.by)
    assert_refused(again, "proposal_key_once", "This waits for a second person already.")
    alone = proposal(key="form:2", by=row.by, decided_by=row.by)
    said = "A second person has to agree, not the one who asks."
    assert_refused(alone, "proposal_by_two", said)
    proposal(key="form:2", by=row.by, decided_by=make_user()).save()


def test_a_spend_waits_was_booked_or_was_declined() -> None:
    row = proposal(state="lost")
    with pytest.raises(IntegrityError, match="proposal_state_known"):
        row.save()


def test_a_month_is_shut_once_until_it_is_opened_with_a_reason() -> None:
    user = make_user()
    usual: dict[str, Any] = {"program": make_program(), "month": TODAY.replace(day=1)}
    row = ShutMonth.objects.create(**usual, shut_by=user)
    again = ShutMonth(**usual, shut_by=user)
    assert_refused(again, "month_shut_once", "This month is shut already.")
    row.opened_at, row.opened_by = row.shut_at, user
    assert_refused(row, "month_opened_with_reason", "Say why the month is opened again.")
    row.reason = "A late bill."
    row.save()
    again.save()
