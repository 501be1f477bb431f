r"""Trouble codes and fluids of the sheets are judged as their pages would judge them.

>>> from program.importing.known import Facts, World
>>> from program.importing.rows import Row
>>> row = Row(sheet="trouble_codes", number=2, ref="t1", values={"codes": "PO128", "volts": ""})
>>> probing = Probing({}, World(rows={}, facts=Facts()))
>>> [fault.sentence for fault in probing.faults(row)]
['Line 1: “PO128” is not a code. Is it P0128?']
"""

from __future__ import annotations

from collections import defaultdict
from fractions import Fraction
from typing import TYPE_CHECKING

from vehicles.codes.kinds import Lamp
from vehicles.codes.pasting import parse
from vehicles.codes.urgency import Signs, volts_of
from vehicles.fluids.advice import advise
from vehicles.fluids.levels import Action, Engine, Heat, Level, Look, Maker, Reading
from vehicles.fluids.rows import Refill
from vehicles.fluids.rows import load as load_fluids
from vehicles.fluids.specifications import Bottle
from vehicles.fluids.values import volume
from vehicles.inspection.criteria import DeficiencyClass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from program.importing.known import World
    from program.importing.rows import Fault, Row
    from vehicles.fluids.levels import Step
    from vehicles.fluids.rows import Fluid
    from vehicles.inspection.units import Quantity

EIGHTHS = 8


class Probing:
    """Judges what was read of codes and fluids; `steps` is what follows from a fluid, by ref."""

    def __init__(self, new: Mapping[str, Sequence[Row]], world: World) -> None:
        self.steps: dict[str, Step] = {}
        self._world = world
        self._demands = {
            (row["vehicle"], row["fluid"]): row
            for row in new.get("fluid_demands", ())
            if not any(_amounts(row))
        }
        self._poured: defaultdict[tuple[str, str], list[Quantity]] = defaultdict(list)

    def faults(self, row: Row) -> Iterator[Fault]:
        """Yield what speaks against a row; readings of one fluid come in their order."""
        if row.sheet == "trouble_codes":
            yield from _codes(row)
        elif row.sheet == "fluid_demands":
            yield from _amounts(row)
        elif row.sheet == "fluid_readings" and row["fluid"] and row["level"]:
            yield from self._reading(row)

    def _reading(self, row: Row) -> Iterator[Fault]:
        wrong = list(_amount(row, "poured"))
        yield from wrong
        fluid, before = load_fluids()[row["fluid"]], self._poured[row["case"], row["fluid"]]
        stay = self._world.stay(row["case"])
        maker = maker_of(self._demands.get((stay.vehicle if stay else "", row["fluid"])))
        says = row["bottle"] if row["poured"] else maker.specification
        step = advise(
            fluid,
            _read(row, fluid, is_after=bool(before)),
            maker,
            history=list(before),
            bottle=Bottle(says=says, opened=False),
        )
        self.steps[row.ref] = step
        if row["poured"] and not wrong:
            before.append(volume(row["poured"]))
            if step.action is Action.REFUSE:
                yield row.fault(
                    "bottle",
                    str(step.sentences[0]),
                    "Correct it; what went in wrong is a row of findings.",
                )
        graver = [one for one in step.findings if _is_finding(fluid, one.found.deficiency)]
        if graver and not row["finding"]:
            yield row.fault(
                "finding",
                f"{graver[0].found.title}: that is a finding, and none is named.",
                "Name the row of findings or readings that it is.",
            )


def maker_of(demand: Row | None) -> Maker:
    """Return what a row of `fluid_demands` says; nothing known without one."""
    if demand is None:
        return Maker()
    return Maker(
        specification=demand["specification"],
        engine=Engine(demand["engine"]) if demand["engine"] else None,
        heat=Heat(demand["heat"]) if demand["heat"] else None,
        stick=not demand["no_stick"],
        between=_volume(demand, "between"),
        capacity=_volume(demand, "capacity"),
    )


def signs_of(row: Row) -> Signs:
    """Return what a row of `trouble_codes` says of the car beside its codes.

    Raises:
        ValueError: the volts are not possible.
    """
    return Signs(lamp=Lamp(row["lamp"] or Lamp.UNKNOWN), battery_volts=volts_of(row["volts"]))


def _codes(row: Row) -> Iterator[Fault]:
    try:
        signs_of(row)
    except ValueError as error:
        yield row.fault("volts", str(error), "Type the volts of the battery at rest.")
    found = parse(row["codes"])
    for one in found.unread:
        yield row.fault("codes", str(one.sentence), "Correct it, or move words into note.")
    if not (found.entered or found.unread or row["complete"]):
        yield row.fault(
            "codes",
            "No code stands here, and not all modules were read.",
            "Fill codes, or set complete to yes.",
        )


def _amounts(row: Row) -> Iterator[Fault]:
    for column in ("between", "capacity"):
        yield from _amount(row, column)


def _amount(row: Row, column: str) -> Iterator[Fault]:
    try:
        _volume(row, column)
    except ValueError as error:
        yield row.fault(column, str(error), "Type an amount with its unit, such as 1/2 qt.")


def _volume(row: Row, column: str) -> Quantity | None:
    return volume(row[column]) if row[column] else None


def _read(row: Row, fluid: Fluid, *, is_after: bool) -> Reading:
    """Return a reading; a sheet has no clock, so what was poured in before has settled."""
    eighths = row["missing_eighths"]
    return Reading(
        level=Level(row["level"]),
        look=Look(row["look"] or Look.CLEAN),
        engine=Engine(row["engine"]) if row["engine"] else None,
        heat=Heat(row["heat"]) if row["heat"] else None,
        level_ground={"yes": True, "no": False}.get(row["level_ground"]),
        missing=None if eighths is None else Fraction(eighths, EIGHTHS),
        minutes_since=fluid.settle_minutes if is_after else None,
    )


def _is_finding(fluid: Fluid, deficiency: DeficiencyClass) -> bool:
    """Return whether what was read is more than a level that is filled up."""
    return deficiency is not DeficiencyClass.NONE or fluid.refill is Refill.NEVER
