"""The papers of a claim as files: one archive with all of them, kept privately."""

from __future__ import annotations

import hashlib
import re
import tempfile
import zipfile
from dataclasses import dataclass, field
from typing import IO, TYPE_CHECKING

from django.core.files.base import ContentFile, File
from django.core.files.storage import storages
from django.utils.crypto import salted_hmac

from program.ledger.csv_text import amount, csv_text
from program.papers.models import Paper

if TYPE_CHECKING:
    from collections.abc import Iterable

    from django.core.files.storage import Storage

    from program.grants.models import Claim
    from program.grants.sheet import ClaimSheet

CHUNK = 1 << 20
IN_MEMORY = 8 << 20  # bytes of an archive that need no file while it is put together
LONGEST_NAME = 60
DAY_ZERO = (1980, 1, 1, 0, 0, 0)  # an archive of the same papers has the same bytes


@dataclass(frozen=True, kw_only=True)
class Filed:
    """One paper in the archive, or why an entry has none there."""

    entry: int
    path: str = ""
    sha256: str = ""
    lacks: str = ""


@dataclass(kw_only=True)
class _Archive:
    """A zip file that remembers the fingerprint of what it holds."""

    file: zipfile.ZipFile
    sums: list[tuple[str, str]] = field(default_factory=list)

    def add(self, path: str, content: bytes) -> None:
        self.sums.append((path, hashlib.sha256(content).hexdigest()))
        self.file.writestr(_info(path), content)

    def copy(self, path: str, source: IO[bytes]) -> str:
        """Copy a file in pieces, since a scan may be large, and return its fingerprint."""
        seen = hashlib.sha256()
        with self.file.open(_info(path), "w") as into:
            while piece := source.read(CHUNK):
                seen.update(piece)
                into.write(piece)
        self.sums.append((path, seen.hexdigest()))
        return seen.hexdigest()


def _info(path: str) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(path, DAY_ZERO)
    info.compress_type = zipfile.ZIP_DEFLATED if path.endswith(".csv") else zipfile.ZIP_STORED
    return info


def kept_name(claim: Claim, kind: str) -> str:
    """Return the name under which a claim's `pdf` or `zip` is kept; nobody guesses it."""
    secret = salted_hmac("claim", f"{claim.pk}", algorithm="sha256").hexdigest()[:40]
    return f"{secret[:2]}/claim-{secret}.{kind}"


def storage() -> Storage:
    """Return where private files are kept."""
    return storages["private"]


def keep_papers(claim: Claim, sheet: ClaimSheet, pdf: bytes) -> list[Filed]:
    """Put the paper of a claim and the archive of all its papers into the private storage.

    The archive holds the paper, the costs as CSV, the papers behind the entries with their list,
    the entries that have none, and `SHA256SUMS` in the form that `sha256sum -c` reads.
    """
    with tempfile.SpooledTemporaryFile(max_size=IN_MEMORY) as into:
        with zipfile.ZipFile(into, "w") as opened:
            archive = _Archive(file=opened)
            archive.add("claim.pdf", pdf)
            archive.add("costs.csv", costs_csv(sheet).encode())
            filed = _papers(archive, sheet)
            archive.add("papers.csv", _papers_csv(filed).encode())
            archive.add("entries-without-paper.csv", _lacking_csv(filed).encode())
            sums = "".join(f"{seen}  {path}\n" for path, seen in archive.sums)
            opened.writestr(_info("SHA256SUMS"), sums)
        into.seek(0)
        _keep(kept_name(claim, "zip"), File(into))
    _keep(kept_name(claim, "pdf"), ContentFile(pdf))
    return filed


def costs_csv(sheet: ClaimSheet) -> str:
    """Return the costs of a claim as CSV, a line for each; no cell starts a formula."""
    headings = ("day", "entry", "what", "case", "account", "fund", "amount")
    return csv_text(
        headings,
        (
            (cost.on, cost.entry, cost.what, cost.case, cost.account, cost.fund, amount(cost.cents))
            for cost in sheet.costs
        ),
    )


def _papers(archive: _Archive, sheet: ClaimSheet) -> list[Filed]:
    """Copy every paper behind the entries, and say which entry has none."""
    entries = sorted({cost.entry for cost in sheet.costs})
    rows = list(Paper.objects.filter(entry__in=entries).order_by("entry_id", "pk"))
    filed = [_paper(archive, row) for row in rows]
    there = {row.entry_id for row in rows}
    filed += [Filed(entry=entry, lacks="no paper") for entry in entries if entry not in there]
    return sorted(filed, key=lambda one: (one.entry, one.path))


def _paper(archive: _Archive, row: Paper) -> Filed:
    if not storage().exists(row.path):
        return Filed(entry=row.entry_id, lacks=f"the file of “{row.name}” is gone")
    path = f"papers/entry-{row.entry_id}/{row.pk}-{_plain(row.name)}"
    with storage().open(row.path) as source:
        seen = archive.copy(path, source)
    lacks = "" if seen == row.sha256 else f"“{row.name}” is not the file that was filed"
    return Filed(entry=row.entry_id, path=path, sha256=seen, lacks=lacks)


def _plain(name: str) -> str:
    """Return a file name that every system takes."""
    return re.sub(r"[^A-Za-z0-9._-]+", "-", name).strip("-.")[-LONGEST_NAME:] or "paper"


def _papers_csv(filed: Iterable[Filed]) -> str:
    rows = ((one.entry, one.path, one.sha256) for one in filed if one.path)
    return csv_text(("entry", "file", "sha256"), rows)


def _lacking_csv(filed: Iterable[Filed]) -> str:
    return csv_text(("entry", "why"), ((one.entry, one.lacks) for one in filed if one.lacks))


def _keep(name: str, content: File[bytes]) -> None:
    kept = storage().save(name, content)
    if kept != name:
        raise RuntimeError(f"The private storage must overwrite, but kept {name} as {kept}.")
