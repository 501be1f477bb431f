from __future__ import annotations

from datetime import date

from program.importing.books import check, opening_transfer
from program.importing.known import Facts, World
from program.importing.rows import Row
from program.ledger.ledger import Balances
from program.ledger.restrictions import Fund

GENERAL = Fund(code="GEN", name="general fund")
GIFT = Fund(code="100", name="Pruitt gift", restricted=True)
FUNDS = {"gen": GENERAL, "gift": GIFT}


def world(**cells: int) -> World:
    held = Balances(cells={(code, "1010"): cents for code, cents in cells.items()})
    return World(rows={}, facts=Facts(funds=FUNDS, held=held))


def line(number: int, **values: object) -> Row:
    usual = {
        "entry": "bill 7",
        "on": date(2026, 11, 2),
        "what": "Bill",
        "debit": "6010",
        "credit": "1010",
        "amount_usd": 4_000,
        "fund": "gen",
        "fact": False,
    }
    return Row(sheet="ledger_entries", number=number, ref=f"l{number}", values=usual | values)


def opening(number: int, account: str, cents: int, fund: str = "gen") -> Row:
    values = {"fund": fund, "account": account, "amount_usd": cents, "on": date(2026, 1, 1)}
    return Row(sheet="opening_balances", number=number, ref=f"ob{number}", values=values)


def said(opened: list[Row], lines: list[Row], there: World) -> list[tuple[int, str]]:
    return [(fault.row, fault.sentence) for fault in check(opened, lines, there)[0]]


def test_an_opening_balance_stands_on_the_usual_side_of_its_account() -> None:
    cash = opening_transfer(opening(2, "1010", 5_000), GENERAL)
    debt = opening_transfer(opening(3, "2010", 700), GENERAL)
    gift = opening_transfer(opening(4, "1010", 900), GIFT)
    assert (cash.debit, cash.credit, cash.entry) == ("1010", "3010", "opening:ob2")
    assert (debt.debit, debt.credit) == ("3010", "2010")
    assert (gift.debit, gift.credit) == ("1010", "3020")


def test_a_fund_that_would_be_overdrawn_is_told_at_the_row_that_does_it() -> None:
    rows = [line(2, amount_usd=900), line(3, entry="bill 8", on=date(2026, 11, 3))]
    assert said([opening(2, "1010", 1_000)], rows, world()) == [
        (3, "The general fund would be $39.00 below zero on 2026-11-03.")
    ]


def test_what_the_ledger_holds_already_counts() -> None:
    assert said([], [line(2)], world(GEN=4_000)) == []
    assert said([], [line(2)], world(GEN=3_999)) == [
        (2, "The general fund would be $0.01 below zero on 2026-11-02.")
    ]


def test_money_that_comes_on_the_same_day_counts() -> None:
    gift = line(3, entry="gift", debit="1010", credit="4010")
    assert said([], [line(2), gift], world()) == []


def test_a_fact_is_recorded_and_noted() -> None:
    faults, notes = check([], [line(2, fact=True)], world())
    assert faults == []
    assert notes == ["The general fund is $40.00 below zero on 2026-11-02."]


def test_what_the_ledger_refuses_is_told_at_its_row() -> None:
    rows = [line(2), line(3, debit="1010", credit="1010")]
    assert said([], rows, world(GEN=9_999)) == [(3, "Account 1010 is on both sides.")]


def test_rows_of_one_event_have_one_day_and_one_name() -> None:
    rows = [line(2), line(3, on=date(2026, 11, 3), what="Gift")]
    assert said([], rows, world(GEN=9_999)) == [
        (3, "Row 2 calls the same event “Bill”."),
        (2, "The lines of one entry have one day."),
    ]


def test_a_move_out_of_a_restricted_fund_takes_a_fact() -> None:
    def move(*, fact: bool) -> list[tuple[int, str]]:
        rows = [
            line(2, debit="3110", credit="1010", fund="gift", fact=fact),
            line(3, debit="1010", credit="3110", fund="gen"),
        ]
        return said([], rows, World(rows={}, facts=Facts(funds=FUNDS, held=held)))

    held = Balances(cells={("100", "1010"): 9_000})
    assert move(fact=False) == [(2, "$40.00 would leave the Pruitt gift.")]
    assert move(fact=True) == []


def test_a_booked_event_takes_no_more_rows() -> None:
    taken = {"ledger_entries": frozenset({"import:bill 7"})}
    there = World(rows={}, facts=Facts(funds=FUNDS, taken=taken, held=world(GEN=9_000).facts.held))
    assert said([], [line(2)], there) == [
        (2, "“bill 7” was booked before; a booked event takes no more rows.")
    ]


def test_a_shut_month_takes_nothing_not_even_a_fact() -> None:
    facts = Facts(
        funds=FUNDS, held=world(GEN=9_000).facts.held, shut=frozenset({date(2026, 11, 1)})
    )
    rows = [line(2, fact=True), line(3, entry="bill 8", on=date(2026, 12, 1))]
    assert said([], rows, World(rows={}, facts=facts)) == [(2, "November 2026 is shut.")]
