"""What the database holds, read once before sheets are checked; and what a new row names there."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any

from program.budget.models import BudgetLine
from program.budget.queries import first_month_of
from program.cases.models import Case
from program.importing.known import Facts, Known, Stay
from program.importing.models import ImportedRow
from program.importing.rows import Key
from program.importing.sheets import SHEETS
from program.ledger.models import Entry, Fund, ShutMonth
from program.ledger.queries import held, pure_fund
from sponsors.register.models import Sponsor
from vehicles.custody.models import Owner
from vehicles.diagnosis.models import Conclusion
from vehicles.inspection.models import Finding, LocalLimit, Reading
from vehicles.inspection.queries import fitting
from vehicles.intake.models import Intake, Vehicle
from vehicles.repairs.models import RepairItem
from vehicles.shop.models import Bay, Space

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from django.db import models

    from program.importing.models import ImportRun
    from shared.accounts.models import Program
    from vehicles.inspection.criteria import Override

COUNTED = ("new", "known", "left_out")
#: The field that may stand only once, by sheet.
ONCE: dict[str, tuple[type[models.Model], str]] = {
    "bays": (Bay, "name"),
    "spaces": (Space, "name"),
    "vehicles": (Vehicle, "vin"),
    "cases": (Case, "number"),
    "sponsors": (Sponsor, "name"),
    "funds": (Fund, "code"),
    "ledger_entries": (Entry, "key"),
}
#: How a row of a sheet leads to its vehicle.
VEHICLE: dict[str, tuple[type[models.Model], str]] = {
    "owners": (Owner, "vehicle_id"),
    "readings": (Reading, "intake__vehicle_id"),
    "findings": (Finding, "intake__vehicle_id"),
    "conclusions": (Conclusion, "finding__intake__vehicle_id"),
    "repair_items": (RepairItem, "intake__vehicle_id"),
}


def known_rows(program: Program) -> dict[Key, Known]:
    """Return what earlier imports made of their rows; one query."""
    rows = ImportedRow.objects.filter(program=program)
    fields = ("sheet", "ref", "object_id", "fingerprint")
    return {
        Key(sheet, ref): Known(object_id, fingerprint)
        for sheet, ref, object_id, fingerprint in rows.values_list(*fields)
    }


def stamp(program: Program) -> int:
    """Return a number that grows with each import, so that a check can be seen to be stale."""
    last = ImportedRow.objects.filter(program=program).order_by("-pk").values_list("pk", flat=True)
    return last.first() or 0


def facts(program: Program | None) -> Facts:
    """Return what is there already; a fixed number of queries, none on an empty database."""
    if program is None:
        return Facts()
    known = known_rows(program)
    refs: defaultdict[str, dict[int, str]] = defaultdict(dict)
    for key, one in known.items():
        refs[key.sheet][one.id] = key.ref
    arrived = _arrivals(program)
    open_cases = Case.objects.filter(program=program, closed_on__isnull=True)
    readings = Reading.objects.filter(program=program, finding__isnull=True)
    shut = ShutMonth.objects.filter(program=program, opened_at=None)
    return Facts(
        program=program_values(program),
        known=known,
        taken=_taken(program),
        stays=_stays(program, refs, arrived),
        vehicles=_vehicles(program, refs),
        sound=frozenset(
            refs["readings"][pk]
            for pk in readings.values_list("pk", flat=True)
            if pk in refs["readings"]
        ),
        limits=_limits(program),
        in_case=_refs_of(open_cases.values_list("vehicle_id", flat=True), refs["vehicles"]),
        in_stay=_refs_of((pk for pk, (_, left) in arrived.items() if not left), refs["vehicles"]),
        funds={
            refs["funds"][fund.pk]: pure_fund(fund)
            for fund in Fund.objects.filter(program=program)
            if fund.pk in refs["funds"]
        },
        held=held(program),
        shut=frozenset(shut.values_list("month", flat=True)),
        budget=_budget(program),
        first_month=first_month_of(program),
    )


def _budget(program: Program) -> frozenset[tuple[int, str, str, str]]:
    """Return year, account, fund code and function of every line of a budget; one query."""
    rows = BudgetLine.objects.filter(program=program).order_by()
    fields = ("year", "account", "fund__code", "function")
    return frozenset(
        (year, account, code or "", function)
        for year, account, code, function in rows.values_list(*fields)
    )


def program_values(program: Program) -> dict[str, str]:
    """Return the program under the columns of its sheet."""
    return {
        "name": program.name,
        "town": program.town,
        "state": program.region,
        "postal_address": program.postal_address,
        "phone": program.phone,
        "email": program.email,
        "time_zone": program.time_zone,
    }


def latest_stays(vehicle_ids: Any) -> dict[int, Intake]:
    """Return the stay of each vehicle that is open, or else its last one."""
    stays = Intake.objects.filter(vehicle__in=vehicle_ids).select_related("vehicle")
    return {stay.vehicle_id: stay for stay in stays.order_by("arrived_on", "pk")}


def _limits(program: Program) -> tuple[tuple[Override, dt.date | None], ...]:
    """Return the program's own limits with the day each ended, None while it counts."""
    rows = fitting(LocalLimit.objects.filter(program=program))
    return tuple((override, row.ended_on) for row, override in rows if override)


def _arrivals(program: Program) -> dict[int, tuple[dt.date, dt.date | None]]:
    """Return the days of the last stay by vehicle."""
    stays = Intake.objects.filter(program=program).order_by("arrived_on", "pk")
    return {
        pk: (arrived, left)
        for pk, arrived, left in stays.values_list("vehicle_id", "arrived_on", "left_on")
    }


def _taken(program: Program) -> Mapping[str, frozenset[str]]:
    return {
        sheet: frozenset(
            model._default_manager.filter(program=program)
            .exclude(**{field: ""})
            .values_list(field, flat=True)
        )
        for sheet, (model, field) in ONCE.items()
    }


def _stays(
    program: Program,
    refs: Mapping[str, Mapping[int, str]],
    arrived: Mapping[int, tuple[dt.date, dt.date | None]],
) -> dict[str, Stay]:
    cases = Case.objects.filter(program=program).values_list("pk", "vehicle_id")
    return {
        refs["cases"][pk]: Stay(
            refs["vehicles"].get(vehicle_id or 0, ""),
            *arrived.get(vehicle_id or 0, (None, None)),
        )
        for pk, vehicle_id in cases
        if pk in refs["cases"]
    }


def _vehicles(program: Program, refs: Mapping[str, Mapping[int, str]]) -> dict[Key, str]:
    found: dict[Key, str] = {}
    for sheet, (model, path) in VEHICLE.items():
        rows = model._default_manager.filter(program=program)
        for pk, vehicle_id in rows.values_list("pk", path):
            if pk in refs[sheet]:
                found[Key(sheet, refs[sheet][pk])] = refs["vehicles"].get(vehicle_id, "")
    return found


def _refs_of(ids: Any, refs: Mapping[int, str]) -> frozenset[str]:
    return frozenset(refs[pk] for pk in ids if pk in refs)


def counts(run: ImportRun) -> list[dict[str, Any]]:
    """Return how many rows of each sheet were new, known and left out, in the order of sheets."""
    return [
        {"sheet": name, **{word: run.counts[name].get(word, 0) for word in COUNTED}}
        for name in SHEETS
        if name in run.counts
    ]


def notes(run: ImportRun) -> list[str]:
    """Return what an import only wants known, such as a fund that a fact left below zero."""
    return [note for count in run.counts.values() for note in count.get("notes", ())]


def job_key(run: ImportRun) -> str:
    """Return the key of the job that checks an import."""
    return f"import:{run.pk}"


def written(run: ImportRun) -> int:
    """Return how many rows an import wrote."""
    return sum(count["new"] for count in counts(run))
