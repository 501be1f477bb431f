"""What the US authority's table of VIN patterns says of a car, where that table is installed.

The table comes with the package `ultravin`, which a site may leave out; without it nothing is
suggested and a person types. What is decoded is a suggestion: it never replaces what was typed.

>>> decode("not a number") is None
True
>>> fuel_of("Gasoline", "", "PHEV (Plug-in Hybrid Electric Vehicle)")
<Fuel.PLUG_IN: 'plug_in'>
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from shared.say import Say, say
from vehicles.intake.car import Fuel
from vehicles.intake.vin import LENGTH, compact, model_year, model_year_is_sure

if TYPE_CHECKING:
    from collections.abc import Mapping

_KNOWN_YEAR = 2026  # when this was written; stands in where a caller does not say what year it is

# The table's words for a body, by how they begin, in the words of a shop; own design.
_BODIES = (
    ("Sedan", "Sedan"),
    ("Hatchback", "Hatchback"),
    ("Wagon", "Wagon"),
    ("Pickup", "Pickup"),
    ("Sport Utility", "SUV"),
    ("Crossover", "SUV"),
    ("Coupe", "Coupe"),
    ("Convertible", "Convertible"),
    ("Minivan", "Minivan"),
    ("Cargo Van", "Van"),
    ("Van", "Van"),
)
_FUELS = {
    "Gasoline": Fuel.GASOLINE,
    "Flexible Fuel Vehicle (FFV)": Fuel.GASOLINE,
    "Diesel": Fuel.DIESEL,
    "Electric": Fuel.ELECTRIC,
}
# A mild hybrid has no traction battery of dangerous voltage, so it stays what it burns.
_ELECTRIFIED = (
    ("BEV", Fuel.ELECTRIC),
    ("PHEV", Fuel.PLUG_IN),
    ("HEV", Fuel.HYBRID),
    ("Strong HEV", Fuel.HYBRID),
)


@dataclass(frozen=True, kw_only=True)
class Decoded:
    """What the table says of one car: empty or None wherever it says nothing.

    `engine` is the displacement as it stands on a parts list, such as `2.4 L`. `fuel` may miss a
    hybrid: before work near high voltage a person looks.
    """

    make: str
    model: str
    year: int | None
    engine: str
    body: str
    fuel: Fuel | None
    origin: Say


def decode(text: str, this_year: int = _KNOWN_YEAR) -> Decoded | None:
    """Return what is suggested for a VIN, or None: no table is here, or it has no such make.

    A wrong check digit does not stand in the way. `this_year` bounds the model year; where the
    table and position 7 mean two different years, none is suggested.
    """
    vin = compact(text)
    if len(vin) != LENGTH or not (vin.isascii() and vin.isalnum()):
        return None
    try:
        import ultravin  # noqa: PLC0415  # optional, and 95 MB that most pages never need
    except ImportError:
        return None
    # Without the hint the table takes some light trucks of 2010 and later for ones 30 years older.
    hint = model_year(vin, this_year) if model_year_is_sure(vin, this_year) else None
    found = ultravin.decode(vin, year=hint, now=datetime(this_year, 12, 31, tzinfo=UTC))
    facts = found["attributes"]
    if not facts.get("Make"):
        return None
    return Decoded(
        make=_make(facts["Make"]),
        model=facts.get("Model", ""),
        year=found["model_year"] if hint in {None, found["model_year"]} else None,
        engine=_engine(facts),
        body=_body(facts.get("Body Class", "")),
        fuel=fuel_of(
            facts.get("Fuel Type - Primary", ""),
            facts.get("Fuel Type - Secondary", ""),
            facts.get("Electrification Level", ""),
        ),
        origin=say(
            "Suggested from the VIN by the US authority’s table of {month}.",
            month=ultravin.provenance()["data_month"].replace("_", "-"),
        ),
    )


def fuel_of(primary: str, secondary: str, level: str) -> Fuel | None:
    """Return the fuel for the table's three columns; None for gases and what is not said."""
    for start, fuel in _ELECTRIFIED:
        if level.startswith(start):
            return fuel
    burns = _FUELS.get(primary)
    # Older rows name a hybrid by its second source alone.
    if burns and burns.has_engine and secondary == "Electric" and not level:
        return Fuel.HYBRID
    return burns


def _make(name: str) -> str:
    """Return the make as it is written: the table has capitals."""
    return name if len(name) <= len("BMW") and name != "KIA" else name.title()


def _engine(facts: Mapping[str, str]) -> str:
    liters = facts.get("Displacement (L)", "")
    return f"{float(liters):.1f} L" if liters else ""


def _body(name: str) -> str:
    return next((word for start, word in _BODIES if name.startswith(start)), "")
