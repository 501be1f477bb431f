"""Reading trouble codes: the readings of a stay, and which of them count."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vehicles.codes.kinds import Lamp
from vehicles.codes.models import CodeScan
from vehicles.codes.trouble_codes import Severity

if TYPE_CHECKING:
    from collections.abc import Iterable

    from vehicles.intake.models import Intake


def scans_of(intake: Intake) -> list[CodeScan]:
    """Return the readings of a stay with their codes, the newest first; withdrawn ones too."""
    rows = (
        CodeScan.objects.filter(intake=intake)
        .select_related("by", "cleared_by")
        .prefetch_related("codes")
    )
    return list(rows.order_by("-at", "-pk"))


def counted(scans: Iterable[CodeScan]) -> list[CodeScan]:
    """Return the readings that say what the car has stored now, of all of them, newest first.

    Those are the newest one and, while it is not of all modules, the ones before it; none from
    before the codes were cleared.
    """
    found: list[CodeScan] = []
    for scan in scans:
        if scan.withdrawn_at:
            continue
        if found and scan.cleared_at:
            break
        found.append(scan)
        if scan.complete:
            break
    return found


def stop_words(scans: Iterable[CodeScan]) -> list[str]:
    """Return why a car is not driven, from the readings that count; nothing where it may be."""
    said: list[str] = []
    for scan in scans:
        if scan.lamp == Lamp.FLASHING:
            said.append("The check-engine lamp flashes: the engine misfires.")
        stopping = [one for one in scan.codes.all() if one.severity == Severity.STOP]
        said += [f"{one.code}: {one.meaning or 'meaning not known'}." for one in stopping]
    return list(dict.fromkeys(said))
