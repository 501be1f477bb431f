"""Whether the fluid in a bottle is the one that the maker demands: right, wrong, or ask.

>>> compare(Kind.OIL, "5W-30 API SN", Bottle(says="SAE 5W-30, API SP")).answer.value
'right'
>>> str(compare(Kind.LISTED, "SP-IV", Bottle(says="DEXRON VI, MERCON LV")).because)
'The bottle does not list SP-IV: never take one for the other.'

Source: the grades of SAE J300 and J306, and that a later API or ILSAC class covers an earlier one:
from memory. That a maker's own fluid is replaced only by one that lists it, that coolant is never
told by its color, and that brake fluid comes from a fresh can: common practice, no source.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.fluids.labels import Oil, affirmed, key, more, said, upper

if TYPE_CHECKING:
    from collections.abc import Iterable


class Kind(StrEnum):
    """How a demand and a bottle are compared."""

    OIL = "oil"  # grade and service classes, then names
    LISTED = "listed"  # names alone: the bottle lists the demanded one
    DOT = "dot"
    NONE = "none"  # any that is sold for the purpose


class Answer(StrEnum):
    """What a comparison gives. Only with `RIGHT` anything is poured in."""

    RIGHT = "right"
    WRONG = "wrong"
    ASK = "ask"


@dataclass(frozen=True, kw_only=True)
class Bottle:
    """What the label says, as typed; whether the bottle had been opened before, or None."""

    says: str
    opened: bool | None = None


@dataclass(frozen=True, kw_only=True)
class Verdict:
    """The answer with its reason, as a sentence."""

    answer: Answer
    because: Say


def compare(kind: Kind, demanded: str, bottle: Bottle) -> Verdict:
    """Return whether the bottle holds what the maker demands; what is not known is asked."""
    if kind == Kind.NONE:
        return Verdict(answer=Answer.RIGHT, because=say("Any that is sold for this purpose."))
    if not demanded.strip():
        return _ask(say("What the maker demands is not noted: look it up in the maker’s book."))
    if not bottle.says.strip():
        return _ask(say("What the bottle says is not noted: read its label."))
    return {Kind.OIL: _oil, Kind.DOT: _dot}.get(kind, _listed)(demanded, bottle)


def _oil(demanded: str, bottle: Bottle) -> Verdict:
    wanted, there = Oil.parse(demanded), Oil.parse(affirmed(bottle.says)[0])
    if not wanted.grades:
        return _listed(demanded, bottle)
    grades = _in_words(wanted.grades)
    if not there.grades:
        return _ask(say("The label’s grade is not noted; the maker wants {grade}.", grade=grades))
    if not wanted.grades & there.grades:
        return _wrong(
            say(
                "The maker wants {grade}; the bottle is {other}.",
                grade=grades,
                other=_in_words(there.grades),
            )
        )
    if not wanted.options:
        return _ask(
            say("{grade} agrees; which class the maker demands is not noted.", grade=grades)
        )
    return _classes(wanted, there)


def _classes(wanted: Oil, there: Oil) -> Verdict:
    """Return whether all classes and names of one option are met."""
    lacking = [
        sorted(mark for mark in option if not _covered(mark, there.marks))
        for option in wanted.options
    ]
    fewest = min(lacking, key=len)
    if not fewest:
        return _right()
    if all(not any(c.isdigit() for c in mark) and mark not in _IN_LINE for mark in fewest):
        return _ask(say("Whether the bottle is {mark} is not noted.", mark=_in_words(fewest)))
    return _wrong(say("The bottle does not list {mark}.", mark=_in_words(fewest)))


def _covered(mark: str, there: frozenset[str]) -> bool:
    """Return whether a class or name stands on the bottle, or a later one of its line does."""
    if any(key(mark) == key(one) for one in there):
        return True
    later = (line[line.index(mark) :] for line in LINES if mark in line)
    return any(not there.isdisjoint(line) for line in later)


def _dot(demanded: str, bottle: Bottle) -> Verdict:
    wanted, there = _grades(demanded), _grades(affirmed(bottle.says)[0])
    if not wanted or not there:
        return _ask(say("The grade on the cap and the one on the can both have to be noted."))
    if (SILICONE in wanted) != (SILICONE in there):
        return _wrong(say("DOT 5 is silicone: it is never mixed with DOT 3, DOT 4 or DOT 5.1."))
    if not wanted.isdisjoint(there):
        return _fresh(bottle)
    cap, can = (" or ".join(f"DOT {one}" for one in sorted(some)) for some in (wanted, there))
    if max(there) > max(wanted):
        return _ask(
            say("The cap says {grade}. A higher grade only if the maker allows it.", grade=cap)
        )
    return _wrong(say("The cap says {grade}; the can is {other}.", grade=cap, other=can))


def _grades(text: str) -> frozenset[str]:
    """Return the DOT grades of a text; low viscosity is a grade of its own above DOT 4."""
    found = _DOT.findall(upper(text))
    return frozenset(grade + ("" if not thin else " LV") for grade, thin in found)


def _fresh(bottle: Bottle) -> Verdict:
    if bottle.opened is None:
        return _ask(say("Whether the can was sealed is not noted."))
    if bottle.opened:
        return _wrong(say("An opened can has drawn water: take a fresh sealed one."))
    return _right()


def _listed(demanded: str, bottle: Bottle) -> Verdict:
    """Return whether the bottle lists one of the names that the maker demands."""
    wanted, there = said(demanded).claims, said(bottle.says)
    if not wanted or not (there.claims or there.denied):
        return _ask(
            say("Maker and color say nothing: the name of the specification has to be noted.")
        )
    names, refused = ({"".join(one) for one in some} for some in (there.claims, there.denied))
    # A label that denies a name it claims does not list it.
    if any("".join(one) in names - refused for one in wanted):
        return _right()
    if any(more(one, claim) for one in wanted for claim in there.claims):
        return _ask(
            say(
                "The maker says {mark}, the bottle says more or less: compare label and book.",
                mark=demanded.strip(),
            )
        )
    return _wrong(
        say("The bottle does not list {mark}: never take one for the other.", mark=demanded.strip())
    )


def _in_words(marks: Iterable[str]) -> str:
    return ", ".join(sorted(marks))


def _right() -> Verdict:
    return Verdict(answer=Answer.RIGHT, because=say("The bottle lists what the maker demands."))


def _wrong(because: Say) -> Verdict:
    return Verdict(answer=Answer.WRONG, because=because)


def _ask(because: Say) -> Verdict:
    return Verdict(answer=Answer.ASK, because=because)


SILICONE: Final = "5"
_DOT: Final = re.compile(r"\bDOT[\s-]?(5\.1|[345])(?![\d.]*\d)[\s-]?(LV|CLASS 6)?")
#: Lines in which a later class covers those before it; all from memory. GF-6B and GF-7B are a line
#: of their own, FA-4 covers no C class, and classes of ACEA and GL cover only themselves.
LINES: Final = (
    ("API SJ", "API SL", "API SM", "API SN", "API SN PLUS", "API SP", "API SQ"),
    ("API CH-4", "API CI-4", "API CJ-4", "API CK-4"),
    ("ILSAC GF-3", "ILSAC GF-4", "ILSAC GF-5", "ILSAC GF-6A", "ILSAC GF-7A"),
    ("ILSAC GF-6B", "ILSAC GF-7B"),
    ("DEXOS1 GEN 1", "DEXOS1 GEN 2", "DEXOS1 GEN 3"),
)
_IN_LINE: Final = frozenset(mark for line in LINES for mark in line)
