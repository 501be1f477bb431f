"""The statements: worked examples from textbooks, and properties of any books."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.ledger.chart import Kind
from program.ledger.ledger import balances
from program.statements.position import position
from program.statements.statements import (
    ActivityLine,
    activities,
    fund_lines,
    trial_balance,
    unreleased,
)
from tests.program.ledger.making import CHART, FUNDS, make_transfer, pairs, transfers
from tests.program.ledger.textbook import MONTH, journal, names_chart
from tests.program.published import published
from tests.program.statements.booked import booked

if TYPE_CHECKING:
    from program.ledger.ledger import Transfer
    from program.statements.statements import Books


def sides(books: Books) -> tuple[int, int]:
    """Return the sums of both columns of the trial balance."""
    lines = trial_balance(books)
    return sum(line.debit for line in lines), sum(line.credit for line in lines)


@pytest.mark.parametrize("case_id", ["TB-01", "TB-02", "TB-03"])
def test_a_textbook_month_gives_the_printed_trial_balance(case_id: str) -> None:
    # OpenStax Principles of Accounting Vol. 1 sec. 3.5-3.6, 4.4-4.5, 5.1-5.2 (text-seen).
    expected = published()[case_id].expected
    held = journal(case_id)
    totals = (expected["total_debits"] * 100, expected["total_credits"] * 100)
    assert sides(booked(held, names_chart(held), days=MONTH)) == totals


def test_a_textbook_month_earns_what_is_printed_without_being_closed() -> None:
    # OpenStax Principles of Accounting Vol. 1 sec. 4.5, 5.1 (text-seen): income of 4,665, of which
    # 100 is paid out as dividends; total assets of 29,965.
    expected = published()["TB-03"].expected
    held = journal("TB-02")
    chart = names_chart(held)
    books = booked(held, chart, days=MONTH)
    earned = [line.total for line in activities(books).lines if line.account != "Dividends"]
    assert sum(earned) == expected["net_income"] * 100
    retained = -expected["post_closing_balances_dr_positive"]["Retained earnings"] * 100
    assert activities(books).change.total == retained
    state = position(books.now, chart, FUNDS)
    assert sum(state.assets.values()) == expected["total_assets"] * 100
    owed = sum(state.liabilities.values())
    assert owed + activities(books).closing.total == expected["total_assets"] * 100


@pytest.mark.parametrize("case_id", ["TB-05", "TB-06", "TB-07", "TB-09", "TB-10"])
def test_printed_account_lists_add_up_as_printed(case_id: str) -> None:
    # OpenStax Vol. 1 sec. 3.6 and 5.1; Penn State ACCTG 211 lesson 2 (text-seen).
    case = published()[case_id]
    held = pairs([(name, "in between", dollars) for name, dollars in case.inputs["debits"].items()])
    held += pairs(
        [("in between", name, dollars) for name, dollars in case.inputs["credits"].items()]
    )
    totals = (case.expected["total_debits"] * 100, case.expected["total_credits"] * 100)
    assert sides(booked(held, names_chart(held))) == totals


def test_the_statement_of_activities_matches_a_published_exercise() -> None:
    # Textbook exercise, fiscal year to June 30, 2019, on two study sites (text-seen).
    expected = published()["RF-01"].expected
    held = [
        *pairs([("1010", "3010", 80000), ("1010", "4010", 86000), ("1010", "5040", 5000)]),
        *pairs([("6010", "1010", 6000), ("6030", "1010", 26000)]),
        *pairs([("7010", "1010", 4000), ("8010", "1010", 2000)]),
        *pairs([("1010", "3020", 180000), ("1010", "4030", 80000), ("1010", "5040", 15000)], "PRU"),
        *pairs([("6010", "1010", 17000), ("3210", "3220", 17000)], "PRU"),
    ]
    report = activities(booked(held))
    assert [report.change.without, report.change.with_] == [
        expected["change_without"] * 100,
        expected["change_with"] * 100,
    ]
    assert [report.closing.without, report.closing.with_] == [
        expected["end_without"] * 100,
        expected["end_with"] * 100,
    ]


def test_all_spending_stands_without_restriction_and_is_released() -> None:
    # Textbook exercise “Good Health” items 9-10; the answer is derived from ASC 958.
    expected = published()["RF-04"].expected
    held = pairs([("1010", "4010", 45000), ("6010", "1010", 35000), ("3210", "3220", 35000)], "PRU")
    report = activities(booked(held))
    assert report.closing.with_ == expected["remaining_with_restrictions"] * 100
    spent = ActivityLine(account="6010", without=-35000_00, with_=0)
    assert [line for line in report.lines if line.account == "6010"] == [spent]


def test_a_building_paid_by_two_funds_releases_only_the_restricted_part() -> None:
    # Textbook exercise “Good Health” items 4 and 6; release when placed in service, ASU 2016-14.
    expected = published()["RF-05"].expected
    held = [
        *pairs([("1010", "3010", 140000), ("1410", "1010", 140000)]),
        *pairs(
            [("1010", "3020", 875000), ("1410", "1010", 875000), ("3210", "3220", 875000)], "PRU"
        ),
    ]
    books = booked(held)
    released = [line.without for line in activities(books).lines if line.account == "3220"]
    assert released == [expected["released_when_placed_in_service"] * 100]
    assert balances(held).account("1410") == expected["building_cost"] * 100


def test_a_donated_vehicle_sold_for_less_lowers_the_gift() -> None:
    # CPA-firm worked example: given at 4,800, sold for 4,300 (text-seen).
    expected = published()["RF-08"].expected
    held = pairs([("1310", "4120", 4800), ("1010", "1310", 4300), ("4120", "1310", 500)])
    assert -balances(held).account("4120") == expected["contribution_revenue_net"] * 100
    assert balances(held).account("1310") == 0


def test_a_conditional_advance_is_no_income() -> None:
    # Published ASU 2018-08 example of a library (text-seen).
    expected = published()["RF-10"].expected
    general = fund_lines(booked(pairs([("1010", "2110", 10000)])))[0]
    assert general.income == expected["revenue"]
    assert general.free == 0


def test_opening_balances_stand_at_the_start_whatever_day_they_were_written() -> None:
    report = activities(booked([make_transfer(credit="3010", cents=5000)]))
    assert report.opening.without == 5000
    assert report.change.without == 0


def test_money_set_aside_is_not_free_and_changes_no_net_assets() -> None:
    held = pairs([("1010", "4010", 500), ("9010", "9020", 200)])
    general = fund_lines(booked(held))[0]
    assert (general.closing, general.committed, general.free) == (500_00, 200_00, 300_00)


def test_a_restricted_spend_without_its_release_is_told() -> None:
    held = pairs([("1010", "4010", 500), ("6010", "1010", 120), ("3210", "3220", 100)], "WIN")
    assert unreleased(booked(held)) == {"WIN": 20_00}


def test_later_transfers_are_left_out() -> None:
    held = [make_transfer(on=date(2027, 1, 1)), make_transfer(on=date(2026, 12, 31), cents=7)]
    assert sides(booked(held)) == (7, 7)


def test_an_unknown_account_is_not_passed_over() -> None:
    with pytest.raises(KeyError, match="0000"):
        activities(booked([make_transfer(debit="0000")]))


@given(st.lists(transfers()))
def test_a_fund_closes_with_what_it_owns_less_what_it_owes(held: list[Transfer]) -> None:
    report = fund_lines(booked(held))
    found = balances(held)
    owned = {
        fund: sum(
            cents
            for code, cents in found.accounts(fund).items()
            if CHART[code].kind in {Kind.ASSET, Kind.LIABILITY}
        )
        for fund in FUNDS
    }
    assert {line.fund: line.closing for line in report} == owned
    assert [line.opening + line.income - line.spending + line.moved for line in report] == [
        line.closing for line in report
    ]
