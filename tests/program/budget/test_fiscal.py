from __future__ import annotations

import datetime as dt

import pytest

from program.budget.fiscal import year_as_of, year_in_words


@pytest.mark.parametrize(
    ("today", "over", "begun"),
    [
        (dt.date(2025, 12, 31), 0, 0),
        (dt.date(2026, 1, 1), 0, 1),
        (dt.date(2026, 11, 30), 10, 11),
        (dt.date(2026, 12, 31), 11, 12),
        (dt.date(2027, 1, 1), 12, 12),
    ],
)
def test_a_year_knows_how_much_of_it_has_gone_by(today: dt.date, over: int, begun: int) -> None:
    year = year_as_of(2026, first_month=1, today=today)
    assert (year.over, year.begun) == (over, begun)
    assert (year.first_on, year.last_on) == (dt.date(2026, 1, 1), dt.date(2026, 12, 31))
    assert len(year.months) == 12


def test_a_year_that_begins_in_october_is_named_by_its_months() -> None:
    assert year_in_words(2026, first_month=1) == "2026"
    assert year_in_words(2026, first_month=10) == "October 2026 to September 2027"
    year = year_as_of(2026, first_month=10, today=dt.date(2026, 11, 30))
    assert [str(month) for month in year.months[:4]] == [
        "2026-10-01",
        "2026-11-01",
        "2026-12-01",
        "2027-01-01",
    ]
    assert (year.over, year.begun) == (1, 2)
