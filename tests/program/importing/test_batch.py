from __future__ import annotations

import datetime as dt

import pytest

from program.importing.batch import Batch, write
from program.importing.check import Checked
from program.importing.rows import Key, Row
from tests.factories import TODAY, make_program
from vehicles.models import Bay, Finding

pytestmark = pytest.mark.django_db


def batch(*rows: Row) -> Batch:
    checked = Checked(faults=(), new={"bays": rows}, counts={})
    return Batch(program=make_program(), by=None, today=TODAY, checked=checked)


def bay(ref: str) -> Row:
    return Row(sheet="bays", number=2, ref=ref, values={"bay": "b1"})


def test_what_rows_have_become_is_found_by_their_names() -> None:
    made = batch(bay("b1"), bay("b2"))
    made.make("bays", [Bay(program=made.program, name=name) for name in ("One", "Two")])
    assert made.objects[Key("bays", "b2")] == Bay.objects.get(name="Two")
    assert made.named(bay("e1"), "bay", "bays") == Bay.objects.get(name="One")
    assert made.named(Row(sheet="equipment", number=2, ref="e2"), "bay", "bays") is None


def test_a_sheet_without_new_rows_writes_nothing() -> None:
    made = batch()
    made.make("bays", [])
    write([])
    assert (made.objects, Bay.objects.count(), made.rows("hours")) == ({}, 0, ())


def test_a_finding_is_named_by_its_own_ref_or_by_its_reading() -> None:
    made, diagnosed, shown = batch(), Finding(title="one"), Finding(title="two")
    made.findings = {Key("findings", "f1"): diagnosed, Key("readings", "r1"): shown}
    assert made.finding("f1") is diagnosed
    assert made.finding("r1") is shown
    assert made.finding("f9") is None


def test_a_day_begins_to_count_at_noon_where_the_program_is() -> None:
    assert batch().moment(TODAY) == dt.datetime(2026, 11, 30, 17, tzinfo=dt.UTC)
