"""What the lists of estimates say in their cells."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from tests.factories import TODAY, make_need
from tests.vehicles.estimates.rows import make_quote
from vehicles.estimates.queries import prices_of
from vehicles.estimates.tables import EstimateTable, PriceTable, estimate_rows
from vehicles.estimates.values import CarEstimate, Line, PartPrice
from vehicles.repairs.charges import Cash, Rates

pytestmark = pytest.mark.django_db


def part(**fields: Any) -> PartPrice:
    defaults: dict[str, Any] = {
        "need_id": 5,
        "title": "Tire",
        "quantity": 4,
        "likely_cents": 336_00,
        "source": "counter",
        "days": 78,
    }
    return PartPrice(**defaults | fields)


def an_estimate(*parts: PartPrice, **cash: int) -> CarEstimate:
    work = Cash(labor=50_00, parts=336_00, outside=75_00)
    whole = Cash(labor=50_00, parts=336_00, outside=75_00, **cash)
    line = Line(
        item_id=3,
        title="Four tires",
        low=work,
        likely=work,
        high=work,
        likely_minutes=110,
        saved_minutes=10,
        parts=parts,
    )
    return CarEstimate(
        lines=(line,),
        low=whole,
        likely=whole,
        high=whole,
        p50_cents=0,
        p80_cents=0,
        p80_minutes=0,
        shared=(),
        rates=Rates(),
        versions=(),
        is_current=True,
    )


def titles(estimate: CarEstimate) -> list[str]:
    stay = make_need().item.intake
    return [str(row.title) for row in estimate_rows(estimate, stay)]


def test_a_line_says_labor_what_comes_off_once_and_work_elsewhere() -> None:
    [line] = titles(an_estimate())
    assert "Labor $50.00." in line
    assert "0:10 less, since it comes off once." in line
    assert "Work elsewhere $75.00" in line


def test_an_old_price_stands_out_and_the_oldest_is_named() -> None:
    [line] = titles(an_estimate(part(is_oldest=True)))
    assert "$336.00: counter, <b>78 days old, the oldest price here</b>" in line
    [recent] = titles(an_estimate(part(days=3, quantity=1)))
    assert "counter, 3 days old<" in recent


def test_a_gift_and_a_part_without_a_price_say_so() -> None:
    [line] = titles(an_estimate(part(is_given=True), part(can_be_bought=False)))
    assert "4 × Tire: a gift is kept for it" in line
    assert "no price, so it counts nothing" in line


def test_tax_and_supplies_are_rows_where_there_are_any() -> None:
    rows = estimate_rows(an_estimate(tax=27_72, supplies=19_30), make_need().item.intake)
    assert [(row.title, row.likely) for row in rows[1:]] == [
        ("Sales tax on parts", 27_72),
        ("Shop supplies", 19_30),
    ]
    table = EstimateTable(rows)
    [likely] = [column.footer for column in table.columns if column.name == "likely"]
    assert likely == "508.02"


def cells(**fields: Any) -> dict[str, str]:
    need = make_need()
    make_quote(need=need, **fields)
    table = PriceTable(prices_of(need, TODAY), stay=need.item.intake, may_change=True)
    [row] = table.rows
    return {column.name: str(value) for column, value in row.items()}


def test_a_price_says_where_how_old_and_against_what() -> None:
    found = cells(quoted_on=TODAY - dt.timedelta(days=5), lead_days=1, core_cents=15_00)
    assert "Quayside Auto Parts" in found["where"]
    assert "In writing" in found["where"]
    assert "Deposit on the old part: $15.00." in found["where"]
    assert "5 days old" in found["asked"]
    assert (found["against"], found["lead"]) == ("$10.00 less", "1 business day")


@pytest.mark.parametrize(
    ("cents", "said"), [(12_000, "the same"), (13_000, "$10.00 more"), (11_000, "$10.00 less")]
)
def test_a_price_is_held_against_what_is_counted(cents: int, said: str) -> None:
    assert cells(cents=cents)["against"] == said


def test_a_price_there_at_once_says_so() -> None:
    assert cells()["lead"] == "at once"
