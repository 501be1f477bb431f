"""What was typed for a point, and its exact numbers in units that the point can be read in.

>>> from vehicles.inspection.catalogue import load
>>> typed(load()["tire-tread"], "3/32", "")
(Quantity(value=Fraction(3, 32), unit='in'), None)
>>> [unit.code for unit in units_offered(load()["tire-tread"])]
['32nds', 'mm']
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from vehicles.inspection import units

if TYPE_CHECKING:
    from datetime import date
    from fractions import Fraction
    from uuid import UUID

    from vehicles.inspection.criteria import Criterion

#: A reading may wait this long in a browser; final readings are good for no longer.
KEPT_DAYS: Final = 7
#: What a limit marked on the part is called.
MARKED: Final = {"min": "minimum", "max": "maximum"}
_EXAMPLES: Final = {
    ("min", "length"): "“22.4 mm min 23 mm”",
    ("max", "length"): "“0.06 in max 0.05 in”",
    ("min", "temperature"): "“150 °C min 140 °C”",
}


@dataclass(frozen=True, kw_only=True)
class Typed:
    """What a technician typed for one point; `seen_id` is the reading shown there on screen."""

    criterion: str
    position: str = ""
    value: str
    unit: str = ""
    final: bool = False
    seen_id: int | None = None
    client_key: UUID | None = None
    seconds_ago: int = 0  # how long it waited in a browser without a connection


@dataclass(frozen=True, kw_only=True)
class Missed:
    """A point that could not be read, and why."""

    criterion: str
    position: str = ""
    because: str
    final: bool = False
    client_key: UUID | None = None


def day_read(day: date, *, today: date, arrived_on: date) -> date:
    """Return the day that a reading counts as of, which is the one on which it was read.

    Raises:
        ValueError: it is older than readings may be that were kept offline, or than the stay.

    >>> from datetime import date
    >>> day_read(date(2026, 11, 24), today=date(2026, 11, 25), arrived_on=date(2026, 11, 20)).day
    24
    """
    if day < min(arrived_on, today):
        raise ValueError(f"This was read on {day}, before the car came. Read it again.")
    if (today - day).days > KEPT_DAYS:
        raise ValueError(f"This was read on {day}, more than {KEPT_DAYS} days ago. Read it again.")
    return min(day, today)


def typed(
    criterion: Criterion, value: str, unit: str
) -> tuple[units.Quantity, units.Quantity | None]:
    """Return the number that was typed and the limit typed with it, if the part bears one.

    Raises:
        ValueError: it is no number, or in a unit of another kind; the text says what to type.
    """
    word = criterion.marked_limit
    first, _, second = value.lower().partition(word) if word else (value, "", "")
    if word and not second.strip():
        example = _EXAMPLES[word, units.UNITS[criterion.unit].measures]
        raise ValueError(f"{criterion.title} is typed with the maker's {MARKED[word]}: {example}.")
    number = _quantity(criterion, first, unit)
    if not word:
        return number, None
    marked = _quantity(criterion, second, unit or number.unit)
    # '22.4 min 23 mm' has one unit for both.
    return _quantity(criterion, first, unit or marked.unit), marked


def _quantity(criterion: Criterion, text: str, unit: str) -> units.Quantity:
    """Return the number that was typed, in a unit that the criterion can be read in.

    A unit typed with the number wins over the one beside it; neither may measure something else.
    """
    try:
        beside = units.unit(unit).code if unit.strip() else criterion.unit
        typed = units.parse(text, beside)
    except ValueError as error:
        raise ValueError(f"{error} {_hint(criterion)}") from None
    for code in (beside, typed.unit):
        if units.UNITS[code].measures != units.UNITS[criterion.unit].measures:
            raise ValueError(
                f"{criterion.title} is read in {_readable(criterion)}, "
                f"not {units.UNITS[code].name}."
            )
    return typed


def _hint(criterion: Criterion) -> str:
    return (
        f"{criterion.title} takes {units.number(criterion.low)} to "
        f"{units.number(criterion.high)}, in {_readable(criterion)}."
    )


def _readable(criterion: Criterion) -> str:
    return " or ".join(unit.name for unit in units_offered(criterion))


def units_offered(criterion: Criterion) -> tuple[units.Unit, ...]:
    """Return the units a measured point is read in: its own first, then its partner's if any."""
    codes = (criterion.unit, *_PARTNERS.get(criterion.unit, ()))
    return tuple(units.UNITS[code] for code in codes)


_PARTNERS = {
    "32nds": ("mm",),
    "in": ("mm",),
    "mm": ("in",),
    "ft": ("in",),
    "psi": ("kPa",),
    "lbf": ("N",),
    "degF": ("degC",),
}


def compared(criterion: Criterion, given: units.Quantity) -> Fraction:
    """Return the number in the unit of its criterion.

    Raises:
        ValueError: no car could have it; the text names the range in the unit typed.
    """
    number = units.convert(given.value, given.unit, criterion.unit)
    if criterion.low <= number <= criterion.high:
        return number
    code = criterion.unit if given.unit == "in" and criterion.unit == "32nds" else given.unit
    low, high = (
        units.number(units.convert(end, criterion.unit, code), fractions=code == "in")
        for end in (criterion.low, criterion.high)
    )
    shown = units.show(units.convert(given.value, given.unit, code), code)
    raise ValueError(f"{criterion.title} of {shown} is not possible. Type {low} to {high}.")
