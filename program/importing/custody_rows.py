"""Rows of custody become objects: what was asked of a car, its keys, and what lay in it."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

from program.importing.batch import answer, write
from vehicles.custody.kinds import Joined
from vehicles.custody.models import Content, KeyMove, KeyTag, Standing

if TYPE_CHECKING:
    from program.importing.batch import Batch


def papers(batch: Batch) -> None:
    """Write what was asked about whose the car is."""
    batch.make(
        "papers",
        [
            Standing(
                program=batch.program,
                intake=batch.stays[row["case"]],
                paper=row["paper"],
                joined=row["joined"] or Joined.UNKNOWN,
                lien=row["lien"],
                hold=row["hold"],
                stolen=row["stolen"],
                papers_agree=answer(row["papers_agree"]),
                note=row["note"],
                asked_on=row["asked"],
                asked_by=batch.signer(row, "by"),
            )
            for row in batch.rows("papers")
        ],
    )


def keys(batch: Batch) -> None:
    """Write keys under their tags, each with the first line of its log."""
    rows = batch.rows("keys")
    batch.make(
        "keys",
        [
            KeyTag(
                program=batch.program,
                intake=batch.stays[row["case"]],
                tag=row["tag"],
                keys=1 if row["keys"] is None else row["keys"],
                wheel_lock_key=answer(row["wheel_lock_key"]),
                radio_code=answer(row["radio_code"]),
                holder=row["holder"],
                returned_on=row["returned"],
            )
            for row in rows
        ],
    )
    write(
        [
            KeyMove(
                program=batch.program,
                key_tag=batch.objects[row.key],
                holder=row["holder"],
                at=batch.moment(row["returned"] or row["since"]),
                by=batch.signer(row, "by"),
            )
            for row in rows
        ]
    )


def contents(batch: Batch) -> None:
    """Write what lay in the cars."""
    batch.make(
        "contents",
        [
            Content(
                program=batch.program,
                intake=batch.stays[row["case"]],
                client_key=uuid4(),
                kind=row["kind"],
                what=row["what"],
                where=row["where"],
                listed_on=row["listed"],
                by=batch.signer(row, "by"),
                returned_on=row["returned"],
                returned_to=row["returned_to"],
                decided_by=batch.signer(row, "decided_by"),
                decided_because=row["decided_because"],
            )
            for row in batch.rows("contents")
        ],
    )
