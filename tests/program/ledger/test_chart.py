from __future__ import annotations

import pytest

from program.ledger.chart import Account, Function, Kind, Role, Side, chart, load, with_role
from program.ledger.rules import SpendKind


def test_each_account_has_a_mark() -> None:
    assert [account.code for account in load().values() if not account.mark] == []


def test_each_expense_and_no_other_account_has_a_function() -> None:
    for account in load().values():
        assert (account.function != Function.NONE) == (account.kind == Kind.EXPENSE), account.code


def test_what_is_spent_has_a_kind_that_a_fund_may_be_held_to() -> None:
    kinds = {account.code: account.spend for account in load().values() if account.spend}
    assert set(kinds.values()) <= set(SpendKind)
    # Skilled work given, vehicles granted and depreciation are no spend: nobody pays for them.
    unpaid = [
        account.code
        for account in load().values()
        if account.kind == Kind.EXPENSE and not account.spend
    ]
    assert unpaid == ["6110", "6120", "6130"]
    bought = [code for code in kinds if load()[code].kind == Kind.ASSET]
    assert bought == ["1220", "1230", "1410"]


def test_expenses_and_tools_release_and_depreciation_does_not() -> None:
    # ASC 958-205-45 and ASU 2016-14 (seen second-hand): expenses when they are booked, long-lived
    # things when they are placed in service.
    releasing = {account.code for account in load().values() if account.releases}
    expenses = {code for code, account in load().items() if account.kind == Kind.EXPENSE}
    assert releasing == expenses - {"6130"} | {"1410"}


def test_codes_start_with_the_digits_of_their_kind() -> None:
    digits = {
        Kind.ASSET: "1",
        Kind.LIABILITY: "2",
        Kind.NET_ASSETS: "3",
        Kind.INCOME: "45",
        Kind.EXPENSE: "678",
        Kind.MEMO: "9",
    }
    assert all(account.code[0] in digits[account.kind] for account in load().values())


def test_free_money_counts_cash_debts_and_what_is_set_aside() -> None:
    counted = {account.code for account in load().values() if account.spendable}
    assert counted == {"1010", "1020", "1030", "2010", "2020", "2110", "2210", "9020"}


@pytest.mark.parametrize(
    ("code", "side"),
    [
        ("1010", Side.DEBIT),
        ("1490", Side.CREDIT),
        ("2010", Side.CREDIT),
        ("3010", Side.CREDIT),
        ("3210", Side.DEBIT),
        ("4010", Side.CREDIT),
        ("6010", Side.DEBIT),
        ("9010", Side.DEBIT),
        ("9020", Side.CREDIT),
    ],
)
def test_an_account_knows_its_usual_side(code: str, side: Side) -> None:
    assert load()[code].normal == side


@pytest.mark.parametrize(
    "role",
    [Role.INTERFUND, Role.RELEASED_FROM, Role.RELEASED_TO, Role.COMMITMENT, Role.RESERVE],
)
def test_the_ledger_finds_one_account_for_each_thing_it_does(role: Role) -> None:
    having = [account.code for account in load().values() if account.role == role]
    assert having == [with_role(load(), role)]


def test_a_code_twice_is_refused() -> None:
    cash = Account(code="1010", name="Cash", kind=Kind.ASSET)
    with pytest.raises(ValueError, match=r"^Account 1010 is there twice\.$"):
        chart([cash, cash])


def test_a_chart_without_the_account_says_so() -> None:
    with pytest.raises(ValueError, match="has no account for “reserve”"):
        with_role(chart([]), Role.RESERVE)
