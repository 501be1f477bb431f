"""Rows of what was read of a car become objects: trouble codes, fluids and what was poured in."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from typing import TYPE_CHECKING

from program.importing.batch import answer, write
from program.importing.diagnosis_rows import signed
from program.importing.probing import signs_of
from vehicles.codes.actions import code_row
from vehicles.codes.kinds import Lamp
from vehicles.codes.models import CodeScan
from vehicles.codes.pasting import parse
from vehicles.fluids.actions import in_short
from vehicles.fluids.levels import Level, Look
from vehicles.fluids.models import FluidReading, FluidRule, TopUp
from vehicles.fluids.values import volume, with_unit
from vehicles.inspection.units import number

if TYPE_CHECKING:
    from program.importing.batch import Batch
    from program.importing.rows import Row

#: A sheet has days and no clock: what was poured in after one reading has settled by the next.
APART, DIRECTLY = dt.timedelta(minutes=30), dt.timedelta(minutes=1)


def codes(batch: Batch) -> None:
    """Write the readings of trouble codes, each code with its meaning as the table says it now."""
    rows = batch.rows("trouble_codes")
    batch.make("trouble_codes", [_scan(batch, row) for row in rows])
    write(
        [
            code_row(batch.objects[row.key], one, signs_of(row))
            for row in rows
            for one in parse(row["codes"]).entered
        ]
    )


def _scan(batch: Batch, row: Row) -> CodeScan:
    volts = signs_of(row).battery_volts
    return CodeScan(
        program=batch.program,
        intake=batch.stays[row["case"]],
        pasted=row["codes"],
        complete=row["complete"],
        battery_volts="" if volts is None else number(volts),
        lamp=row["lamp"] or Lamp.UNKNOWN,
        freeze_frame=row["freeze_frame"],
        note=row["note"],
        by=batch.signer(row, "by"),
        at=batch.moment(row["read"]),
    )


def fluids(batch: Batch) -> None:
    """Write what makers say of fluids, the readings with what follows, and what was poured in."""
    batch.make("fluid_demands", [_rule(batch, row) for row in batch.rows("fluid_demands")])
    rows = batch.rows("fluid_readings")
    before: Counter[tuple[str, str]] = Counter()
    made = []
    for row in rows:
        which = row["case"], row["fluid"]
        made.append(_reading(batch, row, before[which] * APART))
        before[which] += 1
    batch.make("fluid_readings", made)
    write([_top_up(batch, row) for row in rows if row["poured"]])


def _rule(batch: Batch, row: Row) -> FluidRule:
    return FluidRule(
        program=batch.program,
        vehicle=batch.named(row, "vehicle", "vehicles"),
        fluid=row["fluid"],
        specification=row["specification"],
        engine=row["engine"],
        heat=row["heat"],
        stick=not row["no_stick"],
        between=with_unit(row["between"]) if row["between"] else "",
        capacity=with_unit(row["capacity"]) if row["capacity"] else "",
        source=row["source"],
        by=batch.signer(row, "by"),
        at=batch.moment(row["noted"]),
    )


def _reading(batch: Batch, row: Row, later: dt.timedelta) -> FluidReading:
    return FluidReading(
        program=batch.program,
        intake=batch.stays[row["case"]],
        fluid=row["fluid"],
        engine=row["engine"],
        heat=row["heat"],
        level_ground=answer(row["level_ground"]),
        missing_eighths=row["missing_eighths"] if row["level"] == Level.BETWEEN else None,
        level=row["level"],
        looks=row["look"] or Look.CLEAN,
        said=in_short(batch.checked.steps[row.ref]),
        finding=batch.finding(row["finding"]) if row["finding"] else None,
        note=row["note"],
        by=batch.signer(row, "by"),
        read_by=signed(batch, row),
        at=batch.moment(row["read"]) + later,
    )


def _top_up(batch: Batch, row: Row) -> TopUp:
    reading = batch.objects[row.key]
    return TopUp(
        program=batch.program,
        reading=reading,
        typed=row["poured"],
        unit=volume(row["poured"]).unit,
        specification=row["bottle"],
        by=batch.signer(row, "by"),
        at=reading.at + DIRECTLY,
    )
