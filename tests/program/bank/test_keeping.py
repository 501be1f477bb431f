"""A bank's file becomes a statement, whole or not at all."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError

from program.bank.keeping import (
    Upload,
    known_lines,
    read_statement,
    remembered,
    suggested,
)
from program.bank.layout import Hold, guess
from program.bank.statement_file import read_table
from program.models import BankLayout, BankLine, BankStatement
from tests.factories import make_program, make_user
from tests.program.bank.banking import DAYS, FIRST, HEAD, LAST, OCTOBER, statement, uploaded

if TYPE_CHECKING:
    from program.bank.check import Given

pytestmark = pytest.mark.django_db
OVERLAP = (
    HEAD
    + "2026-10-28,AUTOMATIC PAYMENT,,-100.00,1263.60\n"
    + "2026-10-30,SERVICE CHARGE,,-15.00,1248.60\n"
    + "2026-11-02,DEPOSIT,,10.00,1258.60\n"
)
NOVEMBER = replace(
    DAYS,
    from_on=date(2026, 10, 28),
    until_on=date(2026, 11, 20),
    opening=1363_60,
    closing=1258_60,
)


def refused(text: str, given: Given) -> str:
    with pytest.raises(ValidationError) as error:
        statement(text, given)
    return " ".join(error.value.messages)


def test_days_that_come_again_are_read_once() -> None:
    statement()
    row = statement(OVERLAP, NOVEMBER)
    assert [line.cents for line in row.lines.all()] == [10_00]
    assert (row.from_on, row.opening_cents) == (date(2026, 11, 1), 1248_60)
    assert BankLine.objects.count() == 5


def test_days_that_come_again_with_another_line_are_refused_whole() -> None:
    statement()
    text = OVERLAP.replace("SERVICE CHARGE", "FEE")
    assert refused(text, NOVEMBER).startswith(
        "Row 3, Friday, October 30, 2026, −$15.00, lies in days that were read before"
    )
    assert BankLine.objects.count() == 4


def test_two_accounts_may_read_the_same_lines() -> None:
    first = statement()
    upload = replace(uploaded(), account="1020")
    layout = guess(read_table(upload.content))
    second = read_statement(
        program=first.program, upload=upload, layout=layout, given=DAYS, by=make_user()
    )
    assert second.lines.count() == first.lines.count()


def test_only_cash_accounts_have_statements() -> None:
    upload = replace(uploaded(), account="4010")
    layout = guess(read_table(upload.content))
    with pytest.raises(ValidationError, match="Choose an account that holds cash"):
        read_statement(
            program=make_program(), upload=upload, layout=layout, given=DAYS, by=make_user()
        )


def test_the_same_statement_again_is_the_same_row_and_another_claim_is_refused() -> None:
    assert statement() == statement()
    assert refused(OCTOBER, replace(DAYS, closing=1, until_on=LAST)) == (
        "This file was read already: the statement to Saturday, October 31, 2026."
    )


def test_a_fault_in_one_row_writes_nothing() -> None:
    assert refused(OCTOBER.replace("400.00", "4OO.00"), DAYS) == (
        "Row 3, amount: “4OO.00” is not an amount in dollars and cents."
    )
    assert not BankStatement.objects.exists()
    assert not BankLayout.objects.exists()


def test_columns_are_remembered_until_a_file_lacks_them() -> None:
    row = statement()
    BankLayout.objects.update(
        columns={"date": "day", "description": "reference", "amount": "amount"}
    )
    layout, known = remembered(row.program, uploaded(OVERLAP))
    assert (known, layout.columns["description"], layout.columns["balance"]) == (
        True,
        Hold.REFERENCE,
        Hold.NOTHING,
    )
    other = Upload(account="1010", name="x.csv", content=b"day,text,sum\n2026-11-02,Gift,1.00\n")
    layout, known = remembered(row.program, other)
    assert (known, layout.columns["day"]) == (False, Hold.DAY)


def test_days_and_balances_are_suggested_from_the_file_and_the_last_statement() -> None:
    program, upload = make_program(), uploaded()
    layout = guess(read_table(upload.content))
    assert suggested(program, upload, layout) == {
        "from_on": FIRST,
        "until_on": LAST,
        "opening": 1000_00,
        "closing": 1248_60,
    }
    statement()
    plain = uploaded("date,description,amount\n2026-11-12,Gift,1.00\n")
    layout = guess(read_table(plain.content))
    assert suggested(program, plain, layout) == {
        "from_on": date(2026, 11, 1),
        "until_on": date(2026, 11, 12),
        "opening": 1248_60,
    }


def test_what_is_known_of_an_account_is_its_own() -> None:
    row = statement()
    known = known_lines(row.program, "1010")
    assert (known.until_on, known.closing, len(known.prints)) == (LAST, 1248_60, 4)
    assert known_lines(row.program, "1020").until_on is None
    assert known_lines(make_program(name="Other garage"), "1010").until_on is None


def test_a_file_that_is_none_writes_nothing() -> None:
    upload = uploaded("")
    layout = guess(read_table(OCTOBER.encode()))
    with pytest.raises(ValidationError) as error:
        read_statement(
            program=make_program(), upload=upload, layout=layout, given=DAYS, by=make_user()
        )
    assert error.value.messages == ["The file is empty."]
    assert not BankStatement.objects.exists()


def test_a_layout_that_lacks_the_day_writes_nothing() -> None:
    layout = replace(guess(read_table(OCTOBER.encode())), columns={"amount": Hold.AMOUNT})
    with pytest.raises(ValidationError) as error:
        read_statement(
            program=make_program(), upload=uploaded(), layout=layout, given=DAYS, by=make_user()
        )
    assert error.value.messages == ["Say which column holds the day."]
    assert not BankStatement.objects.exists()
