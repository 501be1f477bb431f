"""Fiscal years and months."""

from __future__ import annotations

from datetime import date

import pytest

from program.ledger.fiscal import first_of, fiscal_span, fiscal_year, last_of, months, next_month


@pytest.mark.parametrize(
    ("on", "first_month", "year"),
    [
        (date(2026, 1, 1), 1, 2026),
        (date(2026, 12, 31), 1, 2026),
        (date(2026, 6, 30), 7, 2025),
        (date(2026, 7, 1), 7, 2026),
        (date(2026, 9, 30), 10, 2025),
    ],
)
def test_a_fiscal_year_is_named_by_the_year_in_which_it_begins(
    on: date, first_month: int, year: int
) -> None:
    assert fiscal_year(on, first_month=first_month) == year
    first, last = fiscal_span(year, first_month=first_month)
    assert first <= on <= last


def test_a_fiscal_year_has_twelve_months_even_a_leap_one() -> None:
    first, last = fiscal_span(2023, first_month=7)
    assert (last - first).days == 365
    assert len(months(first, last)) == 12


def test_december_is_followed_by_january() -> None:
    assert next_month(date(2026, 12, 31)) == date(2027, 1, 1)
    assert last_of(date(2026, 12, 5)) == date(2026, 12, 31)
    assert first_of(date(2026, 12, 5)) == date(2026, 12, 1)


def test_a_span_touches_its_broken_months_too() -> None:
    found = months(date(2026, 11, 30), date(2027, 1, 1))
    assert found == [date(2026, 11, 1), date(2026, 12, 1), date(2027, 1, 1)]


def test_a_span_that_ends_before_it_begins_has_no_month() -> None:
    assert months(date(2026, 11, 30), date(2026, 10, 1)) == []
