"""Amounts and days as banks write them."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.bank.values import DayOrder, Side, read_cents, read_day, read_side
from shared.money import LIMIT_CENTS


@pytest.mark.parametrize(
    ("text", "cents"),
    [
        ("1,234.56", 123456),
        ("(12.00)", -1200),
        ("($1,012.5)", -101250),
        ("-12.00", -1200),
        ("12.00-", -1200),
        ("+12", 1200),
        ("$12.00", 1200),
        ("-$12.00", -1200),
        ("$-12.00", -1200),
        ("−12.00", -1200),
        (".5", 50),
        ("-0.00", 0),
        (" 1 234.00 ", 123400),
    ],
)
def test_an_amount_is_read_in_every_way_it_is_written(text: str, cents: int) -> None:
    assert read_cents(text) == cents


@pytest.mark.parametrize("text", ["", "-", "$", "1.234", "1,23", "12.00.1", "abc", "1e5", "NaN"])
def test_what_is_no_amount_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not an amount in dollars and cents"):
        read_cents(text)


@pytest.mark.parametrize("text", ["(-12.00)", "-12.00-", "(12.00", "12.00)"])
def test_a_sign_in_two_ways_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="has a sign that can be read in two ways"):
        read_cents(text)


def test_an_amount_beyond_the_books_is_refused() -> None:
    with pytest.raises(ValueError, match="is more than the books can hold"):
        read_cents("10,000,000,000.00")


@given(st.integers(min_value=-LIMIT_CENTS + 1, max_value=LIMIT_CENTS - 1))
def test_every_amount_comes_back_from_each_way_of_writing_it(cents: int) -> None:
    plain = f"{abs(cents) // 100:,}.{abs(cents) % 100:02}"
    ways = [f"-{plain}", f"({plain})", f"{plain}-", f"-${plain}"] if cents < 0 else [plain]
    assert {read_cents(way) for way in ways} == {cents}


@given(st.dates(min_value=date(2000, 1, 1), max_value=date(2099, 12, 31)))
def test_every_day_comes_back_in_each_order(day: date) -> None:
    assert read_day(f"{day:%Y-%m-%d}", DayOrder.YEAR_FIRST) == day
    assert read_day(f"{day:%m/%d/%Y}", DayOrder.MONTH_FIRST) == day
    assert read_day(f"{day:%d.%m.%y}", DayOrder.DAY_FIRST) == day


def test_a_time_beside_a_day_is_left_out() -> None:
    assert read_day("2026-10-02T09:30:00Z", DayOrder.YEAR_FIRST) == date(2026, 10, 2)


@pytest.mark.parametrize("text", ["02/30/2026", "13/01/2026", "10/02", "10/02-2026", "", "1/1/999"])
def test_a_day_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="is not a day written month, day, year"):
        read_day(text, DayOrder.MONTH_FIRST)


def test_words_for_the_sides_are_those_of_the_trade() -> None:
    assert [read_side(word) for word in ("Credit", " CR ", "deposit")] == [Side.IN] * 3
    assert [read_side(word) for word in ("Debit", "dr", "Withdrawal")] == [Side.OUT] * 3
    with pytest.raises(ValueError, match=r"^“Fee” says neither in nor out"):
        read_side("Fee")
