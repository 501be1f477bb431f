"""Which days the statements offer."""

from __future__ import annotations

from datetime import date

import pytest

from program.statements.spans import offered, this_year, year_before

TODAY = date(2026, 11, 30)


def test_the_year_to_date_is_offered_first() -> None:
    spans = offered(TODAY)
    assert list(spans) == ["This year", "This month", "Last month", "This quarter", "Last year"]
    assert spans["This year"] == this_year(TODAY) == (date(2026, 1, 1), TODAY)
    assert spans["This month"] == (date(2026, 11, 1), TODAY)
    assert spans["Last month"] == (date(2026, 10, 1), date(2026, 10, 31))
    assert spans["This quarter"] == (date(2026, 10, 1), TODAY)
    assert spans["Last year"] == (date(2025, 1, 1), date(2025, 12, 31))


def test_a_fiscal_year_from_july_has_its_own_quarters() -> None:
    spans = offered(date(2026, 3, 15), first_month=7)
    assert spans["This year"] == (date(2025, 7, 1), date(2026, 3, 15))
    assert spans["This quarter"] == (date(2026, 1, 1), date(2026, 3, 15))
    assert spans["Last year"] == (date(2024, 7, 1), date(2025, 6, 30))


def test_a_quarter_may_begin_in_the_year_before() -> None:
    spans = offered(date(2026, 1, 20), first_month=12)
    assert spans["This quarter"] == (date(2025, 12, 1), date(2026, 1, 20))
    assert spans["Last month"] == (date(2025, 12, 1), date(2025, 12, 31))


@pytest.mark.parametrize(
    ("day", "before"),
    [
        ("2026-11-30", "2025-11-30"),
        ("2024-02-29", "2023-02-28"),
        ("2025-02-28", "2024-02-29"),
        ("2025-02-27", "2024-02-27"),
        ("2026-01-01", "2025-01-01"),
    ],
)
def test_the_same_day_a_year_before_keeps_the_ends_of_months(day: str, before: str) -> None:
    assert year_before(date.fromisoformat(day)).isoformat() == before
