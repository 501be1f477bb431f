"""Whether two texts of a specification say the same: a make, an engine, a tire's sidewall.

Each comparison answers yes, no, or None where the two texts don't settle it.

>>> same_name("Corolla", "COROLLA"), same_name("Corolla", "Corolla LE")
(True, None)
>>> Tire.parse("P205/55R16 91V")
Tire(prefix='P', width_mm=205, ratio=55, build='R', rim_in=16, load_index=91, speed_symbol='V')
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping

#: Speed in km/h that a tire of each symbol stands. Source: UN Regulation 30, from memory.
SPEED_SYMBOLS: Final[Mapping[str, int]] = MappingProxyType(
    {
        "L": 120,
        "M": 130,
        "N": 140,
        "P": 150,
        "Q": 160,
        "R": 170,
        "S": 180,
        "T": 190,
        "U": 200,
        "H": 210,
        "V": 240,
        "W": 270,
        "Y": 300,
    }
)
# What people say for a make, common practice.
_MAKES: Final = MappingProxyType({"chevy": "chevrolet", "vw": "volkswagen"})
_DISPLACEMENT = re.compile(r"\b(\d\.\d)(?:\s*l)?\b")
_TIRE = re.compile(
    r"(?P<prefix>P|LT|ST|T)?(?P<width>\d{3})/(?P<ratio>\d{2})(?P<build>Z?R|D|B)(?P<rim>\d{2})"
    r"(?:XL)?(?:\(?(?P<load>\d{2,3})(?P<speed>[A-Z])\)?)?(?:XL)?"
)


@dataclass(frozen=True)
class Tire:
    """What a tire's sidewall says; load index and speed symbol may be missing."""

    prefix: str
    width_mm: int
    ratio: int
    build: str
    rim_in: int
    load_index: int | None
    speed_symbol: str

    @classmethod
    def parse(cls, text: str) -> Tire | None:
        """Return the tire that a size such as `205/55R16 91V` names, or None if it names none."""
        found = _TIRE.fullmatch("".join(text.upper().split()))
        if not found:
            return None
        return cls(
            prefix=found["prefix"] or "",
            width_mm=int(found["width"]),
            ratio=int(found["ratio"]),
            build=found["build"].removeprefix("Z"),
            rim_in=int(found["rim"]),
            load_index=int(found["load"]) if found["load"] else None,
            speed_symbol=found["speed"] or "",
        )

    def same_size(self, other: Tire) -> bool | None:
        """Return whether both have one size; None when only the P of passenger tires differs.

        A P-metric tire and a metric one of the same numbers may carry different loads, so that
        a person has to compare them.
        """
        if self._numbers != other._numbers:
            return False
        prefixes = {self.prefix, other.prefix}
        if len(prefixes) == 1:
            return True
        return None if prefixes == {"P", ""} else False

    @property
    def _numbers(self) -> tuple[int, int, str, int]:
        return self.width_mm, self.ratio, self.build, self.rim_in


# A matching compares the same few texts a million times.
@lru_cache(maxsize=4096)
def key(text: str) -> str:
    """Return the text as it is compared: letters, digits and points, without case or spaces."""
    return "".join(c for c in text.casefold() if c.isalnum() or c == ".")


def same_make(one: str, other: str) -> bool:
    """Return whether both texts name one make, allowing for what people say for it."""
    return _MAKES.get(key(one), key(one)) == _MAKES.get(key(other), key(other))


def same_name(one: str, other: str) -> bool | None:
    """Return whether both texts name one model; None when one of them says more than the other."""
    first, second = key(one), key(other)
    if first == second:
        return True
    return None if first.startswith(second) or second.startswith(first) else False


def covers(part: str, car: str) -> bool | None:
    """Return whether a car's engine or transmission is one that the part is for.

    Yes when the car's text says all that the part's says; no when both state a displacement and
    they differ, or both are one plain word and differ; None in any other case.
    """
    wanted, there = words(part), words(car)
    if wanted <= there:
        return True
    sizes = _DISPLACEMENT.findall(part.casefold()), _DISPLACEMENT.findall(car.casefold())
    if all(sizes):
        return None if sizes[0][0] == sizes[1][0] else False
    return None if any(sizes) or len(wanted) > 1 or len(there) > 1 else False


def overlaps(part: str, need: str) -> bool:
    """Return whether a part for position `part` serves `need`: front serves front left."""
    return words(part) <= words(need)


@lru_cache(maxsize=4096)
def words(text: str) -> frozenset[str]:
    """Return the words of a text or code as they are compared; `2.0 L` is one word, `2.0`."""
    plain = _DISPLACEMENT.sub(r"\1", text.casefold())
    return frozenset(key(word) for word in re.split(r"[\s,;_]+", plain) if key(word))
