"""The file of the books: what lies in it, and that nothing in it was bent."""

from __future__ import annotations

import csv
import io
from datetime import date

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import storages

from program.importing.archive import from_zip
from program.models import Entry
from program.reports import checksums
from program.reports.keeping import safe
from tests.program.budget.lines import make_line
from tests.program.reports.books import PDF, books, content_of, made, put_paper

pytestmark = pytest.mark.django_db


def rows(whole: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(whole.decode(), newline="")))


def test_every_file_is_as_the_checksums_say() -> None:
    _, _, bill = books()
    put_paper(bill)
    zipped = content_of(made())
    files = {name: zipped.read(name) for name in zipped.namelist()}
    text = files.pop(checksums.NAME).decode()
    assert sorted(checksums.read(text)) == sorted(files)
    assert checksums.differing(files, text) == []


def test_the_journal_holds_the_year_and_no_day_before() -> None:
    books()
    journal = rows(content_of(made()).read("journal.csv"))
    assert [(row["day"], row["what"], row["amount"]) for row in journal] == [
        ("2026-02-03", "Sunday collection", "600.00"),
        ("2026-02-05", "'=1+1", "200.00"),
        ("2026-03-01", "Front pads", "40.00"),
        ("2026-03-02", "Rags", "12.50"),
        ("2026-03-03", "Set aside", "5.00"),
    ]


def test_balances_lead_from_the_start_to_the_end() -> None:
    books()
    found = rows(content_of(made()).read("balances.csv"))
    cash = next(row for row in found if (row["fund"], row["account"]) == ("GEN", "1010"))
    sums = (cash["at the start"], cash["moved"], cash["at the end"])
    assert sums == ("90.00", "547.50", "637.50")


def test_the_budget_of_each_year_of_the_span_is_inside_and_no_other() -> None:
    books()
    for year in (2025, 2026):
        make_line(year=year, account="6010")
    zipped = content_of(made())
    names = [name for name in zipped.namelist() if name.startswith("budget/")]
    assert names == ["budget/2026.pdf", "budget/2026.csv"]
    assert zipped.read("budget/2026.pdf").startswith(b"%PDF")
    (row,) = (row for row in rows(zipped.read("budget/2026.csv")) if row["account"] == "6010")
    assert row["budget"] == "120.00"


def test_every_statement_is_inside_as_paper_and_as_sheet() -> None:
    books()
    zipped = content_of(made())
    names = [name for name in zipped.namelist() if name.startswith("statements/")]
    assert sorted(names) == [
        "statements/activities.csv",
        "statements/cases.csv",
        "statements/functional.csv",
        "statements/funds.csv",
        "statements/in-kind.csv",
        "statements/position.csv",
        "statements/statements.pdf",
        "statements/trial.csv",
    ]
    assert zipped.read("statements/statements.pdf").startswith(b"%PDF")
    trial = zipped.read("statements/trial.csv").decode()
    assert "1010,Checking account,837.50," in trial


def test_the_sheets_inside_are_what_the_importer_takes() -> None:
    books()
    sheets = from_zip(io.BytesIO(content_of(made()).read("ledger-sheets.zip")))
    assert list(sheets) == ["funds", "ledger_entries"]
    entries = rows(sheets["ledger_entries"])
    assert [(row["entry"], row["debit"], row["credit"]) for row in entries[:2]] == [
        ("opening 2026-01-01", "1010", "3010"),
        (entries[1]["entry"], "1010", "4010"),
    ]
    assert [row["two_over_usd"] for row in rows(sheets["funds"])] == ["", "500.00"]


def test_the_paper_lies_under_its_entry_and_bare_spends_are_named() -> None:
    _, _, bill = books()
    put_paper(bill)
    file = made()
    zipped = content_of(file)
    assert zipped.read(f"papers/{bill.pk}-1-Bill-of-the-counter--March.pdf") == PDF
    assert [row["state"] for row in rows(zipped.read("papers.csv"))] == ["as it was kept"]
    assert [row["what"] for row in rows(zipped.read("without_paper.csv"))] == ["Rags"]
    assert [row["papers"] for row in rows(zipped.read("sample.csv"))] == ["1", "0"]
    assert (file.counts["papers"], file.counts["without_paper"]) == (1, 1)


def test_a_paper_that_was_changed_or_is_gone_is_named() -> None:
    _, _, bill = books()
    paper = put_paper(bill)
    storages["private"].delete(paper.path)
    storages["private"].save(paper.path, ContentFile(b"another bill"))
    other = put_paper(books_second(bill.program_id), b"x")
    storages["private"].delete(other.path)
    file = made()
    states = [row["state"] for row in rows(content_of(file).read("papers.csv"))]
    assert states == ["changed", "gone"]
    assert file.counts["papers_lost"] == 2


def books_second(program_id: int) -> Entry:
    """Return another entry of the same books."""
    return Entry.objects.filter(program_id=program_id, what="Rags").get()


def test_a_year_without_entries_has_a_file_too() -> None:
    books()
    zipped = content_of(made(from_on=date(2024, 1, 1), until_on=date(2024, 12, 31)))
    assert rows(zipped.read("journal.csv")) == []
    assert "0 transfers, 0 papers." in zipped.read("README.txt").decode()


@pytest.mark.parametrize(
    ("name", "kept"),
    [
        ("Bill 7, March", "Bill-7--March"),
        ("../../etc/passwd", "etc-passwd"),
        (".hidden", "hidden"),
        ("…", "paper"),
        ("CON: x", "CON--x"),
    ],
)
def test_a_papers_name_leads_nowhere_else(name: str, kept: str) -> None:
    assert safe(name) == kept
