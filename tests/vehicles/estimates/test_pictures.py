"""Estimate against actual, drawn."""

from __future__ import annotations

from vehicles.estimates.actuals import Job, Kind
from vehicles.estimates.pictures import plot
from vehicles.shop.systems import System


def job(at: int, likely: int, actual: int) -> Job:
    return Job(
        id=at, title=f"Job {at}", system=System.BRAKES, low=0, likely=likely, high=99_999,
        actual=actual,
    )  # fmt: skip


def test_a_dot_above_the_line_came_to_more() -> None:
    drawn = plot([job(1, 60, 90), job(2, 60, 60), job(3, 60, 30), job(4, 0, 9)], Kind.LABOR)
    assert str(drawn.title) == "Labor, 3 jobs that are done: 1 came to more than was likely"
    dots = [shape for shape in drawn.wide.shapes if shape.r]
    assert len(dots) == 3
    assert dots[0].y < dots[1].y < dots[2].y
    assert len({dot.x for dot in dots}) == 1
    assert drawn.rows[0] == ("Job 1", "1:00", "1:30")


def test_dots_stay_within_both_drawings() -> None:
    drawn = plot([job(1, 1, 5_000), job(2, 5_000, 1)], Kind.LABOR)
    for side in (drawn.wide, drawn.narrow):
        dots = [shape for shape in side.shapes if shape.r]
        assert all(0 < dot.x < side.width and 0 < dot.y < side.height for dot in dots)


def test_money_is_drawn_in_dollars() -> None:
    assert plot([job(1, 120_00, 98_20)], Kind.CASH).rows == (("Job 1", "120.00", "98.20"),)
