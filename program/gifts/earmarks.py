"""A gift set aside for one household is found in the giver's own words, before it is accepted.

What is found is a help, not a proof: a person reads the terms too.

>>> dana = Named(name="Dana Haskell", cases=("26-041",))
>>> [one.words for one in earmarks("For Dana's brakes, please.", [dana])]
['Dana']
>>> earmarks("For brakes of anybody who drives to work.", [dana])
[]
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.problems import Problem
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

#: IRS Publication 526, text-seen (reference: charity rules 7.4).
QUOTE: Final = "must not be set aside for use by a specific person"
_PARTICLES = (
    "al and da de del della den der di do dos du el family household jr la las le los mr mrs ms of "
    "sr st the van von y"
)
PARTICLES: Final = frozenset(_PARTICLES.split())
_EVERYDAY = (
    "april art august bill black brown car carter chance chase cook cooper cross day dean drew "
    "faith field ford frank gene grace grant gray green hall hill hope hunter joy june king lane "
    "lee long love marsh mason mark may miles miller moss pat page park parker price ray reed rich "
    "rob rose small smith stone summer taylor wade walker waters west white will wood work wright "
    "young"
)
#: Names that are everyday words too: they count only with a capital inside a sentence.
EVERYDAY: Final = frozenset(_EVERYDAY.split())
KIN: Final = (
    "aunt|brother|cousin|coworker|daughter|employee|family|father|friend|granddaughter|"
    "grandfather|grandmother|grandson|husband|mother|neighbor|nephew|niece|pastor|relative|"
    "sister|son|tenant|uncle|wife"
)
FOR: Final = r"(?:for|on behalf of|given to|goes? to)"
PHRASES: Final = (
    re.compile(rf"\b{FOR}\s+(?:mrs?|ms|mx|miss|dr)\b\.?\s*\w*", re.IGNORECASE),
    re.compile(rf"\b{FOR}\s+(?:my|our|his|her|their)\s+(?:own\s+)?(?:{KIN})\b", re.IGNORECASE),
    re.compile(r"\b(?:[Tt]he|[Ff]amily)\s+[A-Z][\w’'-]+\s+(?:family|household)\b"),
    re.compile(r"\b[A-Z][\w-]+[’']s\s+(?:car|truck|van|vehicle|repairs?)\b"),
)
WORD: Final = re.compile(r"\w+(?:-\w+)*")


@dataclass(frozen=True, kw_only=True)
class Named:
    """A household of the program: the name it applied under, and the numbers of its cases."""

    name: str
    cases: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Earmark:
    """The words of the terms that set the gift aside for somebody."""

    words: str

    @property
    def problem(self) -> Problem:
        """Why the gift can't be accepted so, and what may be asked of the giver instead.

        Source: IRS Publication 526 (text-seen).
        """
        return Problem(
            say(
                "“{words}” may mean one household. A gift “{quote}” (IRS Publication 526).",
                words=self.words,
                quote=QUOTE,
            ),
            remedy=say("Ask the giver for a preference instead; who is helped is decided here."),
        )


def earmarks(terms: str, named: Iterable[Named]) -> list[Earmark]:
    """Return what in the terms may set the gift aside for one person, in the order of the terms.

    Names and numbers are whole words, in capitals or not; each is found once.
    """
    households = list(named)
    found = dict(_numbers(terms, {number for one in households for number in one.cases}))
    found |= dict(_names(terms, {word for one in households for word in _parts(one.name)}))
    taken = [(at, at + len(words)) for at, words in found.items()]
    for pattern in PHRASES:
        for match in pattern.finditer(terms):
            if not any(match.start() < end and start < match.end() for start, end in taken):
                found[match.start()] = match.group().strip()
    return [Earmark(words=words) for words in dict.fromkeys(found[at] for at in sorted(found))]


def preference() -> Say:
    """Return the words in which a giver may say what they would like, without setting it aside."""
    return say(
        "The giver would like this to help with an open need such as the one they heard of. "
        "This is a preference: the program decides who is helped and keeps control of the money."
    )


def _numbers(terms: str, numbers: set[str]) -> Iterator[tuple[int, str]]:
    for number in numbers:
        for match in re.finditer(rf"(?<![\w-]){re.escape(number)}(?![\w-])", terms):
            yield match.start(), number


def _names(terms: str, names: set[str]) -> Iterator[tuple[int, str]]:
    for match in WORD.finditer(terms):
        word = match.group()
        if word.casefold() in names and (
            word.casefold() not in EVERYDAY or _meant(terms, match.start())
        ):
            yield match.start(), word


def _meant(terms: str, at: int) -> bool:
    """Return whether an everyday word stands as a name: a capital that opens no sentence."""
    before = terms[:at].rstrip()
    return terms[at].isupper() and bool(before) and before[-1] not in ".!?:"


def _parts(name: str) -> Iterator[str]:
    """Yield the given names and surnames in a name."""
    for match in WORD.finditer(name):
        word = match.group().casefold()
        if len(word) > 1 and word not in PARTICLES:
            yield word
