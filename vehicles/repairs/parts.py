"""A part and a car as plain facts, and the same facts as JSON.

>>> Fitment(bci_group="35", cold_cranking_amps=640).to_dict()
{'bci_group': '35', 'cold_cranking_amps': 640}
>>> in_words(Fitment(make="Toyota", model="Corolla", year_from=2009, year_to=2013))
'Toyota Corolla 2009 to 2013'
>>> Car.from_dict({"year": 2010, "specifications": [["bulb_low_beam", "H11"]]}).specifications
(('bulb_low_beam', 'H11'),)
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import StrEnum
from typing import TYPE_CHECKING, Any, Self

if TYPE_CHECKING:
    from collections.abc import Mapping

    from vehicles.shop.systems import System


class PartCondition(StrEnum):
    """What a part has behind it."""

    NEW = "new"
    REBUILT = "rebuilt"
    USED = "used"


@dataclass(frozen=True, kw_only=True)
class _Facts:
    """Facts that go to JSON and back; a fact that says nothing is left out."""

    def to_dict(self) -> dict[str, object]:
        """Return the facts that are stated, ready for JSON; pairs become lists."""
        stated = {f.name: getattr(self, f.name) for f in fields(self)}
        defaults = {f.name: f.default for f in fields(self)}
        return {
            name: [list(pair) for pair in value] if isinstance(value, tuple) else value
            for name, value in stated.items()
            if value != defaults[name]
        }

    @classmethod
    def from_dict(cls, data: Mapping[str, object]) -> Self:
        """Return the facts that `to_dict` wrote.

        Raises:
            ValueError: a fact that there is not, or a value of the wrong type.
        """
        defaults = {f.name: f.default for f in fields(cls)}
        facts: dict[str, Any] = {}
        for name, value in data.items():
            if name not in defaults:
                raise ValueError(f"“{name}” is no fact of a {cls.__name__.lower()}.")
            facts[name] = _read(name, value, defaults[name])
        return cls(**facts)


@dataclass(frozen=True, kw_only=True)
class Fitment(_Facts):
    """What a part says about the cars it is for; an empty fact says nothing.

    Years are model years, both ends included. `specification` is that of a bulb, fluid or filter.
    `position` is such as front left; `unit` is what one piece is: each, pair or set.
    """

    year_from: int | None = None
    year_to: int | None = None
    make: str = ""
    model: str = ""
    engine: str = ""
    transmission: str = ""
    tire_size: str = ""
    load_index: int | None = None
    speed_symbol: str = ""
    bci_group: str = ""
    cold_cranking_amps: int | None = None
    specification: str = ""
    part_number: str = ""
    position: str = ""
    unit: str = "each"


@dataclass(frozen=True, kw_only=True)
class Part:
    """A part that is offered or needed: the code of its kind, its system, and what it fits.

    `used` is said of one that is offered. `may_be` are the conditions that a need takes; empty: all
    that the rules for such parts allow.
    """

    kind: str
    system: System
    fitment: Fitment = Fitment()
    used: bool = False
    may_be: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Car(_Facts):
    """What is known of a car.

    `specifications` and `part_numbers` are pairs of part kind and text; a kind stands in several
    pairs where the maker allows several. `tire_size`, `load_index` and `speed_symbol` are those of
    the placard, `cold_cranking_amps` is what the maker asks for. `sure` are pairs of part kind and
    unit: a person made sure that this one unit fits.
    """

    year: int | None = None
    make: str = ""
    model: str = ""
    engine: str = ""
    transmission: str = ""
    tire_size: str = ""
    load_index: int | None = None
    speed_symbol: str = ""
    bci_group: str = ""
    cold_cranking_amps: int | None = None
    specifications: tuple[tuple[str, str], ...] = ()
    part_numbers: tuple[tuple[str, str], ...] = ()
    sure: tuple[tuple[str, str], ...] = ()


def in_words(stated: Fitment) -> str:
    """Return what a part says of itself, such as `BCI group 35, 640 A cold`; empty for nothing."""
    years = [str(year) for year in (stated.year_from, stated.year_to) if year]
    cars = [stated.make, stated.model, " to ".join(dict.fromkeys(years))]
    tire = [stated.tire_size, f"{stated.load_index or ''}{stated.speed_symbol}"]
    found = [
        " ".join(word for word in cars if word),
        stated.engine,
        stated.transmission,
        " ".join(word for word in tire if word),
        f"BCI group {stated.bci_group}" if stated.bci_group else "",
        f"{stated.cold_cranking_amps} A cold" if stated.cold_cranking_amps else "",
        stated.specification,
        f"number {stated.part_number}" if stated.part_number else "",
        stated.position,
        f"sold as a {stated.unit}" if stated.unit != "each" else "",
    ]
    return ", ".join(word for word in found if word)


def _read(name: str, value: object, default: object) -> object:
    """Return a value from JSON, once it has the type that its default stands for."""
    if isinstance(default, str) and isinstance(value, str):
        return " ".join(value.split())
    if default is None and (value is None or type(value) is int):
        return value
    if isinstance(default, tuple) and isinstance(value, list | tuple):
        return tuple(_pair(name, pair) for pair in value)
    raise ValueError(f"“{value}” can’t stand for {name}.")


def _pair(name: str, pair: object) -> tuple[str, str]:
    match pair:
        case [str(kind), str(text)]:
            return kind, " ".join(text.split())
        case _:
            raise ValueError(f"“{pair}” can’t stand for {name}: a pair of kind and text is asked.")
