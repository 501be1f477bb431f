"""What is asked at a point: a number in one of its units, or one of the answers it can have.

>>> from vehicles.inspection.catalogue import load
>>> range_of(load()["tire-tread"])
'0 to 24/32 in, or 0 to 19.05 mm'
>>> answers(load()["horn"])[0]
('good', 'Good')
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from vehicles.inspection import units
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.judge import GOOD
from vehicles.inspection.reading import units_offered

if TYPE_CHECKING:
    from vehicles.inspection.criteria import Criterion, Reason

CANT_READ: Final = (
    "Seized, covered or out of reach",
    "Equipment is missing",
    "Not safe to do now",
    "Takes more work than was consented to",
    "Weather or light",
)
MARKED: Final = {"min": "Minimum marked on the part", "max": "Maximum marked on the part"}


def asked(criterion: Criterion) -> dict[str, Any]:
    """Return the units and the marked limit of what is measured, or the answers of what is seen.

    The script of the sheet takes it as it is, so that it needs no server to ask.
    """
    if not criterion.is_measured:
        return {"answers": answers(criterion)}
    marked = MARKED.get(criterion.marked_limit, "")
    return {"marked": marked, "units": [_unit(criterion, one) for one in units_offered(criterion)]}


def _unit(criterion: Criterion, unit: units.Unit) -> dict[str, str | float]:
    low, high = (
        units.convert(end, criterion.unit, unit.code) for end in (criterion.low, criterion.high)
    )
    return {
        "code": unit.code,
        "name": unit.name,
        "sign": unit.sign,
        "range": f"{units.number(low)} to {units.show(high, unit.code)}",
        "least": float(low),
        "most": float(high),
    }


def range_of(criterion: Criterion) -> str:
    """Return the plausible range in each unit offered."""
    return ", or ".join(unit["range"] for unit in asked(criterion)["units"])


def answers(criterion: Criterion) -> list[tuple[str, str]]:
    """Return what can be said of a point that is looked at: good, or a reason with its class."""
    return [(GOOD, "Good"), *((one.key, _words(one)) for one in criterion.reasons)]


def _words(reason: Reason) -> str:
    if reason.ranks_as is DeficiencyClass.NONE:
        return reason.text
    return f"{reason.text}: {reason.ranks_as.value}"
