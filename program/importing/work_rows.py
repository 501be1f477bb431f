"""Rows of the work on a car become objects: readings as judged, findings, items, needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from program.importing.batch import write
from program.importing.rows import Key
from vehicles.inspection.catalogue import load
from vehicles.inspection.judged import finding_title, judged_fields, makes_finding
from vehicles.inspection.models import Finding, Reading
from vehicles.operations import catalogue as operations
from vehicles.operations.overlap import access_alone
from vehicles.repairs.models import Need, Prerequisite, RepairItem
from vehicles.repairs.parts import Car, Fitment
from vehicles.repairs.ranking import CodeSeverity
from vehicles.repairs.states import ItemState, NeedState

if TYPE_CHECKING:
    import datetime as dt

    from program.importing.batch import Batch
    from program.importing.rows import Row
    from vehicles.intake.models import Vehicle

LEAST_SEVERE = 4
#: What became of an item's needs, by its state.
_NEED_STATES = {
    ItemState.OPEN: NeedState.OPEN,
    ItemState.DONE: NeedState.FILLED,
    ItemState.WITHDRAWN: NeedState.WITHDRAWN,
}


def findings(batch: Batch) -> None:
    """Write readings as they were judged, the findings that follow, and those diagnosed."""
    readings = batch.rows("readings")
    batch.make("readings", [_reading(batch, row) for row in readings])
    cleared = cleared_on(batch)
    shown = [row for row in readings if makes_finding(batch.checked.judgments[row.ref])]
    follow = {row.key: _follows(batch, row, cleared.get(row.ref)) for row in shown}
    write(list(follow.values()))
    diagnosed = batch.rows("findings")
    batch.make("findings", [_diagnosed(batch, row, cleared.get(row.ref)) for row in diagnosed])
    batch.findings |= follow | {row.key: batch.objects[row.key] for row in diagnosed}
    _link_causes(batch, [*shown, *diagnosed])


def _reading(batch: Batch, row: Row) -> Reading:
    criterion = load()[row["criterion"]]
    judgment = batch.checked.judgments[row.ref]
    return Reading(
        program=batch.program,
        intake=batch.stays[row["case"]],
        criterion=criterion.code,
        position=row["position"],
        typed=row["value"],
        unit=row["unit"] or criterion.unit,
        final=row["final"],
        limit=judgment.limit,
        shipped_limit=judgment.shipped_limit,
        limit_because=judgment.limit_because,
        catalogue_version=load().version,
        read_on=row["read"],
        read_by=row["read_by"],
        recorded_by=batch.by,
        **judged_fields(criterion, judgment),
    )


def _follows(batch: Batch, row: Row, cleared_on: dt.date | None) -> Finding:
    """Return the finding that a reading makes."""
    criterion = load()[row["criterion"]]
    judgment = batch.checked.judgments[row.ref]
    return Finding(
        program=batch.program,
        intake=batch.stays[row["case"]],
        reading=batch.objects[row.key],
        title=finding_title(criterion, row["position"], judgment),
        found_on=row["read"],
        found_by=row["read_by"],
        cleared_on=cleared_on,
        **judged_fields(criterion, judgment),
    )


def _diagnosed(batch: Batch, row: Row, cleared_on: dt.date | None) -> Finding:
    return Finding(
        program=batch.program,
        intake=batch.stays[row["case"]],
        title=row["title"],
        system=row["system"],
        deficiency=row["class"],
        severity=row["severity"] or LEAST_SEVERE,
        never_release=row["never_release"],
        strands=row["strands"],
        sentence=row["evidence"] or row["title"],
        source=row["source"],
        evidence=row["evidence"],
        code_severity=row["trouble_code"] or CodeSeverity.NONE,
        found_on=row["found"],
        found_by=row["found_by"],
        cleared_on=cleared_on,
    )


def cleared_on(batch: Batch) -> dict[str, dt.date]:
    """Return by ref the day on which the last item that clears a finding was done, if all are."""
    done: dict[str, dt.date] = {}
    waiting: set[str] = set()
    for row in batch.rows("repair_items"):
        for ref in row["clears"]:
            if row["state"] == ItemState.DONE:
                done[ref] = max(row["done"], done.get(ref, row["done"]))
            elif row["state"] in ("", ItemState.OPEN):
                waiting.add(ref)
    return {ref: day for ref, day in done.items() if ref not in waiting}


def _link_causes(batch: Batch, rows: list[Row]) -> None:
    linked = []
    for row in rows:
        cause = batch.finding(row["caused_by"]) if row["caused_by"] else None
        if cause:
            finding = batch.findings[row.key]
            finding.caused_by = cause
            linked.append(finding)
    Finding.objects.bulk_update(linked, ["caused_by"], batch_size=400)


def items(batch: Batch) -> None:
    """Write repair items, what they clear, and what comes before them."""
    rows = batch.rows("repair_items")
    batch.make("repair_items", [_item(batch, row) for row in rows])
    clears = RepairItem.findings.through
    write(
        [
            clears(repairitem=batch.objects[row.key], finding=finding)
            for row in rows
            for ref in row["clears"]
            if (finding := batch.finding(ref))
        ]
    )
    write(
        [
            Prerequisite(
                program=batch.program,
                item=batch.objects[row.key],
                first=batch.objects[Key("repair_items", ref)],
            )
            for row in rows
            for ref in row["needs_first"]
        ]
    )


def _item(batch: Batch, row: Row) -> RepairItem:
    return RepairItem(
        program=batch.program,
        intake=batch.stays[row["case"]],
        title=row["title"],
        operation=row["operation"],
        system=row["system"],
        state=row["state"] or ItemState.OPEN,
        labor_low_minutes=row["labor_low_min"],
        labor_likely_minutes=row["labor_likely_min"],
        labor_high_minutes=row["labor_high_min"],
        sublet_cents=row["sublet_usd"] or 0,
        needs_lift=row["needs_lift"],
        caution=row["caution"],
        outside_days=row["outside_days"] or 0,
        done_on=row["done"],
        took_minutes=row["took_min"],
        cost_cents=row["cost_usd"],
        withdrawn_because=row["withdrawn_because"],
        **_access(row),
    )


def _access(row: Row) -> dict[str, Any]:
    """Return what comes off first and dries after it: as the sheet says, else the catalogue."""
    operation = operations.load().get(row["operation"])
    rest = operation.rest_minutes if operation else 0
    access, minutes = row["access"], row["access_min"] or 0
    if operation and not access:
        access = access_alone(operation)
        minutes = min(operation.shared_minutes, row["labor_low_min"]) if access else 0
    rest = rest if row["rest_min"] is None else row["rest_min"]
    return {"access": access, "access_minutes": minutes, "rest_minutes": rest}


def needs(batch: Batch) -> None:
    """Write the parts that items lack, with the facts of car and household they carry."""
    batch.make("parts", [_need(batch, row) for row in batch.rows("parts")])


def _need(batch: Batch, row: Row) -> Need:
    item = batch.named(row, "item", "repair_items")
    stay = item.intake
    household = batch.households.get(stay.pk)
    return Need(
        program=batch.program,
        item=item,
        kind=row["kind"],
        title=row["title"],
        system=row["system"] or item.system,
        quantity=row["quantity"] or 1,
        fitment=fitment(row),
        car=_car(stay.vehicle),
        price_cents=row["price_usd"],
        price_low_cents=row["price_low_usd"],
        price_high_cents=row["price_high_usd"],
        price_source=row["price_source"],
        priced_on=row["priced_on"],
        may_be=list(row["may_be"] or ()),
        approved_text=row["text_for_sponsors"],
        county=household.county if household else "",
        household_kinds=household.kinds if household else [],
        opened_on=row["opened"] or stay.arrived_on,
        state=_NEED_STATES[ItemState(item.state)],
    )


def _car(vehicle: Vehicle) -> dict[str, object]:
    return Car(
        year=vehicle.year,
        make=vehicle.make,
        model=vehicle.model,
        engine=vehicle.engine,
        transmission=vehicle.transmission,
        tire_size=vehicle.tire_size,
    ).to_dict()


def fitment(row: Row) -> dict[str, object]:
    """Return the fitment columns of a part or a pledge as the database holds them."""
    same = (
        "year_from",
        "year_to",
        "make",
        "model",
        "engine",
        "transmission",
        "tire_size",
        "load_index",
        "speed_symbol",
        "bci_group",
        "specification",
        "part_number",
    )
    return Fitment(
        **{name: row[name] for name in same},
        cold_cranking_amps=row["cca"],
        position=row["fits_at"],
        unit=row["unit"] or "each",
    ).to_dict()
