"""Setting money aside for a plan, and freeing it."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError
from django.db import DatabaseError, transaction

from program.ledger.actions import (
    Event,
    release,
    reverse_entry,
    set_aside,
)
from program.ledger.queries import standing_commitments
from program.models import Commitment, Entry
from tests.factories import TODAY, make_case, make_program, make_user
from tests.program.ledger.booking import free, free_all, fund_with, put_aside, sentences, spend

pytestmark = pytest.mark.django_db


def test_money_that_is_set_aside_can_not_be_spent() -> None:
    fund = fund_with(10_000)
    put_aside(fund, 6_000)
    with pytest.raises(ValidationError) as refusal:
        spend(fund, 5_000)
    assert sentences(refusal) == [
        "The general fund has $40.00 free. This needs $50.00: $10.00 more."
    ]


def test_money_of_a_plan_is_not_freed_by_reversing_its_entry() -> None:
    fund = fund_with(10_000)
    entry = put_aside(fund, 6_000)
    with pytest.raises(ValidationError, match="the next plan changes it"):
        reverse_entry(entry=entry, on=TODAY, reason="Wrong.", by=make_user())
    freed = free_all()
    assert freed is not None
    with pytest.raises(ValidationError, match="the next plan changes it"):
        reverse_entry(entry=freed, on=TODAY, reason="Wrong.", by=make_user())


def test_setting_aside_writes_a_transfer_and_a_commitment_for_each_item() -> None:
    fund, case = fund_with(10_000), make_case()
    entry = put_aside(fund, 6_000, case=case)
    assert entry.transfers.values_list("debit", "credit", "cents", "case").get() == (
        *("9010", "9020", 6_000),
        case.pk,
    )
    row = Commitment.objects.get()
    assert (row.cause, row.item_id, row.fund, row.entry) == ("plan:1", 7, fund, entry)
    assert free(fund) == 4_000


def test_more_than_is_free_can_not_be_set_aside() -> None:
    fund = fund_with(10_000)
    with pytest.raises(ValidationError) as refusal:
        put_aside(fund, 10_001)
    assert sentences(refusal) == [
        "The general fund has $100.00 free. This needs $100.01: $0.01 more."
    ]
    assert not Commitment.objects.exists()


def test_nothing_to_set_aside_or_to_free_writes_nothing() -> None:
    event = Event(key="plan:1", on=TODAY, what="Nothing")
    assert set_aside(program=make_program(), event=event, rows=[], by=make_user()) is None
    assert free_all() is None
    assert not Entry.objects.exists()


def test_freeing_gives_the_money_back_once() -> None:
    fund = fund_with(10_000)
    put_aside(fund, 6_000)
    rows = list(standing_commitments(make_program()))
    entry = free_all()
    assert entry is not None
    assert (free(fund), Commitment.objects.get().released_by) == (10_000, entry)
    event = Event(key="plan:2:freed", on=TODAY, what="Freed again")
    stale = Commitment.objects.filter(pk__in=[row.pk for row in rows])
    assert release(program=make_program(), event=event, commitments=stale, by=None) is None
    assert free(fund) == 10_000


def test_one_fund_sets_money_aside_for_an_item_once_at_a_time() -> None:
    fund = fund_with(10_000)
    put_aside(fund, 1_000)
    with pytest.raises(DatabaseError), transaction.atomic():
        put_aside(fund, 1_000, key="plan:2")
    free_all()
    put_aside(fund, 1_000, key="plan:3")
    assert free(fund) == 9_000


def test_rows_that_were_read_before_are_not_freed_a_second_time() -> None:
    fund = fund_with(10_000)
    put_aside(fund, 6_000)
    rows = list(standing_commitments(make_program()))
    free_all()
    event = Event(key="returned:1", on=TODAY, what="Freed again")
    assert release(program=make_program(), event=event, commitments=rows, by=None) is None
    assert (free(fund), Entry.objects.filter(key="returned:1").count()) == (10_000, 0)


def test_a_closed_fund_gives_free_what_it_set_aside_and_takes_nothing_else() -> None:
    fund = fund_with(10_000)
    put_aside(fund, 6_000)
    fund.closed_on = TODAY
    fund.save()
    assert free_all() is not None
    assert free(fund) == 10_000
    with pytest.raises(ValidationError) as refusal:
        put_aside(fund, 1_000, key="plan:3")
    assert sentences(refusal) == ["The general fund was closed on Monday, November 30, 2026."]
