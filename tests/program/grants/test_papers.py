"""The paper of a claim, and the archive with every paper behind it."""

from __future__ import annotations

import csv
import hashlib
import io
import subprocess
import zipfile
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest
from django.core.files.base import ContentFile
from pypdf import PdfReader

from program.grants.papers import claim_papers
from program.grants.pdf import claim_paper
from program.grants.sheet import claim_sheet
from program.grants.storing import costs_csv, kept_name, storage
from program.models import Claim, Paper
from tests.factories import make_case, make_household, make_program, make_user
from tests.program.grants.awards import NOVEMBER, general, make_grant, sent, spent

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from program.models import Entry

pytestmark = pytest.mark.django_db

BILL = b"%PDF-1.7 a bill of Quayside Auto Parts"


@pytest.fixture(autouse=True)
def _tidy() -> Iterator[None]:
    """Take away what the tests put into the private storage."""
    yield
    names = [row.path for row in Paper.objects.all()]
    names += [kept_name(claim, kind) for claim in Claim.objects.all() for kind in ("pdf", "zip")]
    for name in names:
        storage().delete(name)


def file(entry: Entry, content: bytes = BILL, **fields: Any) -> Paper:
    name = fields.get("name", "bill 7/2026.pdf")
    path = storage().save(f"papers/test-{entry.pk}-{len(content)}", ContentFile(content))
    defaults = {
        "program": entry.program,
        "entry": entry,
        "name": name,
        "path": path,
        "kind": "application/pdf",
        "size": len(content),
        "sha256": hashlib.sha256(content).hexdigest(),
        "by": make_user(),
    }
    return Paper.objects.create(**defaults | fields)


def packed(claim: Claim) -> zipfile.ZipFile:
    claim_papers({"claim": claim.pk}, claim.program)
    with storage().open(kept_name(claim, "zip")) as kept:
        return zipfile.ZipFile(io.BytesIO(kept.read()))


def rows(archive: zipfile.ZipFile, name: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(archive.read(name).decode(), newline="")))


def text(content: bytes) -> str:
    return " ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages)


def test_the_archive_holds_each_paper_and_names_entries_without_one() -> None:
    fund = general()
    with_bill, without = spent(fund, 5_000), spent(fund, 700)
    bill = file(with_bill.entry)
    archive = packed(sent(make_grant()))
    path = f"papers/entry-{with_bill.entry_id}/{bill.pk}-bill-7-2026.pdf"
    assert archive.namelist() == [
        *("claim.pdf", "costs.csv", path, "papers.csv", "entries-without-paper.csv", "SHA256SUMS")
    ]
    assert archive.read(path) == BILL
    lacking = [{"entry": str(without.entry_id), "why": "no paper"}]
    assert rows(archive, "entries-without-paper.csv") == lacking


def test_the_sums_are_those_that_the_usual_tool_checks(tmp_path: Path) -> None:
    # Source: the program sha256sum of GNU coreutils is the judge.
    row = spent(general(), 5_000)
    file(row.entry, name="a very long name, with spaces (and more) " * 2)
    packed(sent(make_grant())).extractall(tmp_path)
    done = subprocess.run(
        ["sha256sum", "--strict", "-c", "SHA256SUMS"],  # noqa: S607  # the tool of the system
        cwd=tmp_path,
        check=False,
        capture_output=True,
        text=True,
    )
    assert (done.returncode, done.stdout.count(": OK")) == (0, 5)


def test_a_file_that_is_gone_or_changed_is_told() -> None:
    fund = general()
    gone, changed = spent(fund, 5_000), spent(fund, 700)
    file(gone.entry, name="gone.pdf", path="papers/nowhere")
    file(changed.entry, name="other.pdf", sha256="0" * 64)
    archive = packed(sent(make_grant()))
    assert [row["why"] for row in rows(archive, "entries-without-paper.csv")] == [
        "the file of “gone.pdf” is gone",
        "“other.pdf” is not the file that was filed",
    ]


def test_the_costs_as_csv_start_no_formula() -> None:
    spent(general(), 5_000, what="=HYPERLINK(1)")
    (row,) = csv.DictReader(io.StringIO(costs_csv(claim_sheet(sent(make_grant()))), newline=""))
    assert (row["what"], row["amount"], row["day"]) == ("'=HYPERLINK(1)", "50.00", "2026-10-09")


def test_the_same_claim_gives_the_same_archive() -> None:
    spent(general(), 5_000)
    claim = sent(make_grant())
    sums = [
        hashlib.sha256(archive.fp.read()).hexdigest() if archive.fp else ""
        for archive in (packed(claim), packed(claim))
    ]
    assert sums[0] == sums[1] != ""


def test_no_household_is_named_on_the_paper_or_in_the_costs() -> None:
    case = make_case(household=make_household(name="Dana Haskell"), number="26-777")
    spent(general(), 5_000, case=case)
    sheet = claim_sheet(sent(make_grant()))
    for found in (text(claim_paper(sheet)), costs_csv(sheet)):
        assert "26-777" in found
        assert "Haskell" not in found


def test_the_paper_says_how_the_claim_follows_and_who_certifies_it() -> None:
    fund = general()
    spent(fund, 10_000)
    spent(fund, 2_550, what="Front pads, Quayside Auto Parts")
    claim = sent(make_grant(own_percent=20))
    found = text(claim_paper(claim_sheet(claim)))
    for words in (
        "Claim 1 to Orrin County",
        "Commuter grant: costs of October 2026.",
        "Allowed costs 125.50",
        "Own share, 20 percent 25.10",
        "This claim 100.40",
        "Left of the award 399.60",
        f"Name {claim.by}",
        "Monday, November 30, 2026",
        "Signature",
    ):
        assert words in " ".join(found.split())


def test_the_own_share_says_when_the_award_was_too_small() -> None:
    spent(general(), 90_000)
    found = text(claim_paper(claim_sheet(sent(make_grant()))))
    assert "Own share: 0 percent, and what the award no longer holds" in " ".join(found.split())


def test_a_report_of_nothing_is_a_paper_too() -> None:
    found = text(claim_paper(claim_sheet(sent(make_grant(pays="ahead")))))
    assert "Report 1 to Orrin County" in found
    assert "Nothing was spent in these days." in found


def test_costs_of_an_earlier_cycle_are_marked() -> None:
    spent(general(), 5_000)
    sheet = claim_sheet(sent(make_grant(), NOVEMBER))
    assert sheet.costs[0].earlier
    assert "Oct 9, 2026*" in text(claim_paper(sheet))
    on_time = replace(sheet, costs=(replace(sheet.costs[0], earlier=False),))
    assert "*" not in text(claim_paper(on_time))


def test_the_papers_of_another_program_are_left_alone() -> None:
    spent(general(), 5_000)
    claim = sent(make_grant())
    claim_papers({"claim": claim.pk}, make_program(name="Other garage"))
    assert not storage().exists(kept_name(claim, "zip"))
