"""One short write: everything that was checked, in the order in which rows need one another."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

from program.cases.models import Case
from program.households.actions import withhold_cars
from program.households.models import Household
from program.importing import (
    budget_rows,
    custody_rows,
    diagnosis_rows,
    giving_rows,
    inspection_rows,
    people_rows,
    probe_rows,
    shop_rows,
    work_rows,
)
from program.importing.columns import Kind
from program.importing.models import ImportedRow
from program.importing.queries import latest_stays
from program.importing.rows import Key
from program.importing.sheets import SHEETS
from program.ledger.models import Fund
from shared.audit.models import Event
from shared.people.models import Person
from sponsors.register.models import Sponsor
from vehicles.custody.models import Owner
from vehicles.diagnosis.models import Conclusion
from vehicles.inspection.models import Finding, Reading
from vehicles.intake.models import Vehicle
from vehicles.repairs.models import RepairItem
from vehicles.shop.models import Bay

if TYPE_CHECKING:
    from collections.abc import Mapping

    from django.db.models import QuerySet

    from program.importing.batch import Batch
    from program.importing.known import Known
    from program.importing.models import ImportRun

PROGRAM = "program"
STEPS = (
    people_rows.people,
    people_rows.sign_ins,
    shop_rows.shop,
    shop_rows.households,
    shop_rows.vehicles,
    shop_rows.cases,
    custody_rows.papers,
    custody_rows.keys,
    custody_rows.contents,
    inspection_rows.inspections,
    inspection_rows.limits,
    inspection_rows.not_read,
    work_rows.findings,
    diagnosis_rows.diagnoses,
    diagnosis_rows.observations,
    diagnosis_rows.conclusions,
    diagnosis_rows.held,
    diagnosis_rows.experience,
    probe_rows.codes,
    probe_rows.fluids,
    work_rows.items,
    work_rows.needs,
    giving_rows.sponsors,
    giving_rows.pledges,
    giving_rows.funds,
    giving_rows.entries,
    budget_rows.lines,
)


def _named_there() -> dict[str, QuerySet[Any]]:
    """Return by sheet how the objects of earlier imports are read when a new row names them."""
    return {
        "people": Person.objects.select_related("user"),
        "bays": Bay.objects.all(),
        "households": Household.objects.all(),
        "vehicles": Vehicle.objects.all(),
        "owners": Owner.objects.all(),
        "cases": Case.objects.select_related("household", "vehicle"),
        "readings": Reading.objects.select_related("finding"),
        "findings": Finding.objects.all(),
        "conclusions": Conclusion.objects.select_related("finding"),
        "repair_items": RepairItem.objects.select_related("intake__vehicle"),
        "sponsors": Sponsor.objects.all(),
        "funds": Fund.objects.all(),
    }


def write_batch(batch: Batch, run: ImportRun, known: Mapping[Key, Known]) -> None:
    """Write all new rows and what each has become; the caller holds the transaction."""
    fetch_named(batch, known)
    for step in STEPS:
        step(batch)
    rows = [row for sheet in SHEETS for row in batch.rows(sheet)]
    if batch.checked.adopted:
        rows.append(batch.checked.adopted)
    objects = batch.objects | {row.key: batch.program for row in rows if row.sheet == PROGRAM}
    ImportedRow.objects.bulk_create(
        ImportedRow(
            program=batch.program,
            run=run,
            sheet=row.sheet,
            ref=row.ref,
            object_id=objects[row.key].pk,
            fingerprint=row.fingerprint(),
        )
        for row in rows
    )
    cases = [objects[row.key] for row in batch.rows("cases")]
    withhold_cars({case.household_id for case in cases if case.household_id})
    Event.objects.bulk_create(
        Event(
            program=batch.program,
            by=batch.by,
            kind="case",
            object_id=case.pk,
            what="The case came in with an import.",
        )
        for case in cases
    )


def fetch_named(batch: Batch, known: Mapping[Key, Known]) -> None:
    """Read the objects of earlier imports that new rows name: one query a sheet, and two more."""
    wanted: defaultdict[str, set[Key]] = defaultdict(set)
    for key in _names(batch):
        if key in known:
            wanted[key.sheet].add(key)
    readers = _named_there()
    for sheet, keys in wanted.items():
        found = readers[sheet].in_bulk([known[key].id for key in keys])
        batch.objects |= {key: found[known[key].id] for key in keys}
    _fetch_stays(batch, wanted)
    for key in wanted["findings"]:
        batch.findings[key] = batch.objects[key]
    for key in wanted["readings"] | wanted["conclusions"]:
        finding = getattr(batch.objects[key], "finding", None)
        if finding:
            batch.findings[key] = finding


def _names(batch: Batch) -> set[Key]:
    """Return every name that stands in a new row, in each sheet where it could be."""
    return {
        Key(target, ref)
        for sheet in SHEETS.values()
        for column in sheet.columns
        if column.refers
        for row in batch.rows(sheet.name)
        for ref in (row[column.name] if column.kind == Kind.REFS else (row[column.name],))
        if ref
        for target in column.refers
    }


def _fetch_stays(batch: Batch, wanted: Mapping[str, set[Key]]) -> None:
    """Read the stays of earlier cases, and the households of earlier items' stays."""
    cases = {key.ref: batch.objects[key] for key in wanted.get("cases", ())}
    stays = latest_stays([case.vehicle_id for case in cases.values() if case.vehicle_id])
    for ref, case in cases.items():
        if case.vehicle_id in stays:
            batch.stays[ref] = stays[case.vehicle_id]
            if case.household:
                batch.households[stays[case.vehicle_id].pk] = case.household
    items = [batch.objects[key] for key in wanted.get("repair_items", ())]
    by_vehicle = {
        case.vehicle_id: case.household
        for case in Case.objects.filter(vehicle__in={item.intake.vehicle_id for item in items})
        .select_related("household")
        .order_by("opened_on", "pk")
    }
    for item in items:
        household = by_vehicle.get(item.intake.vehicle_id)
        if household:
            batch.households[item.intake_id] = household
