"""Rows of the shop and of its cases become objects: bays, households, vehicles, stays."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.cases.models import Case
from program.households.models import Household
from program.households.need import Circumstances, need_weight
from program.households.stages import Stage, decide_by
from program.importing.batch import answer, write
from shared.outbox.contact import Channel
from shared.outbox.models import Address
from vehicles.custody.conditions import Mobility, Step
from vehicles.custody.kinds import SignedHow
from vehicles.custody.models import Condition, Consent, Owner
from vehicles.intake import vin
from vehicles.intake.models import Intake, Vehicle
from vehicles.shop.kinds import EquipmentKind
from vehicles.shop.models import Bay, Equipment, Space

if TYPE_CHECKING:
    import datetime as dt

    from program.importing.batch import Batch
    from program.importing.rows import Row


#: Columns of a vehicle that are kept under their own name.
_AS_TYPED = (
    *("vin_note", "year", "make", "model", "engine", "transmission", "tire_size", "body"),
    *("fuel", "front_brakes", "rear_brakes", "plate", "plate_state"),
)


def shop(batch: Batch) -> None:
    """Write bays, spaces and equipment."""
    batch.make(
        "bays",
        [
            Bay(
                program=batch.program,
                name=row["name"],
                has_lift=row["has_lift"],
                closed_on=row["closed"],
            )
            for row in batch.rows("bays")
        ],
    )
    batch.make(
        "spaces",
        [
            Space(
                program=batch.program,
                name=row["name"],
                takes_dead=row["takes_dead"],
                indoors=row["indoors"],
                closed_on=row["closed"],
            )
            for row in batch.rows("spaces")
        ],
    )
    batch.make(
        "equipment",
        [_equipment(batch, row) for row in batch.rows("equipment")],
    )


def _equipment(batch: Batch, row: Row) -> Equipment:
    kind = EquipmentKind(row["kind"] or EquipmentKind.OTHER)
    return Equipment(
        program=batch.program,
        name=row["name"],
        kind=kind,
        bay=batch.named(row, "bay", "bays"),
        inspected_on=row["inspected"],
        due_on=row["due"],
        interval_months=kind.interval_months,
        tagged_out=row["tagged_out"],
        tagged_out_because=row["tagged_out_because"] or "",
    )


def households(batch: Batch) -> None:
    """Write households, each with its address and the points of its need."""
    rows = batch.rows("households")
    addresses = [_address(batch, row) for row in rows]
    write(addresses)
    waiting = _waiting_since(batch)
    batch.make(
        "households",
        [
            _household(batch, row, address, waiting.get(row.ref))
            for row, address in zip(rows, addresses, strict=True)
        ],
    )


def _address(batch: Batch, row: Row) -> Address:
    return Address(
        program=batch.program,
        channel=row["channel"],
        email=row["email"],
        phone=row["phone"],
        language=row["language"] or "en",
        says=row["may_say"],
        hours=row["call_hours"],
        speaks_for=row["speaks_for"],
        barred=row["barred"],
    )


def _waiting_since(batch: Batch) -> dict[str, dt.date]:
    """Return the day on which the first open case of each household began."""
    first: dict[str, dt.date] = {}
    for row in batch.rows("cases"):
        if row["household"] and not row["closed"]:
            first[row["household"]] = min(row["opened"], first.get(row["household"], row["opened"]))
    return first


def _household(batch: Batch, row: Row, address: Address, since: dt.date | None) -> Household:
    told = Circumstances(
        children=row["children"] or 0,
        works_by_car=row["works_by_car"],
        cares_for_someone=row["cares_for_someone"],
        no_transit=row["no_transit"],
        days_waiting=max((batch.today - since).days, 0) if since else 0,
        threat_on=row["threat_on"],
    )
    need = need_weight(told, today=batch.today)
    return Household(
        program=batch.program,
        name=row["name"],
        adults=row["adults"] or 1,
        children=told.children,
        county=row["county"],
        kinds=list(row["kinds"]),
        address=address,
        safe_contact_on=row["safe_contact_asked"],
        miles_per_week=row["miles_per_week"] or 0,
        stage=row["stage"],
        stage_since_on=row["stage_since"],
        decide_by_on=row["decide_by"] or decide_by(Stage(row["stage"]), row["stage_since"]),
        need_weight=need.weight,
        need_points={point.key: point.points for point in need.points},
        threat_on=row["threat_on"],
    )


def vehicles(batch: Batch) -> None:
    """Write vehicles and their owners."""
    batch.make(
        "vehicles",
        [
            Vehicle(
                program=batch.program,
                vin=vin.compact(row["vin"]),
                **{name: row[name] for name in _AS_TYPED},
                power_brakes=answer(row["power_brakes"]),
            )
            for row in batch.rows("vehicles")
        ],
    )
    batch.make(
        "owners",
        [
            Owner(
                program=batch.program,
                vehicle=batch.named(row, "vehicle", "vehicles"),
                name=row["name"],
                kind=row["kind"],
                paper_seen_on=row["paper_seen"],
            )
            for row in batch.rows("owners")
        ],
    )


def cases(batch: Batch) -> None:
    """Write cases, the stays of those whose car came in, their condition, and consents."""
    rows = batch.rows("cases")
    batch.make("cases", [_case(batch, row) for row in rows])
    stays = {row.ref: _stay(batch, row) for row in rows if row["arrived"]}
    write(list(stays.values()))
    batch.stays |= stays
    for row in rows:
        household = batch.objects[row.key].household
        if row.ref in stays and household:
            batch.households[stays[row.ref].pk] = household
    _conditions(batch)
    batch.make(
        "consents",
        [
            Consent(
                program=batch.program,
                intake=batch.stays[row["case"]],
                owner=batch.named(row, "owner", "owners"),
                act=row["act"],
                given_on=row["given"],
                until_on=row["until"],
                how=row["how"] or SignedHow.IMPORTED,
                language=row["language"] or "en",
                witness=row["witness"],
                recorded_by=batch.by,
            )
            for row in batch.rows("consents")
        ],
    )


def _case(batch: Batch, row: Row) -> Case:
    return Case(
        program=batch.program,
        number=row["number"],
        household=batch.named(row, "household", "households"),
        vehicle=batch.named(row, "vehicle", "vehicles"),
        opened_on=row["opened"],
        promised_on=row["promised"],
        next_word_on=row["next_word"],
        closed_on=row["closed"],
        closed_because=row["closed_because"],
    )


def _stay(batch: Batch, row: Row) -> Intake:
    household = batch.named(row, "household", "households")
    return Intake(
        program=batch.program,
        vehicle=batch.named(row, "vehicle", "vehicles"),
        arrived_on=row["arrived"],
        left_on=row["left"],
        complaint=row["complaint"],
        arrived_by=row["arrived_by"],
        driver=row["driver"],
        sleeps_in=answer(row["sleeps_in"]),
        odometer_mi=row["odometer_mi"],
        odometer_because=row["odometer_because"],
        fuel_eighths=row["fuel_eighths"],
        lamps=list(row["lamps"]),
        miles_per_week=household.miles_per_week if household else 0,
    )


def _conditions(batch: Batch) -> None:
    """Write where each vehicle stands: by its open case, else by its latest one."""
    latest: dict[int, Row] = {}
    for row in sorted(batch.rows("cases"), key=lambda row: (not row["closed"], row["opened"])):
        if row["vehicle"]:
            latest[batch.named(row, "vehicle", "vehicles").pk] = row
    known = {one.vehicle_id: one for one in Condition.objects.filter(vehicle__in=list(latest))}
    for vehicle_id, condition in known.items():
        _set_condition(batch, condition, latest[vehicle_id])
        condition.version += 1
    fields = ["step", "mobility", "place", "since_at", "version"]
    Condition.objects.bulk_update(known.values(), fields, batch_size=100)
    fresh = {batch.objects[row.key].pk for row in batch.rows("vehicles")} | set(latest)
    made = [Condition(program=batch.program, vehicle_id=pk) for pk in sorted(fresh - set(known))]
    for condition in made:
        if condition.vehicle_id in latest:
            _set_condition(batch, condition, latest[condition.vehicle_id])
    write(made)


def _set_condition(batch: Batch, condition: Condition, row: Row) -> None:
    condition.step = row["step"] or (Step.ON_LOT if row["arrived"] else Step.EXPECTED)
    condition.mobility = row["mobility"] or Mobility.DRIVES
    condition.place = row["place"]
    condition.since_at = batch.moment(row["left"] or row["arrived"] or row["opened"])


def channel(row: Row) -> Channel:
    """Return how a sponsor is reached: by mail where there is an address, else by phone or post."""
    if row["email"]:
        return Channel.EMAIL
    return Channel.PHONE if row["phone"] else Channel.POST
