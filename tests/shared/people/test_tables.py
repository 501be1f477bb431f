from __future__ import annotations

import datetime as dt

import pytest

from shared.people.tables import when

DAY = dt.date(2026, 11, 25)


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (-1, "ran out Nov 24, 2026"),
        (0, "today, Nov 25"),
        (1, "tomorrow, Nov 26"),
        (30, "in 30 days, Dec 25"),
        (31, "Dec 26, 2026"),
    ],
)
def test_within_thirty_days_it_is_said_how_long_a_paper_holds(days: int, words: str) -> None:
    assert when(DAY + dt.timedelta(days=days), DAY) == words
