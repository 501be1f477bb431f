"""Booking and reversing."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.db import DatabaseError, connection, transaction

from program.ledger.actions import (
    Event,
    Line,
    book,
    post_entry,
    reverse_entry,
)
from program.models import Entry, Transfer
from shared.audit import models as audit
from tests.factories import TODAY, make_case, make_entry, make_fund, make_program, make_user
from tests.program.ledger.booking import (
    CASH,
    GIFTS,
    PARTS,
    free,
    fund_with,
    sentences,
    spend,
)

pytestmark = pytest.mark.django_db


def test_an_entry_posts_all_its_transfers_and_says_so_in_the_log() -> None:
    fund, user, case = fund_with(), make_user(), make_case()
    lines = [
        Line(debit=CASH, credit=GIFTS, cents=5_000, fund=fund),
        Line(debit="1020", credit=CASH, cents=2_000, fund=fund, case=case, memo="savings"),
    ]
    event = Event(key="gift:1", on=TODAY, what="Sunday collection")
    entry = post_entry(program=make_program(), event=event, lines=lines, by=user)
    rows = entry.transfers.order_by("pk")
    assert list(rows.values_list("debit", "credit", "cents", "fund", "case", "memo")) == [
        (CASH, GIFTS, 5_000, fund.pk, None, ""),
        ("1020", CASH, 2_000, fund.pk, case.pk, "savings"),
    ]
    assert (entry.key, entry.on, entry.by) == ("gift:1", TODAY, user)
    line = audit.Event.objects.about("entry", entry.pk).get()
    assert (line.what, line.by) == ("An entry was booked.", user)


def test_a_fund_is_never_spent_below_zero_by_choice() -> None:
    fund = fund_with(19_433)
    with pytest.raises(ValidationError) as refusal:
        spend(fund, 33_433)
    assert sentences(refusal) == [
        "The general fund has $194.33 free. This needs $334.33: $140.00 more."
    ]
    assert (Entry.objects.count(), free(fund)) == (1, 19_433)


def test_the_last_cent_may_be_spent() -> None:
    fund = fund_with(19_433)
    spend(fund, 19_433)
    assert free(fund) == 0


def test_what_has_happened_is_booked_even_below_zero_and_stops_new_spending() -> None:
    fund = fund_with(10_000)
    spend(fund, 15_000, fact=True)
    assert free(fund) == -5_000
    with pytest.raises(ValidationError) as refusal:
        spend(fund, 100, key="bill:2")
    assert sentences(refusal) == ["The general fund is $50.00 below zero."]


def test_one_cause_is_booked_once() -> None:
    fund = fund_with(10_000)
    spend(fund, 100)
    with pytest.raises(ValidationError) as refusal:
        spend(fund, 100)
    assert sentences(refusal) == ["This was booked already."]
    assert free(fund) == 9_900


def test_two_lines_of_one_entry_are_weighed_together() -> None:
    fund = fund_with(10_000)
    line = Line(debit=PARTS, credit=CASH, cents=6_000, fund=fund)
    event = Event(key="bill:1", on=TODAY, what="Pads and hoses")
    with pytest.raises(ValidationError) as refusal:
        post_entry(program=make_program(), event=event, lines=[line, line], by=None)
    assert sentences(refusal) == [
        "The general fund has $100.00 free. This needs $120.00: $20.00 more."
    ]
    assert Transfer.objects.count() == 1


def test_an_entry_that_pays_its_fund_in_full_needs_no_money_there() -> None:
    fund = fund_with()
    lines = [
        Line(debit=CASH, credit=GIFTS, cents=5_000, fund=fund),
        Line(debit=PARTS, credit=CASH, cents=5_000, fund=fund),
    ]
    event = Event(key="gift:1", on=TODAY, what="A gift, spent at once")
    post_entry(program=make_program(), event=event, lines=lines, by=None)
    assert free(fund) == 0


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"cents": 0}, "$0.00 can't be moved."),
        ({"cents": -5}, "−$0.05 can't be moved."),
        ({"debit": "1"}, "There is no account 1."),
        ({"debit": CASH}, "Account 1010 is on both sides."),
        (
            {"debit": "9010"},
            "Money set aside moves only between 9010 Commitments and 9020 Reserve for commitments.",
        ),
    ],
)
def test_an_impossible_line_is_refused_whole_even_as_a_fact(
    fields: dict[str, Any], sentence: str
) -> None:
    fund = fund_with(10_000)
    good = Line(debit=PARTS, credit=CASH, cents=100, fund=fund)
    usual: dict[str, Any] = {"debit": PARTS, "credit": CASH, "cents": 100, "fund": fund}
    bad = Line(**usual | fields)
    event = Event(key="bill:1", on=TODAY, what="Front pads")
    for fact in (False, True):
        with pytest.raises(ValidationError) as refusal:
            post_entry(program=make_program(), event=event, lines=[good, bad], by=None, fact=fact)
        assert sentences(refusal) == [sentence]
    assert Entry.objects.count() == 1


def test_an_entry_without_lines_is_refused() -> None:
    event = Event(key="bill:1", on=TODAY, what="Nothing")
    with pytest.raises(ValidationError) as refusal:
        post_entry(program=make_program(), event=event, lines=[], by=None)
    assert sentences(refusal) == ["The entry is empty."]


def test_a_closed_fund_takes_nothing_from_the_day_it_closed() -> None:
    fund = fund_with(10_000, closed_on=TODAY)
    spend(fund, 100, on=TODAY - dt.timedelta(days=1))
    with pytest.raises(ValidationError) as refusal:
        spend(fund, 100, key="bill:2")
    assert sentences(refusal) == ["The general fund was closed on Monday, November 30, 2026."]


def test_restricted_money_does_not_leave_its_fund() -> None:
    gift = fund_with(10_000, code="PRU", name="Pruitt gift", restricted=True)
    general = fund_with()
    lines = [
        Line(debit="3110", credit=CASH, cents=5_000, fund=gift),
        Line(debit=CASH, credit="3110", cents=5_000, fund=general),
    ]
    event = Event(key="move:1", on=TODAY, what="A move")
    with pytest.raises(ValidationError) as refusal:
        post_entry(program=make_program(), event=event, lines=lines, by=None)
    assert sentences(refusal) == ["$50.00 would leave the Pruitt gift."]


def test_another_programs_fund_is_unknown() -> None:
    fund_with(10_000)
    stranger = make_fund(program=make_program(name="Other garage"), code="OTHER")
    with pytest.raises(ValidationError) as refusal:
        spend(stranger, 100)
    assert sentences(refusal) == ["There is no fund OTHER."]


def test_a_form_that_is_sent_twice_books_once() -> None:
    fund, user, key = fund_with(10_000), make_user(), uuid4()
    line = Line(debit=PARTS, credit=CASH, cents=100, fund=fund)
    sent: dict[str, Any] = {"lines": [line], "on": TODAY, "what": "Pads", "key": key, "by": user}
    entry = book(fact=False, **sent)
    assert entry.key == f"form:{key}"
    assert book(fact=False, **sent) == entry
    assert free(fund) == 9_900


def test_what_was_booked_is_never_changed_or_deleted() -> None:
    entry = spend(fund_with(10_000), 100)
    for table in ("program_entry", "program_transfer"):
        for statement in (f"UPDATE {table} SET id = id", f"DELETE FROM {table}"):  # noqa: S608  # names above
            with pytest.raises(DatabaseError), transaction.atomic(), connection.cursor() as cursor:
                cursor.execute(statement)
    assert entry.transfers.count() == 1


def test_a_reversal_is_an_entry_of_its_own_with_the_sides_swapped() -> None:
    fund, user = fund_with(10_000), make_user()
    entry = spend(fund, 4_000)
    written = reverse_entry(entry=entry, on=TODAY, reason="Wrong fund.", by=user)
    row = written.transfers.get()
    assert (row.debit, row.credit, row.cents) == (CASH, PARTS, 4_000)
    assert (written.reverses, written.what) == (entry, "Reversed: Front pads")
    assert free(fund) == 10_000
    line = audit.Event.objects.about("entry", entry.pk).first()
    assert line is not None
    assert (line.what, line.reason) == ("The entry was reversed.", "Wrong fund.")


def test_an_entry_is_reversed_once() -> None:
    entry = spend(fund_with(10_000), 4_000)
    reverse_entry(entry=entry, on=TODAY, reason="Wrong fund.", by=make_user())
    with pytest.raises(ValidationError, match="This entry was reversed already"):
        reverse_entry(entry=entry, on=TODAY, reason="Again.", by=make_user())
    assert Entry.objects.filter(reverses=entry).count() == 1


def test_a_reversal_needs_a_reason() -> None:
    entry = spend(fund_with(10_000), 4_000)
    with pytest.raises(ValidationError, match="Say why the entry is reversed"):
        reverse_entry(entry=entry, on=TODAY, reason="  ", by=make_user())


def test_a_gift_that_bounced_is_reversed_below_zero() -> None:
    fund = fund_with()
    gift = make_entry((CASH, GIFTS, 5_000, fund))
    spend(fund, 5_000)
    reverse_entry(entry=gift, on=TODAY, reason="The check bounced.", by=make_user())
    assert free(fund) == -5_000
