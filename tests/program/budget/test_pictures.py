from __future__ import annotations

from program.budget.pictures import year_picture
from tests.program.budget.lines import YEAR, Books, line, rows

BOOKS: Books = {(1, "GEN", "6010", "program"): 60_00, (11, "GEN", "6010", "program"): 30_00}


def test_a_picture_says_its_content_and_holds_every_month_as_a_figure() -> None:
    chart = year_picture(rows([line(1200_00)], BOOKS), YEAR, income=False)
    assert str(chart.title) == (
        "Went out by month: 90.00 so far, 260.00 by the end of the year, 1,200.00 meant"
    )
    assert len(chart.rows) == 12
    assert chart.rows[0] == ("January 2026", "100.00", "60.00", "60.00")
    assert chart.rows[10] == ("November 2026", "1,100.00", "90.00", "160.00")
    assert chart.rows[11] == ("December 2026", "1,200.00", "–", "260.00")


def test_only_months_that_are_not_over_are_hatched() -> None:
    chart = year_picture(rows([line(1200_00)], BOOKS), YEAR, income=False)
    hatched = [shape for shape in chart.wide.shapes if shape.hatched]
    assert len(hatched) == 2 + 1  # November, December, and the key


def test_income_is_named_so_and_every_bar_stays_in_its_drawing() -> None:
    books: Books = {(1, "GEN", "4010", ""): -999_999_00}
    chart = year_picture(rows([line(12_00, "4010")], books), YEAR, income=True)
    assert str(chart.title).startswith("Came in by month: 999,999.00 so far")
    for drawing in (chart.wide, chart.narrow):
        assert all(0 <= shape.x <= drawing.width for shape in drawing.shapes)
        assert all(0 <= shape.y <= drawing.height for shape in drawing.shapes)
    assert [str(shape.words) for shape in chart.narrow.shapes if shape.words][:2] == [
        "Jan",
        "999,999 / 1",
    ]


def test_books_below_zero_are_drawn_as_nothing() -> None:
    books: Books = {(1, "GEN", "6010", "program"): -50}
    chart = year_picture(rows([], books), YEAR, income=False)
    assert chart.rows[0][2] == "−0.50"
    assert any(shape.d == "M80 2h0v18h-0z" for shape in chart.wide.shapes)
