"""The one list of system codes, used by criteria, faults, repair items, funds and sponsors.

>>> System("brakes").label
'Brakes'
>>> System.parse("Tires") is System.TIRES
True
"""

from __future__ import annotations

from enum import StrEnum


class System(StrEnum):
    """A system of the car, as the shop divides it. The value is the code used in sheets."""

    BRAKES = "brakes"
    STEERING = "steering"
    SUSPENSION = "suspension"
    TIRES = "tires"
    WHEELS = "wheels"
    LIGHTS = "lights"
    GLASS = "glass"
    RESTRAINT = "restraint"
    BODY = "body"
    EXHAUST = "exhaust"
    FUEL = "fuel"
    ENGINE = "engine"
    COOLING = "cooling"
    TRANSMISSION = "transmission"
    BATTERY = "battery"
    CHARGING = "charging"
    ELECTRICAL = "electrical"
    HEATING = "heating"
    EMISSIONS = "emissions"
    FLUIDS = "fluids"

    @property
    def label(self) -> str:
        """The system's name at the start of a sentence."""
        return _LABELS.get(self, self.value.capitalize())

    @classmethod
    def parse(cls, text: str) -> System:
        """Return the system that a person typed.

        Raises:
            ValueError: no such system; the sentence lists those there are.
        """
        try:
            return cls(text.strip().lower())
        except ValueError:
            raise ValueError(f"“{text}” is not a system. Use one of: {', '.join(cls)}.") from None


_LABELS = {
    System.BATTERY: "Battery",
    System.GLASS: "Glass and wipers",
    System.RESTRAINT: "Belts and airbags",
    System.HEATING: "Heating and air conditioning",
}
