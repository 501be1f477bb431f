"""A small year of books, with papers behind some of it."""

from __future__ import annotations

import hashlib
import io
import zipfile
from datetime import date
from typing import TYPE_CHECKING
from uuid import UUID

from django.core.files.base import ContentFile
from django.core.files.storage import storages

from program.models import Paper
from program.reports.actions import ask_year_file
from program.work import WORK
from shared.accounts.roles import RoleKind
from shared.jobs.runner import run_due
from tests.factories import make_entry, make_fund, make_user

if TYPE_CHECKING:
    from program.models import Entry, Fund, YearFile

PDF = b"%PDF-1.4 a bill"
SUM = hashlib.sha256(PDF).hexdigest()
KEY = UUID("5a0cbb7e-31b4-4f2c-9a67-0d4e5f2b8c11")


def books() -> tuple[Fund, Fund, Entry]:
    """Return two funds and the entry that has a paper; the year before left $90.00."""
    general = make_fund(code="GEN", name="general fund")
    gift = make_fund(
        code="PRU",
        name="Pruitt gift",
        restricted=True,
        rule={"systems": ["brakes", "tires"], "two_over_cents": 50_000},
    )
    make_entry(("1010", "4010", 9_000, general), on=date(2025, 12, 30), key="import:old gift")
    make_entry(("1010", "4010", 60_000, general), on=date(2026, 2, 3), what="Sunday collection")
    make_entry(("1010", "4010", 20_000, gift), on=date(2026, 2, 5), what="=1+1")
    bill = make_entry(("6010", "1010", 4_000, general), on=date(2026, 3, 1), what="Front pads")
    make_entry(("6050", "1010", 1_250, general), on=date(2026, 3, 2), what="Rags")
    make_entry(("9010", "9020", 500, general), on=date(2026, 3, 3), what="Set aside", key="plan:1")
    return general, gift, bill


def put_paper(entry: Entry, content: bytes = PDF) -> Paper:
    """Keep a paper behind an entry."""
    path = storages["private"].save(f"papers/{entry.pk}.pdf", ContentFile(content))
    return Paper.objects.create(
        program=entry.program,
        entry=entry,
        name="Bill of the counter, March",
        path=path,
        kind="application/pdf",
        size=len(PDF),
        sha256=SUM,
        by=make_user(RoleKind.TREASURER),
    )


def made(**fields: object) -> YearFile:
    """Return the file of 2026, made by a job."""
    days = {"from_on": date(2026, 1, 1), "until_on": date(2026, 12, 31), "key": KEY} | fields
    file = ask_year_file(by=make_user(RoleKind.TREASURER), **days)  # type: ignore[arg-type]
    assert run_due(WORK) == 1
    file.refresh_from_db()
    return file


def content_of(file: YearFile) -> zipfile.ZipFile:
    """Return the zip of a file."""
    with storages["private"].open(file.path) as stored:
        return zipfile.ZipFile(io.BytesIO(stored.read()))
