"""Mistakes of a file: what is wrong, where, and what is perhaps meant.

>>> mistakes = Mistakes()
>>> mistakes.add_unknown("faults.fan.system", "coolant", ["brakes", "cooling"])
>>> mistakes.add("title", say("This is missing."))
>>> for problem in mistakes.found: print(line_of(problem))
faults.fan.system: “coolant” is not known here. Did you mean “cooling”?
title: This is missing.
"""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING, Final

from shared.problems import Problem
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable

MOST_MISTAKES: Final = 200  # nobody reads more at once, and a hostile file could hold millions
_LONGEST: Final = 60  # of a word repeated in a sentence
_MOST_WORDS: Final = 25  # of those that could be meant


class Mistakes:
    """What is wrong with a file, in the order found; complete up to `MOST_MISTAKES`."""

    def __init__(self) -> None:
        self.found: list[Problem] = []

    @property
    def is_full(self) -> bool:
        """Whether no more are taken in."""
        return len(self.found) > MOST_MISTAKES

    def add(self, place: str, sentence: Say) -> None:
        """Take in one more, or say once that there are more than that."""
        if len(self.found) < MOST_MISTAKES:
            self.found.append(Problem(sentence, where=place))
        elif not self.is_full:
            self.found.append(Problem(say("More mistakes follow; mend those above first.")))

    def add_unknown(self, place: str, word: str, known: Iterable[str]) -> None:
        """Take in a word that is none of those known, with the nearest of them or all."""
        if not self.is_full:
            instead = _instead(word, list(known))
            sentence = say(
                "“{word}” is not known here. {instead}", word=shown(word), instead=instead
            )
            self.add(place, sentence)


def line_of(problem: Problem) -> str:
    """Return a mistake as one line: its place and its sentence."""
    return f"{problem.where}: {problem.sentence}" if problem.where else str(problem.sentence)


def shown(text: str) -> str:
    """Return a text fit to be repeated in a sentence: printable and not long."""
    plain = "".join(one if one.isprintable() else "·" for one in text[: _LONGEST + 1])
    return plain if len(text) <= _LONGEST else f"{plain[:_LONGEST]}…"


def _instead(word: str, known: list[str]) -> Say:
    """Return what to write instead of a word: the nearest, or any of those known."""
    if near := get_close_matches(word[:_LONGEST], known, 1):
        return say("Did you mean “{word}”?", word=near[0])
    if not known:
        return say("There are none.")
    rest = ", …" if len(known) > _MOST_WORDS else ""
    return say("Use one of: {words}.", words=", ".join(known[:_MOST_WORDS]) + rest)
