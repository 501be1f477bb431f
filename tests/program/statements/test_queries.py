"""The statements of a span as they are read from the database."""

from __future__ import annotations

from datetime import date

import pytest

from program.models import Transfer
from program.statements.queries import TITLES, Report
from shared.accounts.roles import RoleKind
from tests.factories import make_case, make_entry, make_program, make_user
from tests.program.ledger.books import books
from vehicles.custody.models import Condition

pytestmark = pytest.mark.django_db

YEAR = (date(2026, 1, 1), date(2026, 12, 31))


def report(*, cases: bool = True) -> Report:
    return Report(make_user(RoleKind.TREASURER), make_program(), *YEAR, cases=cases)


def test_each_statement_is_there_under_its_title() -> None:
    books()
    assert {sheet.name: sheet.title for sheet in report().sheets} == TITLES


def test_what_was_booked_before_the_span_is_where_it_starts() -> None:
    general, _ = books()
    make_entry(("1010", "4010", 900, general), on="2025-06-01")
    found = report()
    assert found.books.before.account("1010") == 900
    assert found.books.now.account("1010") == 60_900
    assert found.earlier.now.account("1010") == 900


def test_costs_of_cases_and_of_none_are_all_expenses() -> None:
    general, _ = books()
    case = make_case(number="26-900")
    entry = make_entry(on="2026-11-03", what="Tie rod")
    Transfer.objects.create(
        program=entry.program,
        entry=entry,
        debit="6010",
        credit="1010",
        cents=4_000,
        fund=general,
        case=case,
    )
    found = report()
    assert [(row.number, row.total) for row in found.outlays.cases] == [("26-900", 4_000)]
    assert found.outlays.without.total == 10_000
    assert found.failing == []


def test_a_refund_lowers_what_belongs_to_no_case() -> None:
    general, _ = books()
    make_entry(("1010", "6010", 2_500, general), what="Refund")
    assert report().outlays.without.total == 7_500


def test_a_car_counts_as_handed_back_when_its_case_closed_and_it_is_with_its_household() -> None:
    books()
    closed = make_case(opened_on="2026-09-01", closed_on="2026-10-01")
    away = make_case(opened_on="2026-09-01", closed_on="2026-10-02")
    for case, step in ((closed, "handed_back"), (away, "returned_unrepaired")):
        Condition.objects.update_or_create(
            vehicle=case.vehicle, defaults={"program": case.program, "step": step}
        )
    (note,) = report().sheet("cases").notes
    assert note == "One car was handed back and stayed so: $100.00 of all expenses for each."


def test_without_cases_their_check_is_left_out() -> None:
    books()
    assert len(report().ties) - len(report(cases=False).ties) == 1
