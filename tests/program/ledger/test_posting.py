from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.ledger.ledger import Transfer, balances
from program.ledger.posting import (
    available,
    check_entry,
    commitment,
    is_purchase,
    overdrawn,
    refuse_overdraft,
    refuse_spend,
    reversal,
    why_two,
)
from program.ledger.restrictions import Fund, Rule, Spend
from shared.problems import Level
from tests.program.ledger.making import CHART, DAY, FUNDS, make_transfer, pairs, transfers


def said(*held: Transfer, funds: dict[str, Fund] | None = None) -> list[str]:
    return [str(problem.sentence) for problem in check_entry(held, CHART, funds or FUNDS)]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"debit": "1011"}, "There is no account 1011."),
        ({"debit": "4010"}, "Account 4010 is on both sides."),
        ({"cents": 0}, "$0.00 can't be moved."),
        ({"cents": -500}, "−$5.00 can't be moved."),
        ({"cents": 10**12}, "$10,000,000,000.00 is more than this ledger can hold."),
        ({"fund": "XXX"}, "There is no fund XXX."),
        (
            {"debit": "9010", "credit": "1010"},
            "Money set aside moves only between 9010 Commitments and 9020 Reserve for commitments.",
        ),
        (
            {"credit": "3220"},
            (
                "A release moves only between 3210 Released to spending and "
                "3220 Released from donor restriction."
            ),
        ),
    ],
)
def test_a_wrong_line_is_named(fields: dict[str, Any], sentence: str) -> None:
    assert said(make_transfer(**fields)) == [sentence]


def test_a_problem_names_its_line() -> None:
    [problem] = check_entry([make_transfer(), make_transfer(cents=0)], CHART, FUNDS)
    assert problem.where == "2"


def test_an_entry_of_many_lines_in_one_fund_passes() -> None:
    bill = [make_transfer(debit="6010", credit="2010"), make_transfer(debit="6050", credit="2010")]
    assert said(*bill) == []


def test_an_empty_entry_is_refused() -> None:
    assert said() == ["The entry is empty."]


def test_lines_of_two_events_are_not_one_entry() -> None:
    other = make_transfer(entry="e2", on=date(2026, 11, 26))
    assert said(make_transfer(), other) == [
        "These lines belong to more than one entry.",
        "The lines of one entry have one day.",
    ]


def test_a_closed_fund_takes_nothing_from_the_day_it_closed() -> None:
    old = {"OLD": Fund(code="OLD", name="flood fund", closed_on=DAY)}
    assert said(make_transfer(fund="OLD"), funds=old) == [
        "The flood fund was closed on Wednesday, November 25, 2026."
    ]
    assert said(make_transfer(fund="OLD", on=date(2026, 11, 24)), funds=old) == []


def move(*, out: int, into: int, source: str = "GEN") -> list[Transfer]:
    return [
        make_transfer(debit="3110", credit="1010", cents=out, fund=source),
        make_transfer(debit="1010", credit="3110", cents=into, fund="WIN"),
    ]


def test_a_move_between_funds_nets_to_zero() -> None:
    assert said(*move(out=5000, into=5000)) == []
    assert said(*move(out=5000, into=4900)) == ["The move between funds is out by $1.00."]


def test_restricted_money_leaves_its_fund_only_with_approval() -> None:
    [problem] = check_entry(move(out=5000, into=5000, source="PRU"), CHART, FUNDS)
    assert str(problem.sentence) == "$50.00 would leave the Pruitt gift."
    assert problem.level == Level.APPROVAL


@given(st.lists(transfers(), min_size=1))
def test_a_move_that_passes_changes_no_total(held: list[Transfer]) -> None:
    after = balances([*held, *move(out=5000, into=5000)])
    assert after.account("3110") == balances(held).account("3110")
    assert after.account("1010") == balances(held).account("1010")


def test_what_is_free_is_cash_less_debts_and_commitments() -> None:
    held = pairs([("1010", "4010", 900), ("6010", "2010", 100), ("9010", "9020", 250)])
    assert available("GEN", balances(held), CHART) == 550_00
    assert available("PRU", balances(held), CHART) == 0


def test_paying_a_bill_changes_nothing_that_is_free() -> None:
    held = pairs([("1010", "4010", 900), ("6010", "2010", 100)])
    paid = [*held, *pairs([("2010", "1010", 100)])]
    free = [available("GEN", balances(some), CHART) for some in (held, paid)]
    assert free == [800_00, 800_00]


def test_a_choice_beyond_what_is_free_is_refused_with_the_sum_that_lacks() -> None:
    problem = refuse_overdraft(FUNDS["GEN"], 194_33, 334_33)
    assert problem is not None
    assert str(problem.sentence) == (
        "The general fund has $194.33 free. This needs $334.33: $140.00 more."
    )


def test_a_choice_of_all_that_is_free_is_allowed() -> None:
    assert refuse_overdraft(FUNDS["GEN"], 334_33, 334_33) is None


def test_a_fund_below_zero_takes_no_choice_at_all() -> None:
    problem = refuse_overdraft(FUNDS["GEN"], -20_00, 1)
    assert problem is not None
    assert str(problem.sentence) == "The general fund is $20.00 below zero."


def test_a_bounced_check_is_recorded_and_its_fund_flagged() -> None:
    held = pairs([("1010", "4010", 100), ("6010", "1010", 80), ("4010", "1010", 100)])
    assert [check_entry([transfer], CHART, FUNDS) for transfer in held] == [[], [], []]
    [flag] = overdrawn(FUNDS.values(), balances(held), CHART)
    assert (str(flag.sentence), flag.level) == (
        "The general fund is $80.00 below zero.",
        Level.WARNING,
    )


@given(st.lists(transfers()), st.integers(1, 10**9))
def test_a_commitment_and_its_reversal_leave_no_trace(held: list[Transfer], cents: int) -> None:
    aside = commitment("GEN", cents, entry="plan", on=DAY, chart=CHART)
    free = available("GEN", balances(held), CHART)
    assert available("GEN", balances([*held, aside]), CHART) == free - cents
    undone = [*held, aside, reversal(aside, entry="plan back", on=DAY)]
    assert balances(undone) == balances(held)


TIRES = Fund(
    code="PRU", name="Pruitt gift", rule=Rule(systems=frozenset({"tires"}), two_over_cents=50_000)
)
GENERAL = Fund(code="GEN", name="general fund")


def buys(cents: int = 60_000, **fields: Any) -> Spend:
    usual: dict[str, Any] = {"what": "parts bought", "on": DAY, "cents": cents}
    return Spend(**usual | fields)


@pytest.mark.parametrize(
    ("spend", "known", "remedy"),
    [
        (buys(), {"case": False, "item": False}, "Name the case and its repair item."),
        (buys(), {"case": True, "item": False}, "Name the repair item."),
        (
            buys(system="brakes"),
            {"case": True, "item": True},
            "The general fund may.",
        ),
    ],
)
def test_a_refused_spend_says_what_helps(spend: Spend, known: dict[str, bool], remedy: str) -> None:
    problem = refuse_spend(TIRES, [TIRES, GENERAL], spend, **known)
    assert problem is not None
    assert str(problem.remedy) == remedy


def test_what_no_case_can_mend_is_said_at_once() -> None:
    rule = Rule(systems=frozenset({"tires"}), kinds=frozenset({"sublet"}))
    fund = Fund(code="SUB", name="alignment gift", rule=rule)
    problem = refuse_spend(fund, [fund], buys(), case=False, item=False)
    assert problem is not None
    assert str(problem.sentence) == (
        "The alignment gift can't pay for parts bought. It pays only for sublet."
    )


def test_a_spend_that_the_rule_allows_passes() -> None:
    assert refuse_spend(TIRES, [TIRES], buys(system="tires"), case=True, item=True) is None


@pytest.mark.parametrize(
    ("purchases", "why"),
    [
        (
            [(TIRES, buys(50_001, system="tires"))],
            "The Pruitt gift asks for two people over $500.00. This is $500.01.",
        ),
        ([(TIRES, buys(50_000)), (GENERAL, buys(50_000))], None),
        (
            [(TIRES, buys(50_000)), (GENERAL, buys(50_001))],
            "The program asks for two people over $1,000.00. This is $1,000.01.",
        ),
        ([], None),
    ],
)
def test_two_people_are_asked_by_the_fund_or_by_the_program(
    purchases: list[tuple[Fund, Spend]], why: str | None
) -> None:
    found = why_two(purchases, 100_000)
    assert (found if found is None else str(found)) == why


@pytest.mark.parametrize(
    ("debit", "credit", "expected"),
    [
        ("6010", "1010", True),
        ("6010", "2010", True),
        ("1220", "2020", True),
        ("6010", "1220", False),
        ("2010", "1010", False),
        ("6020", "1210", False),
        ("9010", "9020", False),
    ],
)
def test_a_purchase_pays_or_promises_to_pay(debit: str, credit: str, *, expected: bool) -> None:
    assert is_purchase(make_transfer(debit=debit, credit=credit), CHART) == expected
