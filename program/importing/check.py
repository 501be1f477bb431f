r"""All sheets against one another and against what is there: what is new, known, wrong.

>>> content = {"bays": b"ref,name,has_lift\nb1,Bay 1,yes\nb2,Bay 1,no\n"}
>>> found = check(content, Facts(program={}))
>>> [(fault.row, fault.sentence) for fault in found.faults]
[(3, 'Row 2 has the same name already.')]
>>> found.counts
{'bays': {'new': 2, 'known': 0, 'left_out': 0}}

Nothing here writes, and nothing reads the database: `Facts` were read before.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from program.importing import books, budgeting, relations, rules
from program.importing.diagnosing import Diagnosed, Diagnosing
from program.importing.judging import Judge
from program.importing.known import Facts, World
from program.importing.probing import Probing
from program.importing.reading import read_sheet
from program.importing.rows import Fault, Key, Row
from program.importing.sheets import SHEETS
from vehicles.inspection.judged import makes_finding

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence

    from vehicles.fluids.levels import Step
    from vehicles.inspection.judge import Judgment

    Progress = Callable[[str, int, int], None]

PROGRAM: Final = "program"
_STEP: Final = 500  # rows between two words of progress


@dataclass(frozen=True, kw_only=True)
class Checked:
    """What a check found. Only without faults may `new` be written.

    `new` holds by sheet the rows to write; `adopted` the program's row where the program is there
    already; `judgments` what the new readings mean, `diagnosed` what was seen in the new diagnoses,
    `steps` what follows from the new readings of fluids, each by ref; `counts` by sheet how many
    rows are new, known and left out; `notes` what is only to be known.
    """

    faults: tuple[Fault, ...]
    new: Mapping[str, tuple[Row, ...]]
    counts: Mapping[str, Mapping[str, int]]
    adopted: Row | None = None
    judgments: Mapping[str, Judgment] = field(default_factory=dict)
    diagnosed: Mapping[str, Diagnosed] = field(default_factory=dict)
    steps: Mapping[str, Step] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


def check(
    contents: Mapping[str, bytes],
    facts: Facts,
    *,
    leave_out: Collection[Key] = (),
    progress: Progress | None = None,
) -> Checked:
    """Return what is new, known and wrong in the sheets, each given by name with its bytes.

    Rows named in `leave_out` are passed over; a row that names one of them is a fault, unless it is
    left out too. `progress` hears the sheet, how many rows are checked, and of how many.
    """
    read, every_fault = _read(contents)
    faults = [fault for fault in every_fault if Key(fault.sheet, fault.ref) not in leave_out]
    everything = [row for rows in read.values() for row in rows]
    faults += _unknown_names(everything, leave_out)
    kept = {name: [row for row in rows if row.key not in leave_out] for name, rows in read.items()}
    world = World(
        rows={row.key: row for rows in kept.values() for row in reversed(rows)},
        facts=facts,
        left_out=frozenset(leave_out),
    )
    new, adopted, changed = _sorted_out(kept, world)
    judgments: dict[str, Judgment] = {}
    judge = Judge(new.get("local_limits", ()), facts.limits, judgments)
    diagnosing, probing = Diagnosing(new, world), Probing(new, world)
    judges = (judge, diagnosing, probing)
    own = [*_of_rows(new, world, judges, progress), *_of_sheets(kept, new, world, judgments)]
    short, notes = books.check(
        new.get("opening_balances", ()), new.get("ledger_entries", ()), world
    )
    own += budgeting.check(new.get(budgeting.SHEET, ()), world)
    return Checked(
        faults=_in_order([*faults, *changed, *_one_program(kept, facts), *own, *short]),
        new=new,
        counts=_counts(read, kept, new),
        adopted=adopted,
        judgments=judgments,
        diagnosed=diagnosing.found,
        steps=probing.steps,
        notes=tuple(notes),
    )


def _read(contents: Mapping[str, bytes]) -> tuple[dict[str, list[Row]], list[Fault]]:
    """Return the rows of each sheet, and every fault of header, cells and doubled refs."""
    read: dict[str, list[Row]] = {}
    faults: list[Fault] = []
    for name in SHEETS:
        if name in contents:
            rows, found = read_sheet(SHEETS[name], contents[name])
            read[name] = rows
            faults += found
            faults += _doubled(rows)
    return read, faults


def _doubled(rows: Iterable[Row]) -> Iterator[Fault]:
    first: dict[str, int] = {}
    for row in rows:
        if row.ref and row.ref in first:
            yield row.fault(
                "ref", f"Row {first[row.ref]} has the same ref already.", "Give it another ref."
            )
        first.setdefault(row.ref, row.number)


def _unknown_names(rows: Iterable[Row], leave_out: Collection[Key]) -> Iterator[Fault]:
    """Yield a fault for each row that was to be left out and isn't there."""
    there = {row.key for row in rows}
    for key in sorted(set(leave_out) - there):
        yield Fault(
            sheet=key.sheet,
            ref=key.ref,
            value=str(key),
            sentence=f"There is no row {key} to leave out.",
            remedy="Correct its name, or leave nothing out there.",
        )


def _sorted_out(
    kept: Mapping[str, Sequence[Row]], world: World
) -> tuple[dict[str, tuple[Row, ...]], Row | None, list[Fault]]:
    """Return the new rows by sheet, the row of a program that is there, and changed rows."""
    new: dict[str, tuple[Row, ...]] = {}
    changed: list[Fault] = []
    adopted = None
    for name, rows in kept.items():
        fresh = []
        for row in rows:
            known = world.facts.known.get(row.key)
            if known is None:
                fresh.append(row)
            elif known.fingerprint != row.fingerprint() and not row.broken:
                changed.append(_changed(row))
        if name == PROGRAM and fresh and world.facts.program is not None:
            adopted = fresh.pop(0)
            changed += _other_program(adopted, world.facts.program)
        new[name] = tuple(fresh)
    return new, adopted, changed


def _changed(row: Row) -> Fault:
    return row.fault(
        "ref",
        f"The row {row.key} was imported before with other values.",
        "Change the record on its page, or give a new row a ref of its own.",
    )


def _other_program(row: Row, program: Mapping[str, str]) -> Iterator[Fault]:
    for name, value in program.items():
        if row[name] and row[name] != value:
            yield row.fault(
                name, f"The program’s {name} is “{value}” here.", "Take the sheet program out."
            )


def _one_program(kept: Mapping[str, Sequence[Row]], facts: Facts) -> Iterator[Fault]:
    rows = kept.get(PROGRAM, ())
    if not rows and facts.program is None:
        yield Fault(
            sheet=PROGRAM,
            sentence="There is no program yet, and no sheet that names it.",
            remedy="Add the sheet program with one row.",
        )
    for row in rows[1:]:
        yield row.fault("ref", "A second program can’t be in one installation.", "Keep one row.")


def _of_rows(
    new: Mapping[str, Sequence[Row]],
    world: World,
    judges: Sequence[Judge | Diagnosing | Probing],
    progress: Progress | None,
) -> Iterator[Fault]:
    """Yield every fault of each new row by itself and with the rows that it names."""
    total = sum(map(len, new.values()))
    done = 0
    for name, rows in new.items():
        for row in rows:
            yield from rules.faults(row)
            yield from _told(row, relations.refs(row, world))
            yield from _told(row, relations.one_car(row, world))
            for judge in judges:
                yield from _told(row, judge.faults(row))
            done += 1
            if progress and (done % _STEP == 0 or done == total):
                progress(name, done, total)


def _told(row: Row, faults: Iterable[Fault]) -> Iterator[Fault]:
    yield from (fault for fault in faults if fault.column not in row.broken)


def _of_sheets(
    kept: Mapping[str, Sequence[Row]],
    new: Mapping[str, Sequence[Row]],
    world: World,
    judgments: Mapping[str, Judgment],
) -> Iterator[Fault]:
    """Yield every fault that shows only over the rows of a sheet together."""
    for rows in new.values():
        yield from relations.twice(rows, world)
    yield from relations.open_twice(kept.get("cases", ()), world)
    yield from relations.sheets_open(kept.get("inspections", ()))
    yield from relations.read_and_not(kept.get("readings", ()), new.get("not_read", ()))
    items = new.get("repair_items", ())
    yield from relations.circles(items)
    yield from relations.causes([*new.get("readings", ()), *new.get("findings", ())], world)
    sound = {ref for ref, one in judgments.items() if not makes_finding(one)} | world.facts.sound
    for sheet, column in (
        ("conclusions", "finding"),
        ("fluid_readings", "finding"),
        ("repair_items", "clears"),
    ):
        for row in new.get(sheet, ()):
            yield from _sound(row, column, sound, world)


def _sound(row: Row, column: str, sound: Collection[str], world: World) -> Iterator[Fault]:
    """Yield a fault for each reading that a row names as a finding, and that shows no fault."""
    named = row[column] or ()
    so = "there is nothing to clear" if column == "clears" else "it is no finding"
    for ref in (named,) if isinstance(named, str) else named:
        if ref in sound and Key("findings", ref) not in world.rows:
            yield row.fault(
                column,
                f"The reading {ref} shows nothing wrong, so {so}.",
                f"Take it out of {column}, or correct the reading.",
            )


def _counts(
    read: Mapping[str, Sequence[Row]],
    kept: Mapping[str, Sequence[Row]],
    new: Mapping[str, Sequence[Row]],
) -> dict[str, dict[str, int]]:
    return {
        name: {
            "new": len(new[name]),
            "known": len(kept[name]) - len(new[name]),
            "left_out": len(rows) - len(kept[name]),
        }
        for name, rows in read.items()
    }


def _in_order(faults: Iterable[Fault]) -> tuple[Fault, ...]:
    """Return each fault once, by sheet, row and column as the sheets have them."""
    place = {name: number for number, name in enumerate(SHEETS)}
    once = Counter(faults)
    return tuple(
        sorted(once, key=lambda fault: (place.get(fault.sheet, -1), fault.row, fault.column))
    )
