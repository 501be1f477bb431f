"""A table of a file read key by key: each wrong value becomes a mistake with its place.

>>> from vehicles.diagnosis.problem import Mistakes, line_of
>>> mistakes = Mistakes()
>>> section = Section({"minutes": "ten", "titles": "Fan"}, "faults.fan", mistakes)
>>> section.whole("minutes"), section.text("title")
(0, '')
>>> section.close()
>>> for problem in mistakes.found: print(line_of(problem))
faults.fan.minutes: “ten” is not a whole number.
faults.fan.title: This is missing.
faults.fan.titles: “titles” is not known here. Did you mean “title”?
>>> section.share("weight"), line_of(mistakes.found[-1])
(0.0, 'faults.fan.weight: This is missing.')

A wrong value is read as an empty one, so that reading goes on and finds all the mistakes.
"""

from __future__ import annotations

from math import fsum
from typing import TYPE_CHECKING, Final

from shared.money import cents
from shared.say import Say, say
from vehicles.diagnosis.problem import shown

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from vehicles.diagnosis.problem import Mistakes

MISSING: Final = say("This is missing.")
TOLERANCE: Final = 1e-6  # by how much shares may miss their sum
_LONGEST_NUMBER: Final = 60  # digits or characters
_MOST_ITEMS: Final = 60  # of a list of texts
_MOST_CENTS: Final = 10_000_00


class Section:
    """One table of the file. `place` is its dotted name; empty for the whole file."""

    def __init__(self, table: Mapping[str, object], place: str, mistakes: Mistakes) -> None:
        self.table, self.place, self.mistakes = table, place, mistakes
        self._asked: dict[str, None] = {}

    def __contains__(self, key: str) -> bool:
        return key in self.table

    def knows(self, key: str, known: Iterable[str]) -> bool:
        """Return whether a key is one of the names known; where it is none, that is a mistake."""
        if key in (names := list(known)):
            return True
        self.mistakes.add_unknown(self.at(key), key, names)
        return False

    def at(self, key: str) -> str:
        """Return the place of a key."""
        return f"{self.place}.{shown(key)}" if self.place else shown(key)

    def wrong(self, key: str, sentence: Say) -> None:
        """Say that the value of a key is wrong."""
        self.mistakes.add(self.at(key), sentence)

    def text(self, key: str, default: str | None = None, *, longest: int = 200) -> str:
        """Return a text on one line; needed unless there is a default."""
        value = self._value(key, default)
        if value is None:
            return default or ""
        if not isinstance(value, str) or not value.strip():
            self.wrong(key, say("{value} is not a text.", value=_quoted(value)))
        elif len(value) > longest:
            self.wrong(key, say("The text is longer than {n} characters.", n=longest))
        elif not value.isprintable():
            self.wrong(key, say("The text holds a line break or another unprintable character."))
        else:
            return value.strip()
        return default or ""

    def texts(self, key: str, *, longest: int = 200) -> tuple[str, ...]:
        """Return a list of different texts; empty where there is none."""
        value = self._value(key, ())
        if value is None:
            return ()
        if not isinstance(value, list) or len(value) > _MOST_ITEMS:
            self.wrong(key, say("This has to be a list of at most {n} texts.", n=_MOST_ITEMS))
            return ()
        items = Section(
            {str(n): one for n, one in enumerate(value, 1)}, self.at(key), self.mistakes
        )
        found = [text for n in items.table if (text := items.text(n, longest=longest))]
        for text in sorted({one for one in found if found.count(one) > 1}):
            self.wrong(key, say("“{text}” stands there twice.", text=shown(text)))
        return tuple(dict.fromkeys(found))

    def word(self, key: str, known: Iterable[str], default: str | None = None) -> str:
        """Return one of the words known; empty where it is none of them."""
        text = self.text(key, default)
        words = list(known)
        if text and text != default and text not in words:
            self.mistakes.add_unknown(self.at(key), text, words)
            return default or ""
        return text

    def words(self, key: str, known: Iterable[str]) -> tuple[str, ...]:
        """Return a list of words, those known only."""
        words = list(known)
        for text in (found := self.texts(key)):
            if text not in words:
                self.mistakes.add_unknown(self.at(key), text, words)
        return tuple(text for text in found if text in words)

    def flag(self, key: str) -> bool:
        """Return a yes or no; no where it does not stand there."""
        value = self._value(key, default=False)
        if value is not None and not isinstance(value, bool):
            self.wrong(key, say("Write {yes} or {no} without quotes.", yes="true", no="false"))
        return value is True

    def whole(self, key: str, default: int | None = None, *, low: int = 0, high: int = 6000) -> int:
        """Return a whole number within bounds, both included; needed unless there is a default."""
        value = self._value(key, default)
        if value is None:
            return default or 0
        if not isinstance(value, int) or isinstance(value, bool):
            self.wrong(key, say("{value} is not a whole number.", value=_quoted(value)))
        elif not low <= value <= high:
            self.wrong(key, say("This has to be from {low} to {high}.", low=low, high=high))
        else:
            return value
        return default or 0

    def share(self, key: str, default: float | None = None) -> float:
        """Return a probability; needed unless there is a default."""
        value = self._value(key, default)
        if value is None:
            return default or 0.0
        found = _share(value)
        if found is None:
            self.wrong(key, say("{value} is not from 0 to 1.", value=_quoted(value)))
        return found or 0.0

    def row(self, key: str, length: int) -> tuple[float, ...]:
        """Return so many probabilities that sum to one; empty where they are something else.

        With a length of zero, since nobody knows the outcomes, it is not looked at.
        """
        value = self._value(key)
        if value is None or not length:
            return ()
        shares = [_share(one) for one in value] if isinstance(value, list) else []
        row = [one for one in shares if one is not None]
        if len(shares) != length:
            self.wrong(key, say("This has to be a list of {n} numbers, one an outcome.", n=length))
        elif len(row) != length:
            self.wrong(key, say("Each number has to be from 0 to 1."))
        elif abs(fsum(row) - 1) > TOLERANCE:
            self.wrong(key, _sum(row))
        else:
            return normal(row)
        return ()

    def money(self, key: str, default: int = 0) -> int:
        """Return the whole cents of an amount that is written as text."""
        value = self._value(key, default)
        if value is None:
            return default
        try:
            return _amount(value)
        except ValueError as error:
            self.wrong(key, say("{sentence}", sentence=str(error)))
        return default

    def section(self, key: str, *, needed: bool = False) -> Section:
        """Return the table of a key; an empty one where there is none."""
        value = self._value(key, None if needed else {})
        if value is not None and not isinstance(value, dict):
            self.wrong(key, say("This has to be a table of keys and values."))
        return Section(value if isinstance(value, dict) else {}, self.at(key), self.mistakes)

    def sections(self, key: str) -> list[Section]:
        """Return the tables of a list of tables; none where it does not stand there."""
        value = self._value(key, ())
        if value is None:
            return []
        if not isinstance(value, list) or not all(isinstance(one, dict) for one in value):
            self.wrong(key, say("This has to be a list of tables."))
            return []
        return [
            Section(one, f"{self.at(key)}.{n}", self.mistakes)
            for n, one in enumerate(value[:_MOST_ITEMS], 1)
        ]

    def names(self) -> Iterator[str]:
        """Yield all keys of a table whose keys are names, and take them as asked for."""
        for key in self.table:
            self._asked[key] = None
            yield key

    def close(self) -> None:
        """Say which keys nobody asked for."""
        for key in self.table:
            if key not in self._asked:
                self.mistakes.add_unknown(self.at(key), key, self._asked)

    def _value(self, key: str, default: object = None) -> object:
        """Return what stands at a key; None, said to be missing where there is no default."""
        self._asked[key] = None
        if key not in self.table and default is None:
            self.wrong(key, MISSING)
        return self.table.get(key)


def number(value: float) -> str:
    """Return a share with two decimals, or as many of six as it has."""
    whole, _, part = f"{value:.6f}".partition(".")
    return f"{whole}.{part.rstrip('0'):0<2}"


def normal(row: list[float]) -> tuple[float, ...]:
    """Return shares with what rounding left taken out, so that they sum to one."""
    total = fsum(row)
    return tuple(row) if total == 1 else tuple(one / total for one in row)


def _share(value: object) -> float | None:
    """Return a probability, or None where it is none; `nan` is none either."""
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= 1:
        return None
    return float(value)


def _amount(value: object) -> int:
    """Return whole cents of a text; a number is refused, since 0.1 dollars are not exact."""
    found = cents(value[:_LONGEST_NUMBER]) if isinstance(value, str) else -1
    if not 0 <= found <= _MOST_CENTS:
        raise ValueError("Write dollars as text, from “0.00” to “10000.00”.")
    return found


def _sum(row: list[float]) -> Say:
    shares = ", ".join(number(one) for one in row)
    return say("{shares} sum to {total}, not 1.", shares=shares, total=number(fsum(row)))


def _quoted(value: object) -> str:
    """Return a value in quotes; a table or a list by that word, and no number too long to print."""
    match value:
        case dict():
            return "A table"
        case list():
            return "A list"
        case int() if abs(value) > 10**_LONGEST_NUMBER:
            return "The number"
    return f"“{shown(str(value))}”"
