"""Conditions on a car, as the catalogue writes them beside a point.

>>> [str(clause) for clause in parse("LR RR: rear = drum; year >= 1968")]
['LR RR: rear = drum', 'year >= 1968']
>>> parse("year >= 1968")[0].holds(CarFacts(year=1965))
False
"""

from __future__ import annotations

import operator
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from vehicles.intake.car import Brake, CarFacts, Fuel

if TYPE_CHECKING:
    from collections.abc import Callable

_YEARS: Final[dict[str, Callable[[int, int], bool]]] = {
    ">=": operator.ge,
    "<=": operator.le,
    "=": operator.eq,
}
_WORDS: Final = {
    "front": frozenset(Brake),
    "rear": frozenset(Brake),
    "fuel": frozenset(Fuel),
    "power_brakes": frozenset({"yes", "no"}),
}
_YEAR_DIGITS = 4


@dataclass(frozen=True, kw_only=True)
class Clause:
    """One condition on a car; it binds only the places named, or every place where none is.

    Clauses of a point are written `LF RF: front = disc; fuel = hybrid plug_in; year >= 1968`.
    """

    fact: str
    sign: str
    values: tuple[str, ...]
    places: tuple[str, ...] = ()

    def __str__(self) -> str:
        where = f"{' '.join(self.places)}: " if self.places else ""
        return f"{where}{self.fact} {self.sign} {' '.join(self.values)}"

    def holds(self, car: CarFacts) -> bool:
        """Return whether the car meets it; a fact that nobody noted rules nothing out."""
        known = _known(car, self.fact)
        if known is None:
            return True
        if self.fact == "year":
            return _YEARS[self.sign](int(known), int(self.values[0]))
        return known in self.values

    def binds(self, place: str) -> bool:
        """Return whether the condition is about that place of the car."""
        corner = place.partition("-")[0]
        return not self.places or place in self.places or corner in self.places


def _known(car: CarFacts, fact: str) -> str | None:
    """Return a fact as the word that a clause compares, None where nobody noted it."""
    if fact == "power_brakes":
        return None if car.power_brakes is None else ("yes" if car.power_brakes else "no")
    found = {
        "year": car.year,
        "front": car.front_brakes,
        "rear": car.rear_brakes,
        "fuel": car.fuel,
    }[fact]
    return None if found is None else str(found)


def parse(text: str) -> tuple[Clause, ...]:
    """Return the clauses of a cell, which are separated by semicolons; all of them bind.

    Raises:
        ValueError: a clause has another form, or names a fact or value there is not.
    """
    return tuple(_clause(part.strip()) for part in text.split(";") if part.strip())


def _clause(text: str) -> Clause:
    places, colon, condition = text.rpartition(":")
    fact, sign, *values = [*condition.split(), "", ""]
    clause = Clause(
        fact=fact, sign=sign, values=tuple(filter(None, values)), places=tuple(places.split())
    )
    if not _is_sound(clause) or bool(colon) != bool(clause.places):
        raise ValueError(
            f"“{text}” is not a condition. Write it as “year >= 1968”, “rear = drum”, "
            "“fuel = hybrid electric” or “LR RR: rear = drum”."
        )
    return clause


def _is_sound(clause: Clause) -> bool:
    """Return whether fact, sign and values go together."""
    if clause.fact == "year":
        years = [word for word in clause.values if word.isdecimal() and len(word) == _YEAR_DIGITS]
        return clause.sign in _YEARS and len(years) == len(clause.values) == 1
    known = _WORDS.get(clause.fact, frozenset())
    return clause.sign == "=" and bool(clause.values) and known.issuperset(clause.values)
