"""Statements as tables, each figure a way to its transfers."""

from __future__ import annotations

from datetime import date

import pytest

from program.statements.rows import Figure, Sheet, line, over, plain, summed
from program.statements.tables import SheetTable
from tests.factories import make_fund

pytestmark = pytest.mark.django_db

WHERE = Figure(
    cents=1_250,
    account="6010",
    fund="PRU",
    function="program",
    case="26-041",
    since=date(2026, 1, 1),
    until=date(2026, 12, 31),
)


def cells(*rows: object) -> list[list[str]]:
    fund = make_fund(code="PRU")
    sheet = Sheet(
        name="funds",
        title="Funds",
        lead="",
        sum="",
        first="Fund",
        columns=("Came in", "Went out"),
        rows=rows,  # type: ignore[arg-type]  # rows
    )
    table = SheetTable(sheet, {"PRU": fund})
    return [
        [str(cell).replace(f"fund={fund.pk}&", "fund=its&") for cell in row] for row in table.rows
    ]


def test_a_figure_is_a_link_that_names_all_that_it_is_made_of() -> None:
    asked = "fund=its&amp;account=6010&amp;function=program&amp;case=26-041"
    days = "since=2026-01-01&amp;until=2026-12-31"
    assert cells(line("Pruitt gift", [WHERE, plain(5)], code="PRU")) == [
        ["PRU Pruitt gift", f'<a href="/money/entries/?{asked}&amp;{days}">12.50</a>', "0.05"]
    ]


def test_nothing_is_a_dash_in_a_line_and_a_zero_in_a_sum() -> None:
    rows = cells(line("Pruitt gift", [plain(0), None]), summed("Together", [0, None]))
    assert rows == [["Pruitt gift", "–", ""], ["Together", "0.00", ""]]


def of_columns(*columns: str) -> SheetTable:
    rows = (line("Pruitt gift", [plain(5)] * len(columns)),)
    words = {"name": "trial", "title": "Trial", "lead": "", "sum": "", "first": "Account"}
    return SheetTable(Sheet(**words, columns=columns, rows=rows), {})  # type: ignore[arg-type]  # words


def test_two_figures_stay_beside_their_line_on_a_phone() -> None:
    assert of_columns("Debit", "Credit").classes == "t"
    assert of_columns("Free", "Released", "Total").classes == "t ph pairs"


def test_a_heading_stands_alone() -> None:
    assert cells(over("With restriction", 2)) == [["With restriction", "", ""]]
