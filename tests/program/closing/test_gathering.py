"""What the books say to each line of a month's list."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
import time_machine

from program.closing.actions import tick_step, undo_step
from program.closing.gathering import booked_since, looks, missing_costs, step_rows, unreleased
from program.closing.kinds import StepKind
from program.closing.steps import Looks
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.closing.months import NOVEMBER, OCTOBER, SEPTEMBER

pytestmark = pytest.mark.django_db


def said(kind: StepKind, month: date = OCTOBER) -> tuple[Looks, str]:
    look = looks(make_program(), month)[kind]
    return look.looks, str(look.sentence)


def test_balances_are_those_of_the_months_last_day() -> None:
    fund = make_fund()
    make_entry(("6010", "2010", 40_00, fund), ("1230", "2020", 22_00, fund), on=SEPTEMBER)
    make_entry(("2010", "1010", 40_00, fund), on=date(2026, 10, 31))
    make_entry(("1010", "1230", 22_00, fund), on=NOVEMBER)
    assert said(StepKind.PAYABLES, SEPTEMBER)[1] == "Owed: $40.00 of bills, $22.00 on the card."
    assert said(StepKind.PAYABLES)[1] == "Owed: $0.00 of bills, $22.00 on the card."
    assert said(StepKind.CORES)[1] == "$22.00 of core deposits should come back."
    assert said(StepKind.CORES, NOVEMBER)[1] == "No core deposit is out."


def test_the_shelf_shows_what_the_books_hold() -> None:
    make_entry(("1210", "4110", 61_00, make_fund()), on=OCTOBER)
    look = looks(make_program(), OCTOBER)[StepKind.SHELF]
    assert look.accounts == (("1210", 61_00), ("1220", 0))
    assert look.looks is Looks.NOTHING


def test_an_account_with_money_and_no_statement_is_not_reconciled() -> None:
    make_entry(("1010", "4010", 100_00, make_fund()), on=OCTOBER)
    look = looks(make_program(), OCTOBER)[StepKind.BANK]
    assert look.accounts == (("1010", 100_00),)
    assert [str(one) for one in look.details] == [
        "1010 Checking account has not been reconciled yet."
    ]
    assert look.looks is Looks.WRONG


def test_no_grant_owes_no_claim() -> None:
    assert said(StepKind.CLAIMS) == (Looks.RIGHT, "No claim or report is due.")


def test_a_restricted_spend_without_its_release_is_named() -> None:
    fund = make_fund(name="Pruitt gift", restricted=True)
    other = make_fund()
    make_entry(("6010", "1010", 318_00, fund), ("6010", "1010", 5_00, other), on=OCTOBER)
    assert unreleased(make_program(), OCTOBER) == {"Pruitt gift": 318_00}
    make_entry(("3210", "3220", 300_00, fund), on=date(2026, 10, 31))
    assert unreleased(make_program(), OCTOBER) == {"Pruitt gift": 18_00}
    make_entry(("3210", "3220", 18_00, fund), on=date(2026, 10, 31))
    assert unreleased(make_program(), OCTOBER) == {}


def test_what_cost_something_the_month_before_is_missed() -> None:
    fund = make_fund()
    for debit in ("6070", "7020", "6020"):
        make_entry((debit, "1010" if debit != "6020" else "1210", 70_00, fund), on=SEPTEMBER)
    make_entry(("7020", "1010", 70_00, fund), on=OCTOBER)
    assert missing_costs(make_program(), OCTOBER) == ["6070 Shop rent and power"]
    assert missing_costs(make_program(), SEPTEMBER) == []


def test_a_line_tells_what_was_booked_in_its_month_after_the_tick() -> None:
    fund, user = make_fund(), make_user()
    make_entry(("1010", "4010", 1_00, fund), on=OCTOBER)
    with time_machine.travel("2026-11-30 16:00:00+00:00", tick=False):
        tick_step(program=make_program(), month=OCTOBER, kind=StepKind.CORES, by=user)
    with time_machine.travel("2026-11-30 17:00:00+00:00", tick=False):
        make_entry(("1010", "4010", 1_00, fund), on=date(2026, 10, 31))
        make_entry(("1010", "4010", 1_00, fund), on=NOVEMBER)
    rows = {row.kind: row for row in step_rows(make_program(), OCTOBER)}
    assert (rows[StepKind.CORES].since, rows[StepKind.BANK].since) == (1, 0)
    assert booked_since(make_program(), OCTOBER, {}) == {}


def test_lines_come_in_their_order_with_what_was_taken_back() -> None:
    asked: dict[str, Any] = {"program": make_program(), "month": OCTOBER, "kind": StepKind.CORES}
    tick_step(by=make_user(), **asked)
    undo_step(by=make_user(), because="A slip came.", **asked)
    rows = step_rows(make_program(), OCTOBER)
    assert [row.kind for row in rows] == [*StepKind]
    assert [len(row.undone) for row in rows] == [0, 0, 1, 0, 0, 0, 0]
    assert (rows[2].title, rows[2].accounts) == (
        "Core deposits",
        [("1230", "Core deposits paid", 0)],
    )
