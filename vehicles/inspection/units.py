"""Units of a workshop, converted exactly: what was typed is compared as a fraction.

>>> convert(Fraction(2), "32nds", "mm")
Fraction(127, 80)
>>> parse("1 1/2 in", "mm")
Quantity(value=Fraction(3, 2), unit='in')
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction


@dataclass(frozen=True)
class Unit:
    """A unit: its code, what it measures, its name in a sentence, its size in the base unit."""

    code: str
    measures: str
    name: str
    size: Fraction = Fraction(1)
    zero: Fraction = Fraction(0)  # where its zero lies, in the base unit
    sign: str = ""  # written after a number; the code when empty


@dataclass(frozen=True)
class Quantity:
    """A number with the code of its unit."""

    value: Fraction
    unit: str

    def __str__(self) -> str:
        return show(self.value, self.unit)


# The inch, the pound and the pound-force are exact by definition.
# Source: international yard and pound agreement, 1959; standard gravity, 3rd CGPM, 1901
# (common knowledge, from memory).
_INCH_MM = Fraction("25.4")
_POUND_FORCE_N = Fraction("0.45359237") * Fraction("9.80665")
_PSI_KPA = _POUND_FORCE_N / (_INCH_MM / 1000) ** 2 / 1000
# A US gallon is 231 cubic inches. Source: NIST Handbook 44, appendix C, from memory.
_QUART_ML = Fraction(231, 4) * _INCH_MM**3 / 1000

_UNITS = (
    Unit("in", "length", "inches"),
    Unit("32nds", "length", "32nds of an inch", Fraction(1, 32), sign="/32 in"),
    Unit("mm", "length", "millimeters", 1 / _INCH_MM),
    Unit("ft", "length", "feet", Fraction(12)),
    Unit("psi", "pressure", "psi"),
    Unit("kPa", "pressure", "kilopascals", 1 / _PSI_KPA),
    Unit("lbf", "force", "pounds-force"),
    Unit("N", "force", "newtons", 1 / _POUND_FORCE_N),
    Unit("degF", "temperature", "degrees Fahrenheit", sign=" °F"),
    Unit("degC", "temperature", "degrees Celsius", Fraction(9, 5), Fraction(32), " °C"),
    Unit("V", "voltage", "volts"),
    Unit("mV", "voltage", "millivolts", Fraction(1, 1000)),
    Unit("A", "current", "amperes"),
    Unit("mA", "current", "milliamperes", Fraction(1, 1000)),
    Unit("qt", "volume", "quarts"),
    Unit("pt", "volume", "pints", Fraction(1, 2)),
    Unit("fl oz", "volume", "fluid ounces", Fraction(1, 32)),
    Unit("mL", "volume", "milliliters", 1 / _QUART_ML),
    Unit("L", "volume", "liters", 1000 / _QUART_ML),
    Unit("percent", "share", "percent", sign="%"),
    Unit("deg", "angle", "degrees"),
    Unit("per_min", "rate", "times a minute", sign=" a minute"),
    Unit("s", "time", "seconds"),
    Unit("cycles", "count", "cycles"),
    Unit("years", "age", "years"),
    Unit("monitors", "monitors", "monitors"),
)
UNITS = {unit.code: unit for unit in _UNITS}

_TYPED = {
    '"': "in",
    "in.": "in",
    "inch": "in",
    "inches": "in",
    "/32": "32nds",
    "/32 in": "32nds",
    "32nd": "32nds",
    "32nds in": "32nds",
    "32nds of an inch": "32nds",
    "millimeter": "mm",
    "millimeters": "mm",
    "feet": "ft",
    "lb": "lbf",
    "lbs": "lbf",
    "newton": "N",
    "newtons": "N",
    "f": "degF",
    "°f": "degF",
    "c": "degC",
    "°c": "degC",
    "volt": "V",
    "volts": "V",
    "amp": "A",
    "amps": "A",
    "quart": "qt",
    "quarts": "qt",
    "pint": "pt",
    "pints": "pt",
    "oz": "fl oz",
    "ounces": "fl oz",
    "fluid ounces": "fl oz",
    "milliliters": "mL",
    "liter": "L",
    "liters": "L",
    "%": "percent",
    "pct": "percent",
    "°": "deg",
    "degrees": "deg",
    "/min": "per_min",
    "per min": "per_min",
    "per minute": "per_min",
    "flashes/min": "per_min",
    "a minute": "per_min",
    "sec": "s",
    "seconds": "s",
    "cycle": "cycles",
    "year": "years",
    "monitor": "monitors",
}
# Only these units would change meaning with their case (mV is not MV), and no other is in use.
_CODES = {unit.lower(): unit for unit in UNITS} | _TYPED

_IN_FRACTIONS = {"in", "qt", "pt"}
_LONGEST = 40  # characters that a typed reading may have
_NUMBER = re.compile(
    r"""\s*(?P<sign>[-+−])?\s*
    (?:(?P<whole>[0-9]+)\s+(?=[0-9]+\s*/))?
    (?:(?P<top>[0-9]+)\s*/\s*(?P<bottom>[0-9]+)|(?P<decimal>[0-9]+(?:\.[0-9]*)?|\.[0-9]+))
    \s*(?P<unit>.*?)\s*""",
    re.VERBOSE,
)


def unit(text: str) -> Unit:
    """Return the unit that was typed, by its code or a usual spelling.

    Raises:
        ValueError: no such unit.
    """
    code = _CODES.get(" ".join(text.split()).lower())
    if code is None:
        raise ValueError(f"“{text}” is not a unit this catalogue knows.")
    return UNITS[code]


def same_kind(code: str) -> tuple[Unit, ...]:
    """Return the units that measure what `code` measures, that one first."""
    wanted = UNITS[code]
    others = (one for one in _UNITS if one.measures == wanted.measures and one != wanted)
    return (wanted, *others)


def convert(value: Fraction, source: str, target: str) -> Fraction:
    """Return the value in the target unit, exactly.

    Raises:
        ValueError: the two units do not measure the same thing.
    """
    old, new = UNITS[source], UNITS[target]
    if old.measures != new.measures:
        raise ValueError(f"A number in {old.name} can't be turned into {new.name}.")
    return (value * old.size + old.zero - new.zero) / new.size


def parse(text: str, default: str) -> Quantity:
    """Return the number that was typed, with its unit, or the default unit when none was typed.

    Whole numbers, decimals and fractions are read: '5', '1.6 mm', '3/32', '1 1/2 in'. A fraction
    is of an inch where the unit is 32nds, so that '3/32' and '3' mean the same there.

    Raises:
        ValueError: it is not a number, or its unit is not known.
    """
    found = _NUMBER.fullmatch(text) if len(text) <= _LONGEST else None
    if found is None or (found["bottom"] and int(found["bottom"]) == 0):
        raise ValueError(f"“{text.strip()[:_LONGEST]}” is not a number.")
    code = unit(found["unit"]).code if found["unit"] else unit(default).code
    if found["top"] and code == "32nds":
        code = "in"
    number = Fraction(found["whole"] or 0)
    number += (
        Fraction(int(found["top"]), int(found["bottom"]))
        if found["top"]
        else Fraction(found["decimal"])
    )
    return Quantity(-number if found["sign"] in {"-", "−"} else number, code)


def show(value: Fraction, code: str) -> str:
    """Return the number as it is written on a page: '1/32 in', '12.4 V', '20%', '1/2 qt'."""
    one = UNITS[code]
    return f"{number(value, fractions=code in _IN_FRACTIONS)}{one.sign or ' ' + one.code}"


def number(value: Fraction, *, fractions: bool = False) -> str:
    """Return the number without its unit: whole, as a fraction of an inch, or to 3 decimals."""
    if value.denominator == 1:
        return str(value.numerator)
    if fractions and 64 % value.denominator == 0:
        whole, rest = divmod(abs(value), 1)
        parts = [str(whole)] if whole else []
        return ("-" if value < 0 else "") + " ".join([*parts, str(rest)])
    return f"{Decimal(round(value * 1000)) / 1000:f}"
