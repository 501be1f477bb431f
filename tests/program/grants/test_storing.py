"""The archive of a claim: what lies in it, under which name, with which fingerprints."""

from __future__ import annotations

import csv
import hashlib
import io
import zipfile
from typing import TYPE_CHECKING

import pytest
import time_machine
from django.core.files.base import ContentFile

from program.grants.sheet import claim_sheet
from program.grants.storing import Filed, costs_csv, keep_papers, kept_name, storage
from program.models import Claim, Paper
from tests.factories import make_user
from tests.program.grants.awards import general, make_grant, sent, spent

if TYPE_CHECKING:
    from collections.abc import Iterator

    from program.models import Entry

pytestmark = pytest.mark.django_db

PDF, BILL = b"%PDF-1.7 the claim", b"%PDF-1.7 a bill of Quayside Auto Parts"


@pytest.fixture(autouse=True)
def _tidy() -> Iterator[None]:
    """Take away what the tests put into the private storage."""
    yield
    names = [row.path for row in Paper.objects.all()]
    names += [kept_name(claim, kind) for claim in Claim.objects.all() for kind in ("pdf", "zip")]
    for name in names:
        storage().delete(name)


def bill(entry: Entry, name: str = "bill.pdf", content: bytes = BILL) -> Paper:
    path = storage().save(f"papers/storing-{entry.pk}-{len(name)}", ContentFile(content))
    return Paper.objects.create(
        program=entry.program,
        entry=entry,
        name=name,
        path=path,
        kind="application/pdf",
        size=len(content),
        sha256=hashlib.sha256(content).hexdigest(),
        by=make_user(),
    )


def keep(claim: Claim) -> list[Filed]:
    return keep_papers(claim, claim_sheet(claim), PDF)


def kept(claim: Claim, kind: str) -> bytes:
    with storage().open(kept_name(claim, kind)) as found:
        return bytes(found.read())


def archive(claim: Claim) -> dict[str, bytes]:
    keep(claim)
    opened = zipfile.ZipFile(io.BytesIO(kept(claim, "zip")))
    assert opened.testzip() is None
    return {name: opened.read(name) for name in opened.namelist()}


def table(content: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(content.decode(), newline="")))


def test_nobody_guesses_where_a_claim_is_kept() -> None:
    first, second = Claim(pk=1), Claim(pk=2)
    name = kept_name(first, "pdf")
    folder, rest = name.split("/")
    assert rest.removeprefix("claim-").removesuffix(".pdf").startswith(folder)
    assert len(rest) == len("claim-.pdf") + 40
    assert kept_name(first, "zip") == name.removesuffix("pdf") + "zip"
    assert kept_name(second, "pdf") != name


def test_the_paper_lies_beside_the_archive_and_in_it() -> None:
    spent(general(), 5_000)
    claim = sent(make_grant())
    assert archive(claim)["claim.pdf"] == kept(claim, "pdf") == PDF


def test_the_fingerprints_are_those_of_what_the_archive_holds() -> None:
    bill(spent(general(), 5_000).entry)
    found = archive(sent(make_grant()))
    lines = [line.split("  ") for line in found.pop("SHA256SUMS").decode().splitlines()]
    assert lines == [[hashlib.sha256(found[name]).hexdigest(), name] for name in found]
    (row,) = table(found["papers.csv"])
    assert row["sha256"] == hashlib.sha256(BILL).hexdigest()
    assert found[row["file"]] == BILL


def test_what_was_filed_is_told_by_entry() -> None:
    fund = general()
    bare, billed = spent(fund, 700), spent(fund, 5_000)
    row = bill(billed.entry, "Bill № 7 (pads).pdf")
    sha256 = hashlib.sha256(BILL).hexdigest()
    path = f"papers/entry-{billed.entry_id}/{row.pk}-Bill-7-pads-.pdf"
    assert keep(sent(make_grant())) == [
        Filed(entry=bare.entry_id, lacks="no paper"),
        Filed(entry=billed.entry_id, path=path, sha256=sha256),
    ]


def test_a_file_that_changed_is_packed_and_told() -> None:
    row = bill(spent(general(), 5_000).entry)
    storage().save(row.path, ContentFile(b"another"))
    (filed,) = keep(sent(make_grant()))
    assert filed.sha256 == hashlib.sha256(b"another").hexdigest()
    assert filed.lacks == "“bill.pdf” is not the file that was filed"


def test_a_file_that_is_gone_is_not_packed() -> None:
    row = bill(spent(general(), 5_000).entry)
    storage().delete(row.path)
    found = archive(sent(make_grant()))
    assert table(found["papers.csv"]) == []
    (lacking,) = table(found["entries-without-paper.csv"])
    assert lacking == {"entry": str(row.entry_id), "why": "the file of “bill.pdf” is gone"}


def test_a_name_without_a_letter_is_a_paper() -> None:
    row = bill(spent(general(), 5_000).entry, "счёт")
    (filed,) = keep(sent(make_grant()))
    assert filed.path == f"papers/entry-{row.entry_id}/{row.pk}-paper"


def test_keeping_again_another_day_replaces_what_was_kept_with_the_same_bytes() -> None:
    bill(spent(general(), 5_000).entry)
    claim = sent(make_grant())
    keep(claim)
    first = kept(claim, "zip")
    with time_machine.travel("2026-12-14 15:00:00+00:00", tick=False):
        keep(claim)
    assert kept(claim, "zip") == first


def test_the_costs_are_lines_that_add_up_to_the_claim() -> None:
    fund = general()
    spent(fund, 5_025, what="@SUM(1)")
    spent(fund, 1_000, debit="1010", credit="6010", what="Pads sent back")
    sheet = claim_sheet(sent(make_grant()))
    rows = table(costs_csv(sheet).encode())
    assert [(row["what"], row["account"], row["amount"]) for row in rows] == [
        ("'@SUM(1)", "6010 Parts bought", "50.25"),
        ("Pads sent back", "6010 Parts bought", "-10.00"),
    ]
    assert sheet.total == 4_025
