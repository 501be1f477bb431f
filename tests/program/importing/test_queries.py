from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from program.importing import queries
from program.importing.known import Facts, Stay
from program.importing.models import ImportRun
from program.importing.rows import Key
from tests.factories import TODAY
from tests.program.importing.samples import many, sheet_import, templates

if TYPE_CHECKING:
    from pathlib import Path

    from pytest_django import DjangoAssertNumQueries

pytestmark = pytest.mark.django_db


def test_an_empty_database_holds_no_facts() -> None:
    assert queries.facts(None) == Facts()


def test_facts_are_named_by_the_refs_of_the_sheets(tmp_path: Path) -> None:
    run = sheet_import(tmp_path, templates())
    there = queries.facts(run.program)
    assert len(there.known) == 34
    assert there.stays == {"c1": Stay("v1", TODAY.replace(day=5))}
    assert there.vehicles[Key("repair_items", "i1")] == "v1"
    assert (there.in_case, there.in_stay) == (frozenset({"v1"}), frozenset({"v1"}))
    assert there.taken["vehicles"] == {"2T1BU4EE4AC987654"}
    assert there.taken["ledger_entries"] == {"opening:ob1", "import:2026-11-14 gift"}
    assert there.funds["g1"].name == "general fund"
    assert there.held.account("1010") == 255_000
    assert there.sound == frozenset()


@pytest.mark.parametrize("cars", [0, 20])
def test_facts_take_the_same_few_queries_for_any_number_of_rows(
    cars: int, tmp_path: Path, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    program = sheet_import(tmp_path, many(cars)).program
    with django_assert_num_queries(23):
        queries.facts(program)


def test_counts_stand_in_the_order_of_the_sheets() -> None:
    count = {"new": 1, "known": 2, "left_out": 3}
    run = ImportRun(counts={"vehicles": count, "bays": count | {"notes": ["Short."]}})
    assert [row["sheet"] for row in queries.counts(run)] == ["bays", "vehicles"]
    assert queries.counts(run)[1] == {"sheet": "vehicles"} | count
    assert (queries.written(run), queries.notes(run)) == (2, ["Short."])
