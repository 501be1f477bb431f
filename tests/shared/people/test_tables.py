from __future__ import annotations

import datetime as dt

import pytest

from shared.people.tables import until_in_words, when

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


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (None, "without a last day"),
        (dt.date(2026, 11, 1), "ran out Nov 1, 2026"),
        (dt.date(2026, 12, 7), "runs out in 12 days, Dec 7"),
        (dt.date(2028, 6, 30), "until Jun 30, 2028"),
    ],
)
def test_a_page_says_until_when_a_paper_holds(day: dt.date | None, words: str) -> None:
    assert until_in_words(day, DAY) == words
