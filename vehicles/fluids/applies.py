"""Which fluids a car has, in the order in which one goes about it: under the hood, then below it.

>>> from vehicles.intake.car import Fuel
>>> [one.code for one in fluids_of(Transmission.MANUAL, Fuel.GASOLINE)][-3:]
['washer', 'manual', 'final-drive']
>>> [one.code for one in fluids_of(None, Fuel.ELECTRIC)][:2]
['coolant', 'brake']

A fluid is left out only where what is known of the car says that it has none. Which transmission
takes which: common practice, no source.
"""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from vehicles.fluids.rows import load
from vehicles.intake.kinds import Transmission

if TYPE_CHECKING:
    from collections.abc import Mapping

    from vehicles.fluids.rows import Fluid
    from vehicles.intake.car import Fuel

#: Which transmissions a fluid belongs to; what is not named here belongs to all of them.
_SHIFTS: Final[Mapping[str, frozenset[Transmission]]] = MappingProxyType(
    {
        "automatic": frozenset(
            {Transmission.AUTOMATIC, Transmission.CVT, Transmission.DUAL_CLUTCH}
        ),
        "manual": frozenset({Transmission.MANUAL}),
        "clutch": frozenset({Transmission.MANUAL}),
    }
)
_OF_ENGINE: Final = frozenset({"engine-oil"})


def fluids_of(transmission: Transmission | None, fuel: Fuel | None) -> tuple[Fluid, ...]:
    """Return the fluids of a car, as far as is known; None: nobody noted it."""
    return tuple(one for one in load().values() if _has(one.code, transmission, fuel))


def _has(code: str, transmission: Transmission | None, fuel: Fuel | None) -> bool:
    if code in _OF_ENGINE and fuel and not fuel.has_engine:
        return False
    return transmission is None or transmission in _SHIFTS.get(code, frozenset(Transmission))
