"""What is typed about a fluid: what the maker says, one reading, what was poured in.

>>> str(volume("500 mL"))
'500 mL'
>>> volume("2 psi")
Traceback (most recent call last):
    ...
ValueError: A number in psi can't be turned into quarts.
>>> str(both(Quantity(Fraction(1, 2), "qt")))
'1/2 qt (473 mL)'
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.fluids.levels import Look
from vehicles.inspection.units import Quantity, convert, parse, same_kind

if TYPE_CHECKING:
    from uuid import UUID

    from vehicles.fluids.levels import Engine, Heat, Level

#: Quarts that no part of a car or small pickup holds more of: more is a slip of the finger.
MOST: Final = Fraction(30)
#: Quarts that nobody pours in at once.
MOST_POURED: Final = Fraction(8)
UNITS: Final = tuple(unit.code for unit in same_kind("qt"))


@dataclass(frozen=True, kw_only=True)
class Demand:
    """What the maker says of a fluid; amounts as typed with their unit, empty where not known.

    `seen_id` is what stood there when the form was shown, None for nothing.
    """

    specification: str = ""
    engine: Engine | None = None
    heat: Heat | None = None
    stick: bool = True
    between: str = ""
    capacity: str = ""
    source: str
    seen_id: int | None = None


@dataclass(frozen=True, kw_only=True)
class Noted:
    """One reading as it was noted; None wherever the fluid asks for nothing."""

    level: Level
    look: Look = Look.CLEAN
    engine: Engine | None = None
    heat: Heat | None = None
    level_ground: bool | None = None
    missing_eighths: int | None = None
    note: str = ""
    client_key: UUID | None = None


@dataclass(frozen=True, kw_only=True)
class Poured:
    """What went in after a reading, and what the bottle says."""

    reading: int
    typed: str
    unit: str
    specification: str = ""
    opened: bool | None = None
    client_key: UUID | None = None

    @property
    def amount(self) -> Quantity:
        """The amount; raises ValueError where it is none that can be poured in."""
        return volume(self.typed, self.unit, most=MOST_POURED)


def volume(text: str, unit: str = "qt", *, most: Fraction = MOST) -> Quantity:
    """Return the volume that was typed; a unit typed with it wins over `unit`.

    Raises:
        ValueError: it is no number, no volume, not more than nothing, or over `most` quarts.
    """
    amount = parse(text, unit)
    quarts = convert(amount.value, amount.unit, "qt")
    if quarts <= 0:
        raise ValueError(f"{amount} is not an amount of a fluid. Type more than 0.")
    if quarts > most:
        raise ValueError(f"{amount} is not possible here. Type at most {most} qt.")
    return amount


def with_unit(text: str, unit: str = "qt") -> str:
    """Return an amount as it was typed, with its unit where none was typed."""
    typed = " ".join(text.split())
    return typed if parse(typed, "L") == parse(typed, "qt") else f"{typed} {unit}"


def both(amount: Quantity) -> Say:
    """Return an amount with what it is in milliliters, as bottles and beakers are marked."""
    milliliters = convert(amount.value, amount.unit, "mL")
    return say("{amount} ({metric} mL)", amount=str(amount), metric=int(milliliters))
