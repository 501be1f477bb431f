"""What a car has, as far as somebody noted it: the facts on which points of a sheet depend.

>>> Fuel("hybrid").has_high_voltage
True
>>> CarFacts(year=2011, rear_brakes=Brake.DRUM).fuel is None
True
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Fuel(StrEnum):
    """What drives the car."""

    GASOLINE = "gasoline"
    DIESEL = "diesel"
    HYBRID = "hybrid"
    PLUG_IN = "plug_in"
    ELECTRIC = "electric"

    @property
    def label(self) -> str:
        """The fuel at the start of a sentence."""
        return "Plug-in hybrid" if self is Fuel.PLUG_IN else self.value.capitalize()

    @property
    def has_engine(self) -> bool:
        """Whether it has a combustion engine with what belongs to it."""
        return self is not Fuel.ELECTRIC

    @property
    def has_high_voltage(self) -> bool:
        """Whether there is a traction battery that can kill."""
        return self in {Fuel.HYBRID, Fuel.PLUG_IN, Fuel.ELECTRIC}


class Brake(StrEnum):
    """What brakes the wheels of one axle."""

    DISC = "disc"
    DRUM = "drum"

    @property
    def label(self) -> str:
        """The kind at the start of a sentence."""
        return self.value.capitalize()


@dataclass(frozen=True, kw_only=True)
class CarFacts:
    """What is known of a car; None wherever nobody noted it."""

    year: int | None = None
    fuel: Fuel | None = None
    front_brakes: Brake | None = None
    rear_brakes: Brake | None = None
    power_brakes: bool | None = None
