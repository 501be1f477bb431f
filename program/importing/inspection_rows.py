"""Rows of inspections become objects: the sheets gone through, own limits, points not read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vehicles.inspection.models import Inspection, LocalLimit, NotRead

if TYPE_CHECKING:
    from program.importing.batch import Batch
    from program.importing.rows import Row


def inspections(batch: Batch) -> None:
    """Write how often the cars were gone through."""
    batch.make("inspections", [_inspection(batch, row) for row in batch.rows("inspections")])


def _inspection(batch: Batch, row: Row) -> Inspection:
    """Return one inspection; whoever had it in hand last has ended it."""
    hands = batch.signer(row, "in_hand") or batch.signer(row, "by")
    return Inspection(
        program=batch.program,
        intake=batch.stays[row["case"]],
        depth=row["depth"],
        begun_at=batch.moment(row["begun"]),
        begun_by=batch.signer(row, "by"),
        hands=hands,
        odometer_mi=row["odometer_mi"],
        ended_at=batch.moment(row["ended"]) if row["ended"] else None,
        ended_by=hands if row["ended"] else None,
        unread=row["unread"] if row["ended"] else None,
        stopped_because=row["stopped_because"],
    )


def limits(batch: Batch) -> None:
    """Write the limits that the program sets over the catalogue's."""
    batch.make(
        "local_limits",
        [
            LocalLimit(
                program=batch.program,
                criterion=row["criterion"],
                reason=row["reason"],
                typed=row["value"],
                since_on=row["since"],
                ended_on=row["ended"],
                because=row["because"],
                source=row["source"],
                by=batch.signer(row, "by"),
            )
            for row in batch.rows("local_limits")
        ],
    )


def not_read(batch: Batch) -> None:
    """Write why points were not read."""
    batch.make(
        "not_read",
        [
            NotRead(
                program=batch.program,
                intake=batch.stays[row["case"]],
                criterion=row["criterion"],
                position=row["position"],
                final=row["final"],
                because=row["because"],
                by=batch.signer(row, "by"),
                at=batch.moment(row["on"]),
            )
            for row in batch.rows("not_read")
        ],
    )
