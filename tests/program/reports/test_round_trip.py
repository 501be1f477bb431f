"""Out as a file and in again: the books of another installation are the same to the cent."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

import pytest

from program.importing.actions import import_folder
from program.importing.states import ImportState
from program.ledger.chart import Kind, load
from program.ledger.queries import by_month, held
from program.ledger.tallies import tallies
from program.models import Entry, Fund
from tests.factories import make_case, make_entry, make_fund, make_program
from tests.program.reports.books import books, content_of, made

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from program.importing.models import ImportRun
    from shared.models import Program

pytestmark = pytest.mark.django_db


def taken_in(path: Path, name: str = "Other garage") -> tuple[ImportRun, Program]:
    """Return the import of the file's sheets into another program, and that program."""
    (path / "sheets.zip").write_bytes(content_of(made()).read("ledger-sheets.zip"))
    other = make_program(name=name)
    return import_folder(path / "sheets.zip", program=other, by=None), other


def holds(program: Program) -> dict[tuple[str, str], int]:
    """Return what each fund holds on each account, without what plans set aside."""
    chart = load()
    cells = held(program).cells.items()
    return {cell: cents for cell, cents in cells if chart[cell[1]].kind != Kind.MEMO}


def months(program: Program, since: date, until: date) -> dict[tuple[date, str, str, str], int]:
    chart = load()
    found = by_month(program, since, until).items()
    return {cell: cents for cell, cents in found if chart[cell[2]].kind != Kind.MEMO}


def test_everything_comes_back_to_the_cent(tmp_path: Path) -> None:
    general, gift, _ = books()
    case = make_case()
    entry = make_entry(("6010", "1010", 5_000, gift), ("3210", "3220", 5_000, gift))
    assert entry.transfers.count() == 2
    spent = make_entry(("6070", "1010", 700, general), what="Rent of the office")
    other = spent.transfers.get()
    type(other)(
        program=other.program,
        entry=spent,
        debit="6070",
        credit="1010",
        cents=300,
        fund=general,
        case=case,
        function="management",
    ).save()
    run, program = taken_in(tmp_path)
    assert (run.state, run.problems) == (ImportState.DONE, [])
    before = {
        cell: cents
        for cell, cents in holds(make_program()).items()
        if load()[cell[1]].kind in (Kind.ASSET, Kind.LIABILITY)
    }
    after = {
        cell: cents
        for cell, cents in holds(program).items()
        if load()[cell[1]].kind in (Kind.ASSET, Kind.LIABILITY)
    }
    assert after == before
    file_days = entry.on.replace(month=1, day=1), entry.on
    flows = months(make_program(), *file_days)
    opened = {"3010", "3020", "1010"}  # the opening entry stands on the first day
    assert {
        cell: cents for cell, cents in months(program, *file_days).items() if cell[2] not in opened
    } == {cell: cents for cell, cents in flows.items() if cell[2] not in opened}
    assert all(tally.holds for tally in tallies(program))


def test_rules_and_words_come_back_too(tmp_path: Path) -> None:
    books()
    _, program = taken_in(tmp_path)
    gift = Fund.objects.get(program=program, code="PRU")
    assert gift.rule == {"systems": ["brakes", "tires"], "two_over_cents": 50_000}
    assert Entry.objects.filter(program=program, what="=1+1").count() == 1


def test_the_number_of_a_case_that_is_not_there_stays_in_the_note(tmp_path: Path) -> None:
    general, _, _ = books()
    case = make_case(number="26-041")
    entry = make_entry(what="A belt")
    row = Entry.objects.get(pk=entry.pk).transfers.model(
        program=entry.program,
        entry=entry,
        debit="6010",
        credit="1010",
        cents=900,
        fund=general,
        case=case,
        memo="two ribs",
    )
    row.save()
    _, program = taken_in(tmp_path)
    [there] = Entry.objects.get(program=program, what="A belt").transfers.all()
    assert (there.case, there.memo) == (None, "Case 26-041. two ribs")


def test_a_file_brought_in_twice_changes_nothing(tmp_path: Path) -> None:
    books()
    _, program = taken_in(tmp_path)
    before = holds(program)
    again = import_folder(tmp_path / "sheets.zip", program=program, by=None)
    assert (again.state, holds(program)) == (ImportState.DONE, before)


def test_no_cell_of_any_sheet_is_a_formula() -> None:
    fund = make_fund(code="GEN", name="general fund")
    for words in ("=HYPERLINK(1)", "+1", "-2", "@sum", "\tx"):
        make_entry(("6050", "1010", 100, fund), what=words, key=f"import:{words}", fact=True)
    zipped = content_of(made())
    for name in zipped.namelist():
        if name.endswith(".csv"):
            text = zipped.read(name).decode()
            cells = [cell for row in csv.reader(io.StringIO(text, newline="")) for cell in row]
            bare = [one for one in cells if one[:1] in "=+-@\t\r" and one]
            assert [one for one in bare if not one.lstrip("-").replace(".", "").isdigit()] == []
