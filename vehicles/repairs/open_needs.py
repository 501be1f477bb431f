"""A need as a page for outsiders may see it: a part, the car's facts, an approved sentence.

>>> car = Car(year=2012, make="Toyota", model="Corolla")
>>> part = Part(kind="radiator", system=System.COOLING)
>>> need = OpenNeed(id=7, title="Radiator", part=part, car=car, text="For a sedan.", tier=0)
>>> need.for_car
'2012 Toyota Corolla'
>>> need.quantity
1
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from vehicles.repairs.parts import Car, Part
from vehicles.shop.systems import System

__all__ = ["Car", "OpenNeed", "Part", "System"]


@dataclass(frozen=True, kw_only=True)
class OpenNeed:
    """One open need without anything about the household but codes that conditions speak of."""

    id: int
    title: str
    part: Part
    car: Car
    text: str = ""
    county: str = ""
    household_kinds: tuple[str, ...] = ()
    tier: int = 4
    quantity: int = 1
    opened_on: date = date.min
    price_cents: int | None = None

    @property
    def for_car(self) -> str:
        """Year, make and model, as far as they are known."""
        facts = (self.car.year, self.car.make, self.car.model)
        return " ".join(str(fact) for fact in facts if fact)
