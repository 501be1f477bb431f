"""What a person typed of one reading of a car's trouble codes, as plain values.

>>> CodesRead(pasted="P0301", signs=frozenset({"smoke"})).complete
False
>>> [one.label for one in Sign][:2]
['Smoke', 'Smell of fuel']
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from vehicles.codes.kinds import Lamp


class Sign(StrEnum):
    """A sign of danger, by the name of its field in `vehicles.codes.urgency.Signs`."""

    SMOKE = "smoke"
    FUEL_SMELL = "fuel_smell"
    OVERHEATING = "overheating"
    BRAKES_LOST = "brakes_lost"
    STEERING_LOST = "steering_lost"

    @property
    def label(self) -> str:
        """The sign at the start of a sentence."""
        return _LABELS[self]


@dataclass(frozen=True, kw_only=True)
class CodesRead:
    """One reading: the list as it was typed or pasted, and what was seen of the car.

    `complete` says that all modules were read; `as_it_is` that what looks like a code and is none
    was looked at, and stays text.
    """

    pasted: str = ""
    complete: bool = False
    as_it_is: bool = False
    volts: str = ""
    lamp: Lamp = Lamp.UNKNOWN
    signs: frozenset[str] = frozenset()
    freeze_frame: str = ""
    note: str = ""


_LABELS = {
    Sign.SMOKE: "Smoke",
    Sign.FUEL_SMELL: "Smell of fuel",
    Sign.OVERHEATING: "Overheating",
    Sign.BRAKES_LOST: "Brakes lost, in whole or in part",
    Sign.STEERING_LOST: "Help in steering lost",
}
