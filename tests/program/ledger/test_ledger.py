"""Balances: worked examples from a textbook, another engine, and properties."""

from __future__ import annotations

from collections import Counter
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.ledger.ledger import Transfer, balances, entries, running
from tests.program.ledger.making import DAY, FUNDS, make_transfer, transfers
from tests.program.ledger.textbook import JOURNALS, journal
from tests.program.published import published


@pytest.mark.parametrize(("case_id", "_column", "answer"), JOURNALS)
def test_a_textbook_month_gives_the_printed_balances(
    case_id: str, _column: str, answer: str
) -> None:
    # OpenStax Principles of Accounting Vol. 1 sec. 3.5-3.6, 4.4-4.5, 5.1-5.2 (text-seen).
    expected = published()[case_id].expected
    dollars = {name: cents / 100 for name, cents in balances(journal(case_id)).accounts().items()}
    assert dollars == expected[answer]


def test_a_book_shows_the_balance_after_each_line_in_order_of_days() -> None:
    held = [
        make_transfer(entry="b", on=date(2026, 3, 2), debit="6010", credit="1010", cents=400),
        make_transfer(entry="a", on=date(2026, 3, 1), cents=1000),
        make_transfer(entry="c", on=date(2026, 3, 3), cents=50, fund="PRU"),
    ]
    assert [(line.amount, line.cents) for line in running(held, "1010")] == [
        (1000, 1000),
        (-400, 600),
        (50, 650),
    ]
    assert [line.cents for line in running(held, "1010", "PRU")] == [50]


def test_entries_keep_their_transfers_together() -> None:
    first, second = make_transfer(entry="b"), make_transfer(entry="a", on=DAY)
    third = make_transfer(entry="b", fund="PRU")
    grouped = entries([first, second, third])
    assert [(entry.key, entry.transfers) for entry in grouped] == [
        ("a", (second,)),
        ("b", (first, third)),
    ]


@given(st.lists(transfers()))
def test_every_fund_sums_to_zero(held: list[Transfer]) -> None:
    found = balances(held)
    assert {fund: sum(found.accounts(fund).values()) for fund in FUNDS} == dict.fromkeys(FUNDS, 0)


@given(st.lists(transfers()), st.randoms(use_true_random=False))
def test_the_order_of_transfers_does_not_matter(held: list[Transfer], chance: object) -> None:
    mixed = sorted(held, key=lambda _: chance.random())  # type: ignore[attr-defined]  # hypothesis types it as object
    assert balances(mixed) == balances(held)


@given(st.lists(transfers()))
def test_a_second_engine_of_plain_sums_agrees(held: list[Transfer]) -> None:
    debits: Counter[str] = Counter()
    credits_: Counter[str] = Counter()
    for transfer in held:
        debits[transfer.debit] += transfer.cents
        credits_[transfer.credit] += transfer.cents
    debits.subtract(credits_)
    assert balances(held).accounts() == {code: n for code, n in debits.items() if n}


@given(st.lists(transfers()), st.sampled_from(["1010", "4010", "6010"]))
def test_a_book_ends_with_the_balance(held: list[Transfer], account: str) -> None:
    lines = running(held, account)
    assert (lines[-1].cents if lines else 0) == balances(held).account(account)
