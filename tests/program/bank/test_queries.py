"""What an account moves and how far it is reconciled."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.bank.actions import (
    finish,
)
from program.bank.queries import bank_state, nets, reconciled_until
from program.models import BankStatement
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.bank.banking import (
    FIRST,
    LAST,
    all_found,
    books,
    general,
    statement,
)

pytestmark = pytest.mark.django_db


def test_the_state_of_the_close_lists_cash_that_was_never_reconciled() -> None:
    books()
    states = bank_state(make_program(), LAST)
    assert [(state.account, state.done) for state in states] == [("1010", False)]
    assert str(states[0].sentence) == "1010 Checking account has not been reconciled yet."


def test_an_entry_moves_its_net_over_transfers_and_funds() -> None:
    gift = make_fund(code="PRU")
    both = make_entry(
        ("1010", "4010", 500, general()),
        ("1010", "4010", 300, gift),
        ("7030", "1010", 100, general()),
        on=LAST,
    )
    make_entry(("1010", "3110", 250, gift), ("3110", "1010", 250, general()), on=LAST)
    rows = nets(make_program(), "1010", FIRST, LAST)
    assert [(row["entry_id"], row["cents"]) for row in rows] == [(both.pk, 700)]


def test_the_state_of_the_close_is_done_only_at_zero_and_to_the_last_day() -> None:
    row = statement()
    all_found(row, books())
    finish(statement=row, version=1, note="", by=make_user())
    state = bank_state(row.program, LAST)[0]
    assert (state.done, state.differs_cents) == (True, 0)
    assert str(state.sentence) == (
        "1010 Checking account is reconciled to Saturday, October 31, 2026."
    )
    assert not bank_state(row.program, date(2026, 11, 30))[0].done
    assert reconciled_until(row.program, "1020") is None


def test_the_state_takes_as_many_queries_for_many_statements() -> None:
    row = statement()
    counts = []
    for number in range(3):
        with CaptureQueriesContext(connection) as taken:
            bank_state(row.program, LAST)
        counts.append(len(taken))
        BankStatement.objects.create(
            program=row.program,
            account="1020",
            from_on=FIRST,
            until_on=LAST,
            opening_cents=0,
            closing_cents=0,
            file_name="x.csv",
            sha256=f"{number}",
            by=row.by,
            reconciled_by=row.by,
            reconciled_at=row.at,
        )
    assert len(set(counts)) == 1
