"""When a gift is income.

RF-10: a library's conditional gift, published with ASU 2018-08 (text-seen): 10,000 received before
1,000 books are delivered, with a right of return, is a refundable advance and no revenue.
"""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from program.gifts.posting import Sides, Standing, accepted, came, is_conditional, met
from program.ledger.chart import Kind, load

CASES = Path(__file__).parents[2] / "data" / "accounting_cases.csv"


def test_the_published_conditional_gift_is_an_advance_and_no_revenue() -> None:
    with CASES.open(encoding="utf-8", newline="") as file:
        row = next(row for row in csv.DictReader(file) if row["case_id"] == "RF-10")
    given, expected = json.loads(row["inputs"]), json.loads(row["expected_output"])
    conditional = is_conditional(given["barrier"], returns=given["right_of_return"])
    assert conditional is expected["conditional"]
    sides = accepted(Standing(income="4030", arrived=True, conditional=conditional))
    assert sides is not None
    books = {sides.debit: given["advance_received"], sides.credit: -given["advance_received"]}
    revenue = sum(cents for code, cents in books.items() if load()[code].kind == Kind.INCOME)
    assert (-books["2110"], revenue) == (expected["refundable_advance"], expected["revenue"])


@pytest.mark.parametrize(
    ("barrier", "returns", "conditional"),
    [("ten cars", True, True), ("ten cars", False, False), (" ", True, False)],
)
def test_a_condition_is_a_barrier_and_a_right_of_return_both(
    *, barrier: str, returns: bool, conditional: bool
) -> None:
    """Source: ASC 958-605-25-5A (text-seen)."""
    assert is_conditional(barrier, returns=returns) is conditional


@pytest.mark.parametrize(
    ("arrived", "conditional", "sides"),
    [
        (True, False, Sides(debit="1010", credit="4010")),
        (False, False, Sides(debit="1110", credit="4010")),
        (True, True, Sides(debit="1010", credit="2110")),
        (False, True, None),
    ],
)
def test_what_accepting_books(*, arrived: bool, conditional: bool, sides: Sides | None) -> None:
    assert accepted(Standing(income="4010", arrived=arrived, conditional=conditional)) == sides


@pytest.mark.parametrize("arrived", [True, False])
@pytest.mark.parametrize("conditional", [True, False])
@pytest.mark.parametrize("money_first", [True, False])
def test_every_way_ends_in_cash_and_income(
    *, arrived: bool, conditional: bool, money_first: bool
) -> None:
    balances: dict[str, int] = {}

    def book(sides: Sides | None) -> None:
        if sides:
            balances[sides.debit] = balances.get(sides.debit, 0) + 1
            balances[sides.credit] = balances.get(sides.credit, 0) - 1

    def standing() -> Standing:
        return Standing(income="4010", arrived=here, conditional=still_open)

    here, still_open = arrived, conditional
    book(accepted(standing()))
    for step in ("money", "met") if money_first else ("met", "money"):
        if step == "money" and not here:
            book(came(standing()))
            here = True
        if step == "met" and still_open:
            book(met(standing()))
            still_open = False
    assert {code: cents for code, cents in balances.items() if cents} == {"1010": 1, "4010": -1}
