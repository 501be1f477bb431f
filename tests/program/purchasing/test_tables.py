"""What the list of needs writes into its cells."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from program.purchasing.queries import LOOK_UP, Asking, NeedRow
from program.purchasing.stages import Stage
from program.purchasing.tables import (
    ConditionTable,
    NeedTable,
    fitment_of,
    may_be_in_words,
    price_in_words,
    shown_in_words,
)
from tests.factories import make_need
from tests.shared.pages import tidy
from vehicles.repairs.prerequisites import Costed
from vehicles.repairs.substitutes import verdicts
from vehicles.shop.systems import System

pytestmark = pytest.mark.django_db
GATE = Costed(id=1, title="Head gasket", tier=1, likely_cents=900_00)


def row_of(**fields: Any) -> NeedRow:
    defaults: dict[str, Any] = {
        "stage": Stage.OPEN,
        "kept": 0,
        "case": "26-043",
        "held": None,
        "asking": Asking(),
    }
    need = fields.pop("need", None) or make_need(price_source="counter quote")
    return NeedRow(need=need, **defaults | fields)


def table(**fields: Any) -> NeedTable:
    return NeedTable([row_of(**fields)])


def cells(found: NeedTable | ConditionTable) -> dict[str, str]:
    row = next(iter(found.rows))
    return {column.name: tidy(str(row.get_cell(column.name))) for column in found.columns}


def test_a_need_says_for_which_car_and_job_and_behind_what_it_waits() -> None:
    found = cells(table(held=GATE))
    assert found["title"].endswith(
        '">Radiator</a><span class="sub">2012 Toyota Corolla</span>'
        '<span class="sub">for Radiator</span>'
        '<span class="sub">Waits behind “Head gasket”.</span>'
    )
    assert found["case"] == '<span class="tag s">26-043</span>'


def test_fitment_conditions_and_who_asks_stand_in_one_cell() -> None:
    asking = Asking(what=(LOOK_UP,), who="Rosalind Amadi", by_on=dt.date(2026, 12, 4))
    assert cells(table(asking=asking))["fits"] == (
        "Toyota Corolla 2009 to 2013"
        '<span class="sub">new, rebuilt, used</span>'
        '<span class="sub">Ask: Rosalind Amadi, by Dec 4</span>'
    )


def test_a_price_has_its_source_and_day() -> None:
    need = make_need(price_source="At the counter", priced_on=dt.date(2026, 11, 20))
    assert cells(table(need=need))["price"] == (
        '120.00<span class="sub">At the counter, Nov 20</span>'
    )
    assert price_in_words(need) == "$120.00, At the counter, Nov 20"
    assert price_in_words(make_need(price_cents=None)) == "can’t be bought"


def test_units_that_are_kept_are_counted_until_the_need_is_closed() -> None:
    assert cells(table(kept=1, need=make_need(quantity=4)))["quantity"] == (
        '4<span class="sub">1 kept</span>'
    )
    assert cells(table(kept=1, stage=Stage.FITTED))["quantity"] == "1"


def test_the_spreadsheet_has_words() -> None:
    asking = Asking(what=(LOOK_UP,))
    [head, line] = table(asking=asking, stage=Stage.KEPT, case="").as_values()
    assert dict(zip(head, line, strict=True)) == {
        "Part": "Radiator",
        "Case": None,
        "Tier": "4",
        "Needed": 1,
        "Stage": "Kept for it",
        "Fits, may be": "Toyota Corolla 2009 to 2013; new, rebuilt, used; ask",
        "Needed by": None,
        "One, if bought": Decimal("120.00"),
    }


def test_what_a_part_may_be_follows_the_rules_and_what_was_ticked() -> None:
    assert may_be_in_words(make_need(may_be=["new", "used"])) == "new, used"
    assert may_be_in_words(make_need(kind="tire", system="tires")) == "new; used: ask first"
    assert may_be_in_words(make_need(kind="brake_pads", system="brakes")) == "new"


def test_a_part_that_says_nothing_is_bought_for_the_car() -> None:
    assert fitment_of(make_need(fitment={})) == "as for a 2012 Toyota Corolla"


def test_each_condition_has_its_reason_and_source() -> None:
    rows = list(ConditionTable(verdicts("brake_pads", System.BRAKES)).rows)
    assert [tidy(str(rows[2].get_cell(name))) for name in ("condition", "fit", "source")] == [
        "Used",
        'no<span class="sub">A used brake pad, shoe or lining is not taken.</span>',
        "program policy; common practice, no source",
    ]


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({}, "yes: “Radiator for a 2012 Corolla”"),
        ({"held": GATE}, "not yet: “Head gasket” comes first"),
        ({"kept": 1}, "no: a part is kept for it"),
        ({"stage": Stage.FITTED}, "no: it is fitted"),
    ],
)
def test_a_need_says_whether_sponsors_see_it(fields: dict[str, Any], words: str) -> None:
    need = make_need(approved_text="Radiator for a 2012 Corolla")
    assert shown_in_words(row_of(need=need, **fields)) == words


def test_a_need_without_a_text_for_sponsors_says_so() -> None:
    need = make_need(approved_text="")
    assert shown_in_words(row_of(need=need)) == "not yet: nobody has approved a text for them"
