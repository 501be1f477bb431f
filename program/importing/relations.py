"""What rows must hold of one another: refs that lead somewhere, one car, no circles, no doubles.

>>> from program.importing.known import Facts, World
>>> from program.importing.rows import Row
>>> row = Row(sheet="repair_items", number=2, ref="i1",
...     values={"title": "Thermostat", "needs_first": ("i1",)})
>>> [fault.sentence for fault in circles([row])]
['“Thermostat” needs itself.']
>>> world = World(rows={row.key: row}, facts=Facts())
>>> [fault.sentence for fault in refs(Row(sheet="hours", number=2, ref="w1",
...     values={"person": "p1"}), world)]
['There is no row “p1” in people.']
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final

from program.importing.columns import Kind
from program.importing.rows import Key
from program.importing.sheets import SHEETS
from vehicles.repairs import prerequisites

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from program.importing.columns import Column
    from program.importing.known import World
    from program.importing.rows import Fault, Row

#: Columns that name a row together, so that two rows may not hold the same in all of them.
ONCE: Final[Mapping[str, tuple[tuple[str, ...], ...]]] = MappingProxyType(
    {
        "hours": (("person", "week"),),
        "bays": (("name",),),
        "spaces": (("name",),),
        "vehicles": (("vin",),),
        "owners": (("vehicle", "name", "kind"),),
        "cases": (("number",),),
        "consents": (("case", "owner", "act"),),
        "papers": (("case",),),
        "keys": (("case",), ("tag", "returned")),
        "inspections": (("case", "depth", "ended"),),
        "local_limits": (("criterion", "reason", "since"),),
        "readings": (("case", "criterion", "position", "final"),),
        "not_read": (("case", "criterion", "position", "final"),),
        "diagnoses": (("case", "complaint", "ended"),),
        "observations": (("diagnosis", "check"),),
        "conclusions": (("diagnosis", "fault"), ("finding",)),
        "held": (("diagnosis",),),
        "fluid_demands": (("vehicle", "fluid"),),
        "sponsors": (("name",),),
        "funds": (("code",),),
        "opening_balances": (("fund", "account"),),
    }
)
#: Sheets whose rows belong to a stay, so that the car has to have come in.
_OF_A_STAY: Final = frozenset(
    {
        *("consents", "papers", "keys", "contents", "inspections"),
        *("readings", "not_read", "findings", "repair_items"),
        *("diagnoses", "trouble_codes", "fluid_readings"),
    }
)
#: What a row may name beside the car of its stay.
_OF_NO_CAR: Final = (("cases",), ("people",))
_MOST_CIRCLES: Final = 50  # of several rows each; whoever has more sees the rest next time
#: The column that holds the day of what was asked, seen or found.
_DAYS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "papers": "asked",
        "keys": "since",
        "contents": "listed",
        "inspections": "begun",
        "readings": "read",
        "not_read": "on",
        "diagnoses": "begun",
        "trouble_codes": "read",
        "fluid_readings": "read",
        "findings": "found",
    }
)


def targets(column: Column, row: Row, world: World) -> list[Key]:
    """Return the rows that a cell names; of several sheets the one that has the ref."""
    named = row[column.name] or ()
    return [
        next(
            (key for sheet in column.refers if world.has(key := Key(sheet, ref))),
            Key(column.refers[0], ref),
        )
        for ref in ((named,) if isinstance(named, str) else named)
    ]


def refs(row: Row, world: World) -> Iterator[Fault]:
    """Yield a fault for each name of a row that is not there, or that a person left out."""
    for column in SHEETS[row.sheet].columns:
        if column.kind not in (Kind.REF, Kind.REFS):
            continue
        for key in targets(column, row, world):
            if world.has(key):
                continue
            out = [one for sheet in column.refers if (one := Key(sheet, key.ref)) in world.left_out]
            if out:
                yield row.fault(
                    column.name,
                    f"The row {out[0]} was left out, and this row names it.",
                    f"Leave {row.key} out too, or keep {out[0]}.",
                )
            else:
                yield row.fault(
                    column.name,
                    f"There is no row “{key.ref}” in {' or '.join(column.refers)}.",
                    "Correct the ref, or add the row.",
                )


def one_car(row: Row, world: World) -> Iterator[Fault]:
    """Yield what shows that a row mixes two cars, or stands before the car came in."""
    if row.sheet not in _OF_A_STAY or not row["case"]:
        return
    stay = world.stay(row["case"])
    if stay is None:
        return
    if stay.arrived is None:
        yield row.fault(
            "case",
            f"The car of {row['case']} has not arrived.",
            "Fill arrived in the sheet cases.",
        )
        return
    yield from _too_early(row, stay.arrived)
    for column in SHEETS[row.sheet].columns:
        if column.refers and column.refers not in _OF_NO_CAR:
            for key in targets(column, row, world):
                if world.has(key) and world.vehicle(key) != stay.vehicle:
                    yield row.fault(
                        column.name,
                        f"{key} belongs to another car than {row['case']}.",
                        "Name a row of the same car.",
                    )


def _too_early(row: Row, arrived: date) -> Iterator[Fault]:
    column = _DAYS.get(row.sheet, "")
    day = row[column]
    if day and day < arrived:
        yield row.fault(
            column,
            f"{day} is before the car came in, {arrived}.",
            "Correct the day, or the day of arrival in the sheet cases.",
        )


def twice(rows: Sequence[Row], world: World) -> Iterator[Fault]:
    """Yield a fault for each row that says again what stands once, here or in the database."""
    for names in ONCE.get(rows[0].sheet, ()) if rows else ():
        seen: dict[tuple[Any, ...], Row] = {}
        taken = world.facts.taken.get(rows[0].sheet, frozenset())
        for row in rows:
            value = tuple(row[name] for name in names)
            if not value[0] or any(name in row.broken for name in names):
                continue
            told = " and ".join(names)
            if value in seen:
                yield row.fault(
                    names[0],
                    f"Row {seen[value].number} has the same {told} already.",
                    "Take one of the two rows out, or correct it.",
                )
            elif len(names) == 1 and value[0] in taken:
                yield row.fault(
                    names[0],
                    f"“{value[0]}” is on record already, from no row of this ref.",
                    f"Take the row out, or give another {told}.",
                )
            seen.setdefault(value, row)


def open_twice(cases: Iterable[Row], world: World) -> Iterator[Fault]:
    """Yield a fault for each vehicle with two open cases, or that stands here twice."""
    in_case: dict[str, str] = dict.fromkeys(world.facts.in_case, "an earlier case")
    in_stay: dict[str, str] = dict.fromkeys(world.facts.in_stay, "an earlier case")
    for row in cases:
        if not row["vehicle"] or row.key in world.facts.known:
            continue
        for column, is_open, seen in (
            ("closed", not row["closed"], in_case),
            ("left", row["arrived"] and not row["left"], in_stay),
        ):
            if is_open and row["vehicle"] in seen:
                yield row.fault(
                    "vehicle",
                    f"{row['vehicle']} has {seen[row['vehicle']]} in which {column} is empty too.",
                    f"Fill {column} in one of them.",
                )
            elif is_open:
                seen[row["vehicle"]] = f"case {row['number']}"


def sheets_open(inspections: Iterable[Row]) -> Iterator[Fault]:
    """Yield a fault for each sheet of a stay that is open beside another."""
    first: dict[str, int] = {}
    for row in inspections:
        if not row["ended"] and row["case"] in first:
            yield row.fault(
                "ended",
                f"The sheet of row {first[row['case']]} is open for this stay too.",
                "Fill ended in one of them.",
            )
        elif not row["ended"]:
            first[row["case"]] = row.number


def read_and_not(readings: Iterable[Row], not_read: Iterable[Row]) -> Iterator[Fault]:
    """Yield a fault for each point that a row calls unread and another has read."""
    point = ("case", "criterion", "position", "final")
    read = {tuple(row[name] for name in point): row for row in readings}
    for row in not_read:
        reading = read.get(tuple(row[name] for name in point))
        if reading:
            yield row.fault(
                "criterion",
                f"The row {reading.key} has read this point.",
                "Take one of the two rows out.",
            )


def circles(items: Sequence[Row]) -> Iterator[Fault]:
    """Yield a fault for each circle of repair items that need one another first."""
    needs = {row.key: [Key(row.sheet, ref) for ref in row["needs_first"] or ()] for row in items}
    yield from _circles(items, "needs_first", needs, lambda row: str(row["title"]))


def causes(rows: Sequence[Row], world: World) -> Iterator[Fault]:
    """Yield a fault for each circle of findings and readings that cause one another."""
    column = {
        sheet: next(column for column in SHEETS[sheet].columns if column.name == "caused_by")
        for sheet in ("readings", "findings")
    }
    needs = {row.key: targets(column[row.sheet], row, world) for row in rows}
    yield from _circles(rows, "caused_by", needs, lambda row: row.ref)


def _circles(
    rows: Sequence[Row],
    column: str,
    named: Mapping[Key, Sequence[Key]],
    name: Callable[[Row], str],
) -> Iterator[Fault]:
    numbers = {row.key: number for number, row in enumerate(rows)}
    needs = {
        numbers[row.key]: {numbers[key] for key in named[row.key] if key in numbers} for row in rows
    }
    names = {number: name(row) for number, row in enumerate(rows)}
    for number, first in needs.items():
        if number in first:
            first.discard(number)
            problem = prerequisites.check({number: [number]}, names)[0]
            yield rows[number].fault(column, str(problem.sentence), str(problem.remedy))
    for _ in range(_MOST_CIRCLES):
        found = prerequisites.circle(needs)
        if not found:
            return
        problem = prerequisites.check(needs, names)[0]
        yield rows[found[0]].fault(column, str(problem.sentence), str(problem.remedy))
        # One link of the circle is taken away, so that the next circle shows as well.
        needs[found[0]].discard(found[1])
