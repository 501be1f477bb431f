from __future__ import annotations

import datetime as dt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.budget.fiscal import year_as_of
from program.budget.variance import (
    ZEROS,
    Line,
    better,
    cumulative,
    of_function,
    of_fund,
    owner,
    raised,
    report,
    spread,
)
from program.ledger.chart import Kind, load
from tests.program.budget.lines import YEAR, Books, line, reported, rows

CENTS = st.integers(0, 10**11)
CELLS = st.tuples(
    st.integers(1, 12),
    st.sampled_from(["GEN", "PRU"]),
    st.sampled_from(["6010", "6030", "7010"]),
    st.sampled_from(["program", "management"]),
)
BOOKS = st.dictionaries(CELLS, st.integers(-10_000, 10**7), max_size=30)
KEYS = st.lists(
    st.tuples(
        st.sampled_from(["6010", "6030"]),
        st.sampled_from(["", "GEN", "PRU"]),
        st.sampled_from(["", "program", "management"]),
    ),
    unique=True,
    max_size=12,
)


def test_a_published_flexible_budget_has_the_published_variances() -> None:
    # Source: BV-02, OpenStax Principles of Accounting Vol. 2, sec. 7.5, flexible budget
    # (text-seen): actual, budget, and the variance with favorable above zero.
    income = {"sales": (105_000, 105_000, 0)}
    costs = {
        "direct_material": (5_550, 5_600, 50),
        "direct_labor": (21_500, 21_000, -500),
        "var_overhead": (4_100, 4_200, 100),
        "fixed_overhead": (28_900, 29_000, 100),
        "var_selling": (3_550, 3_500, -50),
        "fixed_selling": (17_500, 18_000, 500),
        "income_tax": (985, 1_000, 15),
    }
    found = [better(budget, actual, income=True) for actual, budget, _ in income.values()]
    found += [better(budget, actual, income=False) for actual, budget, _ in costs.values()]
    assert found == [told for *_, told in (*income.values(), *costs.values())]
    assert sum(found) == 215


@pytest.mark.parametrize(
    ("unit", "fixed", "units", "actual", "told"),
    [
        (700, 23_000_00, 5_500, 61_000_00, 500_00),  # BV-03: favorable
        (550, 19_400_00, 14_000, 97_000_00, -600_00),  # BV-04: unfavorable
    ],
)
def test_a_published_cost_budget_has_the_published_variance(
    unit: int, fixed: int, units: int, actual: int, told: int
) -> None:
    # Source: OpenStax Principles of Accounting Vol. 2, sec. 7.5, exercises (text-seen inputs).
    assert better(unit * units + fixed, actual, income=False) == told


def test_published_errata_are_not_followed() -> None:
    # Source: as above; BV-05 calls a loss turned into a profit unfavorable, BV-06 adds an
    # unfavorable 270 instead of taking it away (it prints 46,230).
    assert better(-10_000, 1_900, income=True) == 11_900
    sales, variable, fixed = -66_000, 19_500, -270
    assert sales + variable + fixed == -46_770


def test_a_published_budget_in_lines_adds_up_to_the_published_net() -> None:
    # BV-02 again, as lines of a report in the month in which all of it happened.
    jan = [1, *[0] * 11]
    lines = [
        Line(id=1, account="4010", months=spread(105_000, jan)),
        Line(id=2, account="6010", months=spread(5_600, jan)),
        Line(id=3, account="6100", months=spread(21_000, jan)),
        Line(id=4, account="6050", months=spread(4_200 + 29_000, jan)),
        Line(id=5, account="8010", months=spread(3_500 + 18_000 + 1_000, jan)),
    ]
    books = {
        (1, "GEN", "4010", ""): -105_000,
        (1, "GEN", "6010", "program"): 5_550,
        (1, "GEN", "6100", "program"): 21_500,
        (1, "GEN", "6050", "program"): 4_100 + 28_900,
        (1, "GEN", "8010", "fundraising"): 3_550 + 17_500 + 985,
    }
    found = reported(lines, books)
    assert found.net.difference == 215
    assert found.net.actual == 105_000 - 82_085
    assert found.net.budget == 105_000 - 82_300


def test_an_annual_amount_is_spread_in_whole_cents() -> None:
    assert spread(100_00) == (834,) * 4 + (833,) * 8
    assert sum(spread(100_00)) == 100_00


@given(CENTS, st.lists(st.integers(0, 10**9), min_size=12, max_size=12))
def test_the_months_always_make_the_year(cents: int, weights: list[int]) -> None:
    for months in (spread(cents), spread(cents, weights)):
        assert (len(months), sum(months)) == (12, cents)
        assert min(months) >= 0


@given(CENTS)
def test_even_months_differ_by_a_cent_at_most(cents: int) -> None:
    assert max(spread(cents)) - min(spread(cents)) <= 1


@given(st.lists(st.integers(0, 10**8), min_size=12, max_size=12), st.integers(-90, 100))
def test_a_raised_line_is_its_sum_raised_to_the_nearest_cent(line: list[int], by: int) -> None:
    exact = sum(line) * (100 + by)
    assert abs(sum(raised(tuple(line), by)) * 100 - exact) <= 50
    assert raised(tuple(line), 0) == tuple(line)


def test_months_below_zero_carry_nothing_into_the_next_year() -> None:
    assert raised((300, -100, *[0] * 10), 0) == (200, *[0] * 11)
    assert raised((-300, 100, *[0] * 10), 0) == ZEROS


def test_a_transfer_belongs_to_the_most_specific_line() -> None:
    keys = [("GEN", "6010", "program"), ("GEN", "6010", ""), ("", "6010", "program")]
    keys.append(("", "6010", ""))
    lines = {
        (f, a, x): Line(id=n, account=a, fund=f, function=x, months=ZEROS)
        for n, (f, a, x) in enumerate(keys)
    }
    cell = ("GEN", "6010", "program")
    for key in keys:
        assert owner(cell, lines) == lines.pop(key)
    assert owner(cell, lines) is None


def test_spending_without_a_line_is_shown() -> None:
    found = rows([line(1200, fund="GEN")], {(3, "PRU", "6010", "program"): 500})
    assert [(row.line, row.fund, row.budget, row.actual, row.left) for row in found] == [
        (1, "GEN", 1200, 0, 1200),
        (None, "PRU", 0, 500, -500),
    ]


def test_a_line_of_a_fund_takes_its_transfers_from_the_line_of_any_fund() -> None:
    lines = [line(1200, id=1), line(600, id=2, fund="PRU")]
    books: Books = {
        (3, "PRU", "6010", "program"): 500,
        (3, "GEN", "6010", "program"): 70,
        (4, "WIN", "6010", "program"): 7,
    }
    assert [(row.line, row.actual) for row in rows(lines, books)] == [(1, 77), (2, 500)]


def test_assets_debts_and_moves_between_funds_are_no_budget() -> None:
    moved = {(1, "GEN", code, ""): 100 for code in ("1010", "2010", "3110", "3210", "9010")}
    assert rows([], moved) == []


def test_the_forecast_of_a_cost_counts_what_is_set_aside_where_that_is_more() -> None:
    lines = [line(1200, fund="GEN")]
    books: Books = {(1, "GEN", "6010", "program"): 900}
    cell = ("GEN", "6010", "program")
    # Of November, which has begun, and December 200 are left in the budget.
    assert [row.forecast for row in rows(lines, books)] == [1100]
    assert [row.forecast for row in rows(lines, books, {cell: 150})] == [1100]
    assert [row.forecast for row in rows(lines, books, {cell: 350})] == [1250]
    (row,) = rows(lines, books, {cell: 350})
    assert (row.left, row.outcome, row.ahead[:10]) == (-50, -50, (0,) * 10)


def test_of_a_month_that_has_begun_only_the_unused_rest_is_still_to_come() -> None:
    books: Books = {(11, "GEN", "4010", ""): -70}
    (row,) = rows([line(1200, "4010")], books)
    assert (row.ahead[10:], row.forecast) == ((30, 100), 200)
    (row,) = rows([line(1200, "4010")], {(11, "GEN", "4010", ""): -170})
    assert (row.ahead[10:], row.forecast) == ((0, 100), 270)


def test_a_year_that_is_over_is_forecast_as_it_happened() -> None:
    year = year_as_of(2025, first_month=1, today=dt.date(2026, 1, 1))
    (row,) = rows([line(1200)], {(2, "GEN", "6010", "program"): 90}, year=year)
    assert (row.to_date, row.forecast, row.difference) == (1200, 90, 1110)


def test_a_year_to_come_is_forecast_as_it_was_meant() -> None:
    year = year_as_of(2027, first_month=1, today=dt.date(2026, 12, 31))
    (row,) = rows([line(1200)], {}, year=year)
    assert (row.to_date, row.forecast, row.difference, row.outcome) == (0, 1200, 0, 0)


@given(KEYS, BOOKS)
def test_no_cent_is_lost_or_counted_twice(keys: list[tuple[str, str, str]], books: Books) -> None:
    lines = [
        Line(id=n, account=account, fund=fund, function=function, months=spread(n))
        for n, (account, fund, function) in enumerate(keys, start=1)
    ]
    found = reported(lines, books)
    assert found.net.actual == -sum(books.values())
    assert found.went_out.budget == sum(sum(one.months) for one in lines)
    parts = [sum(months) for row in found.expense for _, months in row.parts]
    assert sum(parts) == found.went_out.actual


@given(KEYS, BOOKS)
def test_the_sums_are_those_of_the_rows(keys: list[tuple[str, str, str]], books: Books) -> None:
    lines = [
        Line(id=n, account=account, fund=fund, function=function, months=spread(1000 * n))
        for n, (account, fund, function) in enumerate(keys, start=1)
    ]
    found = reported(lines, books, committed={("PRU", "6010", "program"): 777})
    for name in ("budget", "actual", "committed", "left", "difference", "forecast", "outcome"):
        assert getattr(found.went_out, name) == sum(getattr(row, name) for row in found.expense)
    assert found.net.outcome == found.came_in.outcome + found.went_out.outcome


def test_a_report_is_narrowed_to_a_fund_or_to_a_function() -> None:
    lines = [line(100, id=1), line(200, id=2, fund="PRU"), line(300, "7010", id=3)]
    lines.append(line(400, "7010", id=4, function="program"))
    every = rows(lines, {})
    assert [row.line for row in of_fund(every, "PRU")] == [2]
    assert [row.line for row in of_fund(every, "")] == [1, 3, 4]
    assert [row.line for row in of_function(every, "program", load())] == [1, 2, 4]
    assert [row.line for row in of_function(every, "management", load())] == [3]


def test_months_add_up_to_the_year() -> None:
    books: Books = {(1, "GEN", "6010", "program"): 60, (3, "GEN", "6010", "program"): -10}
    planned, became, ahead = cumulative(rows([line(1200)], books))
    assert planned == tuple(range(100, 1300, 100))
    assert became == (60, 60, *[50] * 10)
    assert ahead == (*[0] * 10, 100, 200)
    assert cumulative([]) == (ZEROS, ZEROS, ZEROS)


def test_every_income_and_cost_of_the_chart_stands_on_its_side() -> None:
    flows = {code: one for code, one in load().items() if one.kind in (Kind.INCOME, Kind.EXPENSE)}
    books: Books = {
        (1, "GEN", code, ""): -100 if one.kind == Kind.INCOME else 100
        for code, one in flows.items()
    }
    found = report(rows([], books, year=YEAR))
    assert {row.actual for row in (*found.income, *found.expense)} == {100}
    assert len(found.income) + len(found.expense) == len(flows)
