from __future__ import annotations

import datetime as dt

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.budget.queries import NO_FUND, choices_of_years, set_aside, shown, this_year
from program.ledger.chart import load
from program.models import BudgetLine, Fund, Transfer
from program.statements import statements as books
from program.statements.queries import Report
from shared.models import Policy
from tests.factories import (
    make_entry,
    make_fund,
    make_program,
    make_user,
)
from tests.program.budget.lines import make_commitment, make_line

pytestmark = pytest.mark.django_db


def begins_in(month: int) -> None:
    Policy.objects.create(
        program=make_program(), name="fiscal_year_month", value=month, since_on=dt.date(2020, 1, 1)
    )


def test_a_report_reads_the_books_of_its_fiscal_year() -> None:
    fund = make_fund()
    make_line(120_00, fund=fund)
    make_entry(("6010", "1010", 40_00, fund), on=dt.date(2026, 2, 1))
    make_entry(("6010", "1010", 7_00, fund), on=dt.date(2025, 12, 31))
    (row,) = shown(make_program(), 2026).report.expense
    assert (row.budget, row.to_date, row.actual, row.left) == (120_00, 110_00, 40_00, 80_00)
    assert row.happened == (0, 40_00, *[0] * 10)


def test_a_fiscal_year_from_july_holds_the_january_after() -> None:
    begins_in(7)
    fund = make_fund()
    make_line(120_00)
    make_entry(("6010", "1010", 40_00, fund), on=dt.date(2027, 1, 31))
    make_entry(("6010", "1010", 7_00, fund), on=dt.date(2026, 6, 30))
    found = shown(make_program(), 2026)
    assert found.words == "July 2026 to June 2027"
    assert found.report.expense[0].happened == (*[0] * 6, 40_00, *[0] * 5)
    assert this_year(make_program()) == 2026


def test_the_rows_tie_to_the_statement_of_activities() -> None:
    gen, gift = make_fund(), make_fund(restricted=True)
    make_line(120_00, fund=gen)
    make_entry(
        ("1010", "4010", 500_00, gift), ("6010", "1010", 90_00, gift), on=dt.date(2026, 3, 2)
    )
    make_entry(("3210", "3220", 90_00, gift), on=dt.date(2026, 3, 2))
    make_entry(("6070", "2010", 31_07, gen), ("1210", "4110", 12_34, gen), on=dt.date(2026, 6, 30))
    make_entry(("1010", "3010", 77_00, gen), on=dt.date(2026, 1, 1))
    found = shown(make_program(), 2026)
    statements = Report(
        user=make_user(),
        program=make_program(),
        from_on=dt.date(2026, 1, 1),
        until_on=dt.date(2026, 12, 31),
    )
    activities = books.activities(statements.books).change
    assert found.ties
    assert found.net == activities.without + activities.with_ == 391_27


def test_what_is_set_aside_is_parts_or_work_done_elsewhere() -> None:
    fund = make_fund()
    make_commitment(fund, 30_00)
    make_commitment(fund, 50_00, sublet_cents=80_00)
    released = make_commitment(fund, 5_00)
    released.released_by = make_entry()
    released.save()
    assert set_aside(make_program()) == {
        (fund.code, "6010", "program"): 30_00,
        (fund.code, "6030", "program"): 50_00,
    }


def test_what_is_set_aside_counts_in_this_year_alone() -> None:
    make_commitment(make_fund(), 30_00)
    committed = [
        shown(make_program(), year).report.went_out.committed for year in (2025, 2026, 2027)
    ]
    assert committed == [0, 30_00, 0]


def test_a_report_narrowed_to_a_fund_says_what_it_leaves_out() -> None:
    fund = make_fund(name="tool fund")
    make_line(120_00, fund=fund)
    make_line(60_00)
    found = shown(make_program(), 2026, fund=fund.code)
    assert (found.narrowed_to, found.left_out, found.report.went_out.budget) == (
        "Tool fund",
        1,
        120_00,
    )
    found = shown(make_program(), 2026, fund=NO_FUND, function="program")
    assert (found.narrowed_to, found.report.went_out.budget) == ("No fund named, program", 60_00)
    assert found.ties


def test_years_with_a_budget_and_those_around_now_can_be_asked_for() -> None:
    make_line(year=2021)
    years = choices_of_years(make_program(), 2026)
    assert years == [(2027, "2027"), (2026, "2026"), (2025, "2025"), (2021, "2021")]


def test_another_programs_books_and_lines_are_not_read() -> None:
    own, other = make_program(), make_program(name="Other garage")
    fund = make_fund(program=other, code="GEN")
    make_line(120_00, program=other, fund=fund)
    make_entry(("6010", "1010", 40_00, fund), program=other)
    found = shown(own, 2026)
    assert (found.report.income, found.report.expense, found.funds) == ((), (), {})


def test_a_report_takes_the_same_queries_for_200_lines_and_50_000_transfers() -> None:
    funds = [make_fund() for _ in range(10)]
    make_line(fund=funds[0])
    make_entry(("6010", "1010", 1_00, funds[0]))
    with CaptureQueriesContext(connection) as few:
        shown(make_program(), 2026)
    codes = [code for code in load() if code[0] in "45678"][:20]
    _book(funds, codes, 50_000)
    BudgetLine.objects.bulk_create(
        BudgetLine(
            program=make_program(),
            year=2026,
            account=code,
            fund=fund,
            months=[100] * 12,
            cents=1200,
        )
        for fund in funds
        for code in codes
        if (fund, code) != (funds[0], "6010")
    )
    with CaptureQueriesContext(connection) as many:
        found = shown(make_program(), 2026)
    assert len(many) == len(few) <= 12
    assert len(found.report.income) + len(found.report.expense) >= 200
    assert found.ties


def _book(funds: list[Fund], codes: list[str], count: int) -> None:
    """Book so many transfers over the year, in one entry a month."""
    entries = [make_entry(on=dt.date(2026, month, 15)) for month in range(1, 12)]
    Transfer.objects.bulk_create(
        Transfer(
            program=make_program(),
            entry=entries[n % 11],
            debit=code if (code := codes[n % len(codes)])[0] in "678" else "1010",
            credit="1010" if code[0] in "678" else code,
            cents=100 + n % 997,
            fund=funds[n % 10],
        )
        for n in range(count)
    )
