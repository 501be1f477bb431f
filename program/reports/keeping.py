"""Making the file of the books: every row, the statements, and the papers behind each entry."""

from __future__ import annotations

import hashlib
import tempfile
import zipfile
from contextlib import contextmanager
from itertools import chain
from pathlib import PurePosixPath
from typing import IO, TYPE_CHECKING, Any, Final

from django.core.files import File
from django.core.files.storage import storages
from django.utils import timezone
from django.utils.crypto import salted_hmac

from program.budget.pdf import budget_paper
from program.budget.queries import first_month_of, shown, years_of
from program.budget.sheet import budget_csv
from program.ledger.chart import load
from program.ledger.csv_text import csv_text
from program.ledger.fiscal import fiscal_year
from program.ledger.models import Fund
from program.ledger.queries import held_on, turned
from program.reports import checksums, queries
from program.reports.book_sheets import (
    ENTRY_COLUMNS,
    FUND_COLUMNS,
    entry_rows,
    opening_moves,
)
from program.reports.sampling import SAMPLE, drawn
from program.reports.wording import SHEETS_OF_BOOKS, read_me
from program.statements.pdf import Printed
from program.statements.pdf import paper as statements_paper
from program.statements.queries import Report
from program.statements.rows import as_csv

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterable, Iterator

    from program.closing.models import YearFile
    from program.ledger.csv_text import Cell

    Tell = Callable[[int, str], None]

PIECE: Final = 1 << 20
#: What a name of a paper may keep in the zip; the rest becomes a dash.
SAFE: Final = frozenset("abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789._-")


class Bundle:
    """A zip that is being written, and the checksum of each file in it."""

    def __init__(self, into: IO[bytes]) -> None:
        self._zip = zipfile.ZipFile(into, "w", zipfile.ZIP_DEFLATED)
        self.sums: dict[str, str] = {}

    def add(self, name: str, content: bytes | str) -> None:
        """Write one file."""
        data = content.encode() if isinstance(content, str) else content
        self._zip.writestr(name, data)
        self.sums[name] = hashlib.sha256(data).hexdigest()

    def rows(self, name: str, headings: Iterable[str], rows: Iterable[Iterable[Cell]]) -> None:
        """Write one CSV file."""
        self.add(name, csv_text(headings, rows))

    def copy(self, name: str, file: IO[bytes]) -> str:
        """Write a file piece by piece, and return its checksum."""
        digest = hashlib.sha256()
        with self._zip.open(name, "w") as into:
            while piece := file.read(PIECE):
                digest.update(piece)
                into.write(piece)
        self.sums[name] = digest.hexdigest()
        return self.sums[name]

    def close(self) -> None:
        """Write the list of checksums, and end the zip."""
        self._zip.writestr(checksums.NAME, checksums.listed(self.sums))
        self._zip.close()


def make_file(file: YearFile, tell: Tell) -> dict[str, Any]:
    """Write the zip into the private storage; return its path, size, checksum and counts.

    The same file is written at the same place again, so that a killed try leaves nothing behind.
    """
    secret = salted_hmac("year-file", str(file.client_key), algorithm="sha256").hexdigest()[:40]
    path = f"books/{secret}.zip"
    with tempfile.TemporaryFile() as whole:
        with _bundle(whole) as bundle:
            counts = _fill(bundle, file, tell)
        size = whole.tell()
        whole.seek(0)
        digest = hashlib.file_digest(whole, "sha256").hexdigest()
        whole.seek(0)
        kept = storages["private"].save(path, File(whole))
    return {"path": kept, "size": size, "sha256": digest, "counts": counts}


@contextmanager
def _bundle(whole: IO[bytes]) -> Iterator[Bundle]:
    bundle = Bundle(whole)
    yield bundle
    bundle.close()
    whole.seek(0, 2)


def _fill(bundle: Bundle, file: YearFile, tell: Tell) -> dict[str, int]:
    """Write everything, and return how much of it there is."""
    tell(5, "Writing the journal")
    bundle.rows("journal.csv", queries.JOURNAL, queries.journal(file))
    _accounts(bundle, file)
    tell(30, "Writing the sheets that can be read back")
    _sheets(bundle, file)
    tell(50, "Writing the statements")
    _statements(bundle, file)
    _budgets(bundle, file)
    _months(bundle, file)
    tell(60, "Adding the papers")
    counts = _papers(bundle, file)
    counts |= _sample(bundle, file)
    counts["transfers"] = queries.span_rows(file).count()
    bundle.add("README.txt", read_me(file.program.name, file.from_on, file.until_on, counts))
    return counts


def _accounts(bundle: Bundle, file: YearFile) -> None:
    """Write the chart, the funds and every balance."""
    bundle.rows(
        "accounts.csv",
        ("code", "name", "kind", "usual side", "function"),
        [(a.code, a.name, a.kind, a.normal, a.function) for a in load().values()],
    )
    funds = {fund.code: fund for fund in Fund.objects.filter(program=file.program)}
    before = held_on(file.program, _eve(file.from_on)).cells
    span = turned(file.program, file.from_on, file.until_on).cells
    bundle.rows(
        "balances.csv",
        ("fund", "fund name", "account", "account name", "at the start", "moved", "at the end"),
        queries.balance_rows(funds, before, span),
    )


def _sheets(bundle: Bundle, file: YearFile) -> None:
    """Write a zip in the zip that the page of imports takes as it is."""
    funds = list(Fund.objects.filter(program=file.program).order_by("code"))
    refs = {fund.code: fund.code for fund in funds}
    restricted = {fund.code: fund.restricted for fund in funds}
    held = held_on(file.program, _eve(file.from_on))
    opening = opening_moves(held, restricted, load(), on=file.from_on)
    rows = entry_rows(chain(opening, queries.moved(file)), refs, load())
    with tempfile.TemporaryFile() as whole:
        with _bundle(whole) as sheets:
            sheets.rows("funds.csv", FUND_COLUMNS, map(queries.fund_cells, funds))
            sheets.rows("ledger_entries.csv", ENTRY_COLUMNS, rows)
        whole.seek(0)
        bundle.copy(SHEETS_OF_BOOKS, whole)


def _statements(bundle: Bundle, file: YearFile) -> None:
    """Write every statement of the span as whoever asked may see them, as PDF and as CSV."""
    report = Report(file.asked_by, file.program, file.from_on, file.until_on)
    printed = Printed(
        garage=file.program.name,
        sheets=tuple(report.sheets),
        ties=tuple(report.ties),
        from_on=file.from_on,
        until_on=file.until_on,
        reserve=report.reserve,
        by=str(file.asked_by),
        at=timezone.localtime(file.asked_at, file.program.zone),
    )
    bundle.add("statements/statements.pdf", statements_paper(printed))
    for sheet in report.sheets:
        bundle.add(f"statements/{sheet.name}.csv", as_csv(sheet))


def _budgets(bundle: Bundle, file: YearFile) -> None:
    """Write the budget of each fiscal year of the span that has one, beside what happened."""
    program, first_month = file.program, first_month_of(file.program)
    day = timezone.localtime(file.asked_at, program.zone).date()
    first, last = (fiscal_year(on, first_month=first_month) for on in (file.from_on, file.until_on))
    for year in years_of(program):
        if first <= year <= last:
            found = shown(program, year)
            paper = budget_paper(found, garage=program.name, day=day)
            bundle.add(f"budget/{year}.pdf", paper)
            bundle.add(f"budget/{year}.csv", budget_csv(found))


def _months(bundle: Bundle, file: YearFile) -> None:
    zone = file.program.zone
    bundle.rows(
        "months.csv",
        ("month", "shut at", "shut by", "opened again at", "opened by", "why"),
        [
            (
                row.month,
                row.shut_at.astimezone(zone).isoformat(timespec="minutes"),
                str(row.shut_by),
                row.opened_at.astimezone(zone).isoformat(timespec="minutes")
                if row.opened_at
                else "",
                str(row.opened_by or ""),
                row.reason,
            )
            for row in queries.months(file)
        ],
    )


def _papers(bundle: Bundle, file: YearFile) -> dict[str, int]:
    """Copy every paper, and list them; one that is gone or changed is named."""
    listed: list[tuple[Cell, ...]] = []
    lost = 0
    for number, paper in enumerate(queries.papers(file), start=1):
        ending = PurePosixPath(paper.path).suffix
        name = f"papers/{paper.entry_id}-{number}-{safe(paper.name)}{ending}"
        try:
            with queries.stored(paper.path) as content:
                as_kept = bundle.copy(name, content) == paper.sha256
        except OSError:
            name, as_kept = "", False
        lost += not as_kept
        state = "as it was kept" if as_kept else "changed" if name else "gone"
        listed.append((paper.entry_id, paper.name, name, paper.size, paper.sha256, state))
    headings = ("entry", "name", "file", "bytes", "sha256 when kept", "state")
    bundle.rows("papers.csv", headings, listed)
    return {"papers": len(listed), "papers_lost": lost}


def _sample(bundle: Bundle, file: YearFile) -> dict[str, int]:
    """Write the spends without a paper, and a sample of all spends."""
    spends = dict(queries.spends(file))
    bare = [cells for cells in spends.values() if not cells["papers"]]
    seed = file.until_on.toordinal()
    sample = [spends[pk] for pk in drawn(spends, count=SAMPLE, seed=seed)]
    _table(bundle, "without_paper.csv", bare)
    _table(bundle, "sample.csv", sample)
    return {"spends": len(spends), "without_paper": len(bare), "seed": seed}


def _table(bundle: Bundle, name: str, rows: list[dict[str, Cell]]) -> None:
    headings = ("entry", "day", "what", "account", "amount", "fund", "papers")
    bundle.rows(name, headings, [[row[heading] for heading in headings] for row in rows])


def safe(name: str) -> str:
    """Return a file's name with a dash for whatever another system may stumble over."""
    kept = "".join(letter if letter in SAFE else "-" for letter in name)
    return kept.lstrip(".-") or "paper"


def _eve(on: dt.date) -> dt.date:
    return on - on.resolution
