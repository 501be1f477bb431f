"""How books and bank stand at the end of a statement, and which entries may come on a line."""

from __future__ import annotations

from datetime import date

import pytest

from program.bank.actions import (
    finish,
    match_line,
    match_sure,
    undo_match,
)
from program.bank.gathering import candidates, proposals, reconciliation
from tests.factories import make_entry, make_user
from tests.program.bank.banking import (
    FIRST,
    LAST,
    all_found,
    books,
    came,
    general,
    line_of,
    paid,
    statement,
)

pytestmark = pytest.mark.django_db


def test_a_reconciliation_ends_in_zero_with_what_is_outstanding() -> None:
    there = books()
    row = statement()
    before = reconciliation(row)
    # The check of October 1 and the others are found only when somebody accepts them.
    assert (before.differs, before.ready, len(before.facts.unbooked)) == (0, False, 4)
    all_found(row, there)
    found = reconciliation(row)
    assert (found.facts.bank_cents, found.facts.book_cents) == (1248_60, 1184_60)
    assert [item.id for item in found.checks] == [there["late"].pk]
    assert (found.adjusted_bank, found.adjusted_book, found.ready) == (1184_60, 1184_60, True)


def test_a_later_entry_in_a_finished_span_shows_as_outstanding() -> None:
    there = books()
    row = statement()
    all_found(row, there)
    finish(statement=row, version=1, note="", by=make_user())
    forgotten = paid(9_00, date(2026, 10, 9), "Forgotten")
    found = reconciliation(row)
    assert [item.id for item in found.checks] == [forgotten.pk, there["late"].pk]
    assert found.differs == 0


def test_a_line_booked_on_a_later_day_is_said_so() -> None:
    there = books()
    row = statement()
    all_found(row, there)
    line = line_of(row, -100_00)
    undo_match(line=line, by=make_user())
    late = paid(100_00, date(2026, 11, 3), "Pay, booked late")
    match_line(line=line, entries=[late], by=make_user())
    found = reconciliation(row)
    assert [item.id for item in found.facts.late] == [late.pk]
    assert [item.id for item in found.checks] == [there["late"].pk, there["pay"].pk]
    assert found.differs == 0


def test_entries_from_before_the_first_statement_are_in_its_opening_balance() -> None:
    came(1040_00, date(2026, 9, 29), "Opening")
    paid(36_40, date(2026, 9, 29), "Front pads, check 1187")
    paid(3_60, date(2026, 9, 30), "Stamps")
    row = statement()
    assert candidates(row.program, "1010", FIRST, LAST) == []
    assert (reconciliation(row).outstanding, reconciliation(row).differs) == ((), 0)


def test_what_was_outstanding_at_the_start_is_explained_by_the_only_entries_that_fit() -> None:
    came(1000_00, date(2026, 9, 29), "Opening")
    old = paid(36_40, date(2026, 9, 29), "Front pads, check 1187")
    row = statement()
    assert [item.id for item in reconciliation(row).checks] == [old.pk]
    assert reconciliation(row).differs == 0
    assert match_sure(statement=row, by=make_user()) == 1
    assert reconciliation(row).checks == ()


def test_only_what_explains_the_start_may_still_come_on_a_line() -> None:
    came(1015_00, date(2026, 9, 28), "Opening")
    paid(15_00, date(2026, 9, 29), "Bank fee, in the opening balance")
    old = paid(36_40, date(2026, 9, 30), "Front pads, check 1187")
    row = statement()
    assert [one.id for one in candidates(row.program, "1010", FIRST, LAST)] == [old.pk]


def test_a_start_that_nothing_explains_is_the_difference() -> None:
    came(990_00, date(2026, 9, 29), "Opening")
    found = reconciliation(statement())
    assert (found.differs, found.ready) == (-10_00, False)


def test_a_voided_check_is_not_outstanding() -> None:
    books()
    gone = paid(7_00, date(2026, 10, 5), "Voided")

    make_entry(("1010", "6050", 7_00, general()), on=date(2026, 10, 6), reverses=gone)
    ids = {item.id for item in reconciliation(statement()).outstanding}
    assert gone.pk not in ids


def test_a_finished_statement_proposes_nothing_more() -> None:
    there = books()
    row = statement()
    assert len(proposals(row)) == 3
    all_found(row, there)
    assert proposals(row) == {}
