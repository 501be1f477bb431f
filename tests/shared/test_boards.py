"""The board: every stay is drawn once, in its bay, on its days, and none covers another."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.boards import Stay, board, lanes

DAYS = [dt.date(2026, 11, 30) + dt.timedelta(days=n) for n in range(19) if n % 7 < 5]
BAYS = ["Bay 1", "Bay 2"]


def stay(**fields: object) -> Stay:
    values: dict[str, object] = {"bay": "Bay 1", "first": 0, "days": 3, "label": "26-036 Okafor"}
    return Stay(**values | fields)  # type: ignore[arg-type]  # a test's shorthand


stays = st.lists(
    st.builds(
        lambda first, days: stay(first=first, days=min(days, len(DAYS) - first)),
        st.integers(0, 14),
        st.integers(1, 15),
    ),
    max_size=12,
)


@given(stays)
def test_stays_of_one_day_have_lanes_of_their_own(given_stays: list[Stay]) -> None:
    taken = [
        (lane, day)
        for one, lane in zip(given_stays, lanes(given_stays), strict=True)
        for day in range(one.first, one.first + one.days)
    ]
    assert len(taken) == len(set(taken))


@given(stays)
def test_no_more_lanes_are_opened_than_cars_meet_on_a_day(given_stays: list[Stay]) -> None:
    meeting = max(
        (
            sum(one.first <= day < one.first + one.days for one in given_stays)
            for day in range(len(DAYS))
        ),
        default=0,
    )
    assert max(lanes(given_stays), default=-1) + 1 == meeting


def test_a_tag_lies_over_its_days() -> None:
    chart = board(DAYS, BAYS, [stay(bay="Bay 2", first=5, days=4)])
    tag = next(shape for shape in chart.wide.shapes if shape.look == "ft")
    numbers = [float(text) for text in re.findall(r"[\d.]+", tag.d)]
    assert numbers[:3] == [387, 103, 605]


def test_the_board_says_who_stands_where() -> None:
    chart = board(DAYS, BAYS, [stay()])
    assert str(chart.title) == (
        "2 bays. 26-036 Okafor in Bay 1 from Monday, November 30 for 3 days."
    )
    assert chart.rows == (("Bay 1", "26-036 Okafor", "Nov 30", "3"),)


def test_a_short_stay_is_a_number() -> None:
    chart = board(DAYS, BAYS, [stay(days=1, short="036", quick=True)])
    drawn = [shape.words for shape in chart.wide.shapes if shape.look == "bd"]
    assert "036" in drawn
    assert "26-036 Okafor" not in drawn


def test_on_a_phone_two_cars_beside_each_other_keep_their_numbers() -> None:
    """Three bays, and two cars in one of them: a tag is 46 px wide, room for five letters."""
    two = [
        stay(label="26-036 Rosalind Sten", short="036", first=0, days=4),
        stay(label="26-039 Sten", short="039", first=2, days=4),
    ]
    chart = board(DAYS, ["Bay 1", "Bay 2", "Bay 3"], two)
    assert chart.narrow is not None
    drawn = [shape.words for shape in chart.narrow.shapes if shape.look == "tg"]
    assert drawn == ["036", "Rosa.", "Sten", "039", "Sten"]


def test_on_a_phone_many_bays_stand_in_rows_of_five() -> None:
    bays = [f"Bay {number}" for number in range(11)]
    chart = board(DAYS, bays, [stay(bay="Bay 10", first=0, days=4)])
    assert chart.narrow is not None
    names = [shape for shape in chart.narrow.shapes if shape.words in bays]
    assert [shape.words for shape in names] == bays
    assert [sum(shape.y == y for shape in names) for y in (16, 580, 1144)] == [5, 5, 1]
    (tag,) = [shape for shape in chart.narrow.shapes if shape.words == "26-036"]
    assert tag.y > 1144
    assert chart.narrow.height == 3 * (34 + 34 * 15) + 2 * 20


def test_an_empty_board_says_so() -> None:
    assert str(board(DAYS, BAYS, []).title) == "2 bays. Nothing is booked."


@pytest.mark.parametrize("wrong", [stay(bay="Bay 9"), stay(first=13), stay(days=0), stay(first=-1)])
def test_a_stay_off_the_board_is_refused(wrong: Stay) -> None:
    with pytest.raises(ValueError, match="26-036 Okafor doesn't stand on this board of 15 days"):
        board(DAYS, BAYS, [wrong])
