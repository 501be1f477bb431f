"""What the page of trouble codes shows, in a number of queries that doesn't grow with it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from vehicles.codes.pasting import Storage, parse
from vehicles.codes.queries import counted, scans_of, stop_words
from vehicles.codes.trouble_codes import Severity, decode
from vehicles.codes.urgency import Signs, first_words, volts_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shared.say import Say
    from vehicles.codes.models import CodeScan, TroubleCode
    from vehicles.codes.pasting import Unread
    from vehicles.codes.trouble_codes import Decoded
    from vehicles.intake.models import Intake


@dataclass(frozen=True, kw_only=True)
class CodeRow:
    """One code as the list shows it: as it was kept, and what its structure says."""

    kept: TroubleCode
    known: Decoded
    storage: Storage
    remark: str

    @property
    def severity(self) -> Severity | None:
        """The severity as it was kept; None where no table has the code."""
        return Severity(self.kept.severity) if self.kept.severity else None


@dataclass(frozen=True, kw_only=True)
class ScanRow:
    """One reading with its codes, the worst first, and all that is said of it."""

    scan: CodeScan
    counts: bool
    newest: bool
    words: tuple[Say, ...]
    rows: tuple[CodeRow, ...]
    unread: tuple[Unread, ...]


@dataclass(frozen=True, kw_only=True)
class CodesPage:
    """All readings of a stay, the newest first, and why the car is not driven."""

    scans: tuple[ScanRow, ...]
    stops: Sequence[str]

    @property
    def counting(self) -> tuple[ScanRow, ...]:
        """The readings that say what the car has stored now."""
        return tuple(one for one in self.scans if one.counts)

    @property
    def earlier(self) -> tuple[ScanRow, ...]:
        """The readings that no longer count."""
        return tuple(one for one in self.scans if not one.counts)


def codes_page(intake: Intake) -> CodesPage:
    """Return what the page of trouble codes shows."""
    scans = scans_of(intake)
    counting = counted(scans)
    rows = tuple(_scan(one, counts=one in counting, newest=one in counting[:1]) for one in scans)
    return CodesPage(scans=rows, stops=stop_words(counting))


def _scan(scan: CodeScan, *, counts: bool, newest: bool) -> ScanRow:
    found = parse(scan.pasted)
    signs = Signs(battery_volts=volts_of(scan.battery_volts))  # the others stand in the note
    remarks = {(one.code, one.storage): one.remark for one in found.entered}
    rows = [_code(kept, remarks) for kept in scan.codes.all()]
    rows.sort(key=_worst_first)
    return ScanRow(
        scan=scan,
        counts=counts,
        newest=newest,
        words=first_words((one.kept.code for one in rows), signs),
        rows=tuple(rows),
        unread=found.unread,
    )


def _code(kept: TroubleCode, remarks: dict[tuple[str, Storage], str]) -> CodeRow:
    storage = Storage(kept.storage)
    return CodeRow(
        kept=kept,
        known=decode(kept.code),
        storage=storage,
        remark=remarks.get((kept.code, storage), ""),
    )


def _worst_first(row: CodeRow) -> tuple[int, int]:
    order = list(Severity)
    return (order.index(row.severity) if row.severity else len(order), row.kept.pk)
