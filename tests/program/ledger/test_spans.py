"""What moved within any run of days, read from kept days, kept months and broken ones."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from program.ledger.chart import Kind, load
from program.ledger.ledger import balances
from program.ledger.queries import (
    by_function,
    by_month,
    case_cost,
    case_costs,
    held,
    held_on,
    shut_on,
    transfers,
    turned,
)
from program.models import ShutMonth, Transfer
from tests.factories import make_case, make_entry, make_fund, make_program, make_user
from tests.program.ledger import making

if TYPE_CHECKING:
    from program.models import Fund

OCTOBER, NOVEMBER, DECEMBER = (dt.date(2026, month, 1) for month in (10, 11, 12))
DAYS = st.dates(dt.date(2025, 6, 1), dt.date(2027, 1, 31))
FUNCTIONS = st.sampled_from(["", "program", "management", "fundraising"])
AN_EVENING_BEFORE = dt.timedelta(days=1)


def general() -> Fund:
    return make_fund(code="GEN", name="general fund")


def paid(fund: Fund, cents: int, on: dt.date, **fields: Any) -> Transfer:
    entry = make_entry(on=on)
    row = {"debit": "6010", "credit": "1010", "cents": cents, "fund": fund} | fields
    return Transfer.objects.create(program=entry.program, entry=entry, **row)


@pytest.mark.django_db
def test_the_end_of_a_day_holds_that_day_and_no_later_one() -> None:
    fund = general()
    for cents, day in ((1, 14), (10, 15), (100, 16)):
        paid(fund, cents, NOVEMBER.replace(day=day))
    held_then = held_on(make_program(), NOVEMBER.replace(day=15))
    assert held_then.cells == {("GEN", "1010"): -11, ("GEN", "6010"): 11}


@pytest.mark.django_db
def test_a_span_holds_both_of_its_days() -> None:
    fund = general()
    for cents, on in ((1, OCTOBER.replace(day=30)), (10, OCTOBER.replace(day=31)), (100, DECEMBER)):
        paid(fund, cents, on)
    assert turned(make_program(), OCTOBER.replace(day=31), DECEMBER).account("6010") == 110


@pytest.mark.django_db
def test_a_span_that_ends_before_it_begins_holds_nothing() -> None:
    paid(general(), 100, NOVEMBER)
    for from_on, until_on in ((DECEMBER, OCTOBER), (NOVEMBER.replace(day=9), NOVEMBER)):
        assert turned(make_program(), from_on, until_on).cells == {}


@pytest.mark.django_db
def test_the_first_and_the_last_day_of_the_calendar_bound_everything() -> None:
    paid(general(), 100, NOVEMBER)
    program = make_program()
    assert turned(program, dt.date.min, dt.date.max) == held(program) == held_on(program, NOVEMBER)


@pytest.mark.django_db
def test_an_expense_is_for_what_its_account_says_unless_the_transfer_says_otherwise() -> None:
    fund = general()
    paid(fund, 700, NOVEMBER, debit="6070")
    paid(fund, 100, NOVEMBER, debit="6070", function="management")
    assert by_function(make_program(), NOVEMBER, NOVEMBER) == {
        ("GEN", "1010", ""): -800,
        ("GEN", "6070", "management"): 100,
        ("GEN", "6070", "program"): 700,
    }


@pytest.mark.django_db
def test_each_month_of_a_span_stands_under_its_first_day() -> None:
    fund = general()
    for cents, on in ((1, OCTOBER.replace(day=20)), (10, NOVEMBER), (100, DECEMBER)):
        paid(fund, cents, on)
    found = by_month(make_program(), OCTOBER.replace(day=15), DECEMBER)
    assert {month: cents for (month, _, code, _), cents in found.items() if code == "6010"} == {
        OCTOBER: 1,
        NOVEMBER: 10,
        DECEMBER: 100,
    }


@pytest.mark.django_db
def test_a_case_costs_its_expenses_less_what_came_back() -> None:
    fund, one, two = general(), make_case(), make_case()
    paid(fund, 9_000, OCTOBER, case=one)
    paid(fund, 500, NOVEMBER, case=one, debit="1010", credit="6010")
    paid(fund, 300, NOVEMBER, case=one, debit="6030")
    paid(fund, 80, NOVEMBER, case=two)
    paid(fund, 40, NOVEMBER)
    paid(fund, 7, NOVEMBER, case=two, debit="9010", credit="9020")
    assert case_costs(make_program(), OCTOBER, DECEMBER) == {
        (one.pk, "6010"): 8_500,
        (one.pk, "6030"): 300,
        (two.pk, "6010"): 80,
    }
    assert case_costs(make_program(), OCTOBER, OCTOBER) == {(one.pk, "6010"): 9_000}
    assert (case_cost(one), case_cost(two)) == ({"6010": 8_500, "6030": 300}, {"6010": 80})


@pytest.mark.django_db
def test_another_programs_days_are_not_counted() -> None:
    paid(general(), 100, NOVEMBER)
    other = make_program(name="Other garage")
    assert turned(other, NOVEMBER, NOVEMBER).cells == held_on(other, DECEMBER).cells == {}
    assert case_costs(other, NOVEMBER, DECEMBER) == {}


@pytest.mark.django_db
def test_a_day_belongs_to_the_month_that_is_shut_until_it_is_opened() -> None:
    program, by = make_program(), make_user()
    assert shut_on(program, NOVEMBER) is None
    shut = ShutMonth.objects.create(program=program, month=NOVEMBER, shut_by=by)
    assert shut_on(program, NOVEMBER.replace(day=30)) == shut
    assert shut_on(program, DECEMBER) is None
    assert shut_on(make_program(name="Other garage"), NOVEMBER) is None
    ShutMonth.objects.update(opened_at=shut.shut_at, opened_by=by, reason="A bill came late.")
    assert shut_on(program, NOVEMBER) is None


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("from_on", "until_on", "count"),
    [
        (OCTOBER, DECEMBER - AN_EVENING_BEFORE, 1),
        (OCTOBER, NOVEMBER, 2),
        (OCTOBER.replace(day=2), NOVEMBER, 3),
        (NOVEMBER.replace(day=2), NOVEMBER.replace(day=3), 2),
    ],
)
def test_whole_months_are_one_query_and_each_broken_one_is_another(
    from_on: dt.date, until_on: dt.date, count: int
) -> None:
    program = make_program()
    for read, asked in ((turned, 2), (by_function, count), (by_month, count)):
        with CaptureQueriesContext(connection) as queries:
            read(program, from_on, until_on)
        assert len(queries) == asked


def one_by_one(rows: list[Transfer], from_on: dt.date, until_on: dt.date) -> Counter[Any]:
    """Add transfers up by month, fund, account and function, without the database."""
    sums: Counter[Any] = Counter()
    for row in rows:
        if from_on <= row.entry.on <= until_on:
            for code, cents in ((row.debit, row.cents), (row.credit, -row.cents)):
                account = load()[code]
                usual = (row.function or str(account.function)) * (account.kind == Kind.EXPENSE)
                sums[row.entry.on.replace(day=1), row.fund.code, code, usual] += cents
    return sums


class SpansTest(TestCase):
    """Any transfers, and any run of days; each example is rolled back."""

    @settings(max_examples=40)
    @given(st.lists(st.tuples(making.transfers(), FUNCTIONS), max_size=12), DAYS, DAYS)
    def test_every_span_equals_the_sum_of_its_transfers(
        self, drawn: list[Any], from_on: dt.date, until_on: dt.date
    ) -> None:
        funds = {code: make_fund(code=code) for code in making.FUNDS}
        for row, function in drawn:
            fields = {"debit": row.debit, "credit": row.credit, "function": function}
            paid(funds[row.fund], row.cents, row.on, **fields)
        program, rows = make_program(), list(Transfer.objects.select_related("entry", "fund"))
        sums = one_by_one(rows, from_on, until_on)
        assert by_month(program, from_on, until_on) == {cell: c for cell, c in sums.items() if c}
        functions: Counter[Any] = Counter()
        for (_, *cell), cents in sums.items():
            functions[tuple(cell)] += cents
        assert by_function(program, from_on, until_on) == {c: n for c, n in functions.items() if n}
        pure = transfers(program)
        assert held_on(program, until_on) == balances(t for t in pure if t.on <= until_on)
        span = balances(t for t in pure if from_on <= t.on <= until_on)
        assert turned(program, from_on, until_on) == span
