"""What an item, or a line of the ledger, is spent on."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from program.ledger.restrictions import SpendKind
from program.ledger.spending import spend_of_line, spends_of
from tests.factories import TODAY, make_case, make_household, make_item, make_need

if TYPE_CHECKING:
    from program.ledger.restrictions import Spend
    from vehicles.models import RepairItem

pytestmark = pytest.mark.django_db


def item() -> RepairItem:
    """Return an item on tires that lacks a tire and a brake hose; a rim was withdrawn."""
    found = make_item(operation="tire-replace")
    make_need(item=found, kind="tire", system="tires")
    make_need(item=found, kind="brake_hose", system="brakes", title="Hose")
    make_need(item=found, kind="rim", system="wheels", title="Rim", state="withdrawn")
    return found


def parts(spends: list[Spend]) -> list[tuple[str, str, str]]:
    return [(spend.kind, spend.system, spend.part_kind) for spend in spends]


def test_an_item_is_spent_on_each_open_part_and_on_work_elsewhere() -> None:
    case = make_case(household=make_household(county="Orrin", kinds=["commuter"]))
    work = item()
    work.sublet_cents = 9_000
    spends = list(spends_of(work, case, TODAY))
    assert parts(spends) == [
        ("parts", "tires", "tire"),
        ("parts", "brakes", "brake_hose"),
        ("sublet", "tires", ""),
    ]
    assert {(spend.job, spend.county, spend.on) for spend in spends} == {
        ("tire-replace", "Orrin", TODAY)
    }


def test_an_item_without_parts_is_labor_of_its_system() -> None:
    assert parts(list(spends_of(make_item(system="brakes"), make_case(), TODAY))) == [
        ("labor", "brakes", "")
    ]


def test_a_line_of_parts_is_a_spend_of_each_kind_at_the_whole_amount() -> None:
    about: dict[str, Any] = {
        "what": "tires",
        "on": TODAY,
        "cents": 5_000,
        "case": make_case(),
    }
    spends = spend_of_line(kind=SpendKind.PARTS, item=item(), **about)
    assert parts(spends) == [("parts", "tires", "tire"), ("parts", "brakes", "brake_hose")]
    assert {spend.cents for spend in spends} == {5_000}


def test_a_line_without_item_or_case_leaves_open_what_a_rule_asks() -> None:
    (spend,) = spend_of_line(
        what="rags", on=TODAY, cents=500, kind=SpendKind.SUPPLIES, case=None, item=None
    )
    assert (spend.system, spend.job, spend.county, spend.household_kinds) == (
        "",
        "",
        "",
        frozenset(),
    )
