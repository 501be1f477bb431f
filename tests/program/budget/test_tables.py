from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.urls import reverse

from program.budget.queries import shown
from program.budget.tables import (
    BudgetTable,
    MonthTable,
    SumTable,
    journal,
    month_rows,
    signed,
    sum_rows,
)
from tests.factories import make_entry, make_fund, make_program
from tests.program.budget.lines import make_commitment, make_line

pytestmark = pytest.mark.django_db


def table() -> tuple[BudgetTable, Any]:
    found = shown(make_program(), 2026)
    return BudgetTable(found.report.expense, shown=found, caption="Went out by line"), found


def cells(drawn: BudgetTable, number: int = 0) -> dict[str, str]:
    return {column.name: str(cell) for column, cell in drawn.rows[number].items()}


def test_a_difference_has_its_sign() -> None:
    assert [signed(cents) for cents in (21500, -21500, 0)] == ["+215.00", "−215.00", "0.00"]


def test_a_figure_leads_to_its_own_transfers() -> None:
    fund = make_fund(name="tool fund")
    line = make_line(120_00, fund=fund)
    make_entry(("6010", "1010", 40_00, fund), on=dt.date(2026, 2, 1))
    found = cells(table()[0])
    assert f'href="{reverse("budget:line_page", args=[line.pk])}"' in found["name"]
    assert "Tool fund" in found["name"]
    asked = f"account=6010&amp;since=2026-01-01&amp;until=2026-12-31&amp;fund={fund.pk}"
    link = f"{reverse('ledger:entry_list')}?{asked}&amp;function=program"
    assert found["actual"] == f'<a href="{link}">40.00</a>'


def test_a_line_of_several_funds_leads_to_its_months() -> None:
    line = make_line(120_00)
    make_entry(("6010", "1010", 4_00, make_fund()), ("6010", "1010", 5_00, make_fund()))
    found = cells(table()[0])
    assert f"{reverse('budget:line_page', args=[line.pk])}#months" in found["actual"]
    assert "Any fund" in found["name"]


def test_spending_without_a_line_says_so_and_leads_to_its_transfers() -> None:
    fund = make_fund(name="tool fund")
    make_entry(("6010", "1010", 40_00, fund))
    found = cells(table()[0])
    assert "Tool fund. No budget line." in found["name"]
    assert (
        journal(
            (fund.code, "6010", "program"),
            {fund.code: fund},
            dt.date(2026, 1, 1),
            dt.date(2026, 12, 31),
        ).replace("&", "&amp;")
        in found["actual"]
    )


def test_what_is_never_set_aside_has_no_column_and_a_past_year_no_part_to_date() -> None:
    make_line(year=2025)
    make_line()
    assert "committed" not in [column.name for column in table()[0].columns]
    found = shown(make_program(), 2025)
    past = BudgetTable(found.report.expense, shown=found, caption="Went out by line")
    assert "to_date" not in [column.name for column in past.columns]


def test_the_sums_stand_below_each_column() -> None:
    fund = make_fund()
    make_line(120_00)
    make_line(240_00, account="6050")
    make_entry(("6010", "1010", 400_00, fund))
    drawn, found = table()
    feet = {column.name: column.footer for column in drawn.columns}
    total = found.report.went_out
    assert (feet["budget"], feet["actual"]) == ("360.00", "400.00")
    assert feet["difference"] == signed(total.difference) == "−70.00"
    assert [row.name for row in sum_rows(found.report)] == ["Came in", "Went out", "Between them"]
    assert len(SumTable(sum_rows(found.report)).rows) == 3


def test_a_line_is_shown_month_by_month_with_the_transfers_of_each() -> None:
    fund = make_fund(name="tool fund")
    make_line(120_00)
    make_entry(("6010", "1010", 40_00, fund), on=dt.date(2026, 2, 1))
    found = shown(make_program(), 2026)
    months = month_rows(found.report.expense[0], found.year, found.funds)
    assert [len(month.links) for month in months] == [0, 1, *[0] * 10]
    ((words, link),) = months[1].links
    assert words == "Tool fund, program"
    assert "since=2026-02-01&until=2026-02-28" in link
    drawn = MonthTable(months)
    assert drawn.columns["happened"].footer == "40.00"
    assert str(drawn.rows[1].get_cell("month")) == "February 2026"
    assert str(drawn.rows[1].get_cell("links")).startswith("<a href=")


def test_what_is_set_aside_leads_to_its_fund_or_to_all_of_them() -> None:
    fund = make_fund(code="TOOL")
    make_line(120_00, fund=fund)
    make_line(240_00, account="6030")
    make_line(60_00, account="6050")
    make_commitment(fund, 30_00)
    make_commitment(make_fund(), 50_00, sublet_cents=50_00)
    drawn, _found = table()
    assert [cells(drawn, number)["committed"] for number in range(3)] == [
        f'<a href="{reverse("funds:fund_page", args=[fund.pk])}">30.00</a>',
        f'<a href="{reverse("funds:fund_list")}">50.00</a>',
        "–",
    ]
