"""What the database refuses of statements, lines and matches."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from program.models import BankLayout, BankLine, BankMatch, BankStatement
from tests.factories import make_program, make_user
from tests.program.bank.banking import LAST, paid, statement
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def other(row: BankStatement, **fields: Any) -> BankStatement:
    defaults = {
        "program": row.program,
        "account": row.account,
        "from_on": LAST,
        "until_on": LAST,
        "opening_cents": 0,
        "closing_cents": 0,
        "file_name": "other.csv",
        "sha256": "0" * 64,
        "by": row.by,
    }
    return BankStatement(**defaults | fields)


def line(row: BankStatement, **fields: Any) -> BankLine:
    defaults = {
        "program": row.program,
        "statement": row,
        "account": row.account,
        "number": 9,
        "on": LAST,
        "cents": 100,
        "fingerprint": "0" * 64,
    }
    return BankLine(**defaults | fields)


def test_the_columns_of_an_account_are_kept_once() -> None:
    statement()
    row = BankLayout(program=make_program(), account="1010", columns={}, days="ymd")
    assert_refused(row, "bank_layout_once", "The columns of this account are known already.")


def test_a_file_is_read_once_for_an_account() -> None:
    row = statement()
    again = other(row, sha256=row.sha256)
    assert_refused(again, "bank_statement_once", "This file was read already.")
    other(row, sha256=row.sha256, account="1020").save()


def test_a_statement_ends_after_it_begins() -> None:
    row = other(statement(), until_on=LAST - timedelta(days=1))
    sentence = "A statement can't end before it begins."
    assert_refused(row, "bank_statement_days_in_order", sentence)


def test_a_line_is_known_once_in_an_account() -> None:
    row = statement()
    again = line(row, fingerprint=row.lines.earliest("pk").fingerprint)
    assert_refused(again, "bank_line_once", "A statement before holds this line already.")


def test_a_line_moves_money() -> None:
    row = line(statement(), cents=0)
    assert_refused(row, "bank_line_moves_money", "A line of a statement moves money.")


def test_an_entry_is_found_once_until_that_is_taken_back() -> None:
    row = statement()
    fields = {
        "program": row.program,
        "line": row.lines.earliest("pk"),
        "entry": paid(100, LAST),
        "account": "1010",
        "reason": "The only entry of this amount.",
        "by": make_user(),
    }
    first = BankMatch.objects.create(**fields)
    again = BankMatch(**fields)
    sentence = "This entry was found on the statement already."
    assert_refused(again, "bank_match_once_an_entry", sentence)
    BankMatch.objects.filter(pk=first.pk).update(undone_at=timezone.now())
    again.save()
