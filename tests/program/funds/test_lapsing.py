"""When money lapses. The days are the trade list's A15 (common practice, no source)."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.funds.lapsing import OVER, WARN_DAYS, lapses, will_lapse
from shared.problems import Level

TODAY = date(2026, 12, 1)


@pytest.mark.parametrize(
    ("left", "level"),
    [(-1, OVER), (0, 10), (10, 10), (11, 30), (30, 30), (31, 60), (60, 60), (61, None)],
)
def test_it_is_said_at_sixty_thirty_and_ten_days(left: int, level: int | None) -> None:
    assert lapses(TODAY + timedelta(days=left), TODAY) == level


@pytest.mark.parametrize(
    ("left", "sentence", "level"),
    [
        (-1, "The gift lapsed on Monday, November 30, 2026 with $5.00 unspent.", Level.BLOCKER),
        (0, "The gift will lapse $5.00 today, Tuesday, December 1, 2026.", Level.BLOCKER),
        (1, "The gift will lapse $5.00 tomorrow, Wednesday, December 2, 2026.", Level.BLOCKER),
        (
            30,
            "The gift will lapse $5.00 on Thursday, December 31, 2026, in 30 days.",
            Level.WARNING,
        ),
    ],
)
def test_the_sentence_names_amount_and_day(left: int, sentence: str, level: Level) -> None:
    problem = will_lapse("gift", 500, TODAY + timedelta(days=left), TODAY)
    assert problem is not None
    assert (str(problem.sentence), problem.level) == (sentence, level)


@pytest.mark.parametrize(("cents", "on"), [(0, TODAY), (-500, TODAY), (500, None)])
def test_without_money_or_deadline_nothing_lapses(cents: int, on: date | None) -> None:
    assert will_lapse("gift", cents, on, TODAY) is None


@given(st.integers(-400, 400), st.integers(0, 400))
def test_a_later_deadline_is_never_nearer(left: int, more: int) -> None:
    near, far = (lapses(TODAY + timedelta(days=n), TODAY) for n in (left, left + more))
    top = max(WARN_DAYS) + 1
    assert (top if far is None else far) >= (top if near is None else near)
