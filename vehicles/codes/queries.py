"""Reading trouble codes: the readings of a stay, and which of them count."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vehicles.codes.kinds import Lamp
from vehicles.codes.models import CodeScan
from vehicles.codes.pasting import Storage
from vehicles.codes.trouble_codes import Severity
from vehicles.codes.urgency import volts_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from fractions import Fraction

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


def stored(counting: Iterable[CodeScan]) -> list[str]:
    """Return the codes of the readings that count, each once, in the order they were read."""
    return list(dict.fromkeys(one.code for scan in counting for one in scan.codes.all()))


def only_pending(counting: Iterable[CodeScan]) -> set[str]:
    """Return the codes of the readings that count which no row has as more than pending."""
    rows = [one for scan in counting for one in scan.codes.all()]
    more = {one.code for one in rows if one.storage != Storage.PENDING}
    return {one.code for one in rows} - more


def whole(scans: Iterable[CodeScan], counting: Sequence[CodeScan]) -> bool:
    """Return whether a code that is not in the readings that count was never set on this stay.

    All modules were read, and nobody cleared the codes before.
    """
    cleared = (one for one in scans if one.cleared_at and not one.withdrawn_at)
    return any(one.complete for one in counting) and all(one in counting for one in cleared)


def lowest_volts(counting: Iterable[CodeScan]) -> Fraction | None:
    """Return the lowest voltage of the battery that was measured with these readings, or None."""
    measured = [volts_of(scan.battery_volts) for scan in counting]
    return min((volts for volts in measured if volts is not None), default=None)
