"""The text of a bottle, or of the maker's book, taken apart into grades, classes and names.

>>> oil = Oil.parse("SAE 5W-30, API SP/SN PLUS, dexos1 Gen 3")
>>> sorted(oil.grades), sorted(oil.marks)
(['5W-30'], ['API SN PLUS', 'API SP', 'DEXOS1 GEN 3'])
>>> one = said("Multi-vehicle ATF (WS, SP-IV). Not for CVT NS-3.")
>>> sorted(one.claims), sorted(one.denied)
([('SP', 'IV'), ('WS',)], [('NS', '3')])
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from vehicles.inspection.rows import words


@dataclass(frozen=True, kw_only=True)
class Oil:
    """An oil's text taken apart: grades such as `5W-30`, and the classes and names beside them.

    `options` are what stands between two “or”: meeting all of one of them is enough.
    """

    grades: frozenset[str]
    options: tuple[frozenset[str], ...]

    @classmethod
    def parse(cls, text: str) -> Oil:
        """Return the grades, classes and names of a text; what is no grade counts as a name."""
        plain = upper(text)
        options = (_marks(part) for part in re.split(r"\bOR\b", plain))
        return cls(grades=_grades(plain), options=tuple(one for one in options if one))

    @property
    def marks(self) -> frozenset[str]:
        """The classes and names of all options."""
        return frozenset().union(*self.options)


@dataclass(frozen=True)
class Said:
    """The names that a label claims, and those it says it is not for, each as its words."""

    claims: frozenset[tuple[str, ...]]
    denied: frozenset[tuple[str, ...]]


def said(text: str) -> Said:
    """Return the names that a label claims and denies."""
    claimed, denied = affirmed(text)
    return Said(claims=_names(claimed), denied=_names(denied))


def affirmed(text: str) -> tuple[str, str]:
    """Return what a label claims, and what it denies: all that follows a “not” in a sentence."""
    claimed, denied = [], []
    for sentence in re.split(r"\.\s|[;\n]", text):
        first, *rest = re.split(r"\b(?:not|never|except)\b", sentence, flags=re.IGNORECASE)
        claimed.append(first)
        denied += rest
    return "; ".join(claimed), "; ".join(denied)


def key(mark: str) -> str:
    """Return a name as it is compared: letters, digits and plus signs."""
    return "".join(c for c in mark if c.isalnum() or c == "+")


def more(one: tuple[str, ...], other: tuple[str, ...]) -> bool:
    """Return whether one name only adds plain words; a number or a short sign tells apart."""
    first, second = set(one), set(other)
    nested = first < second or second < first
    return nested and all(len(word) > _SIGN and word.isalpha() for word in first ^ second)


def upper(text: str) -> str:
    """Return the text in capitals, without signs of trademarks."""
    plain = re.sub(r"[®™]", " ", text).replace("–", "-").replace("\n", "; ")
    return " ".join(plain.upper().split())


def _names(text: str) -> frozenset[tuple[str, ...]]:
    return frozenset(one for part in _parts(text) if (one := _name(part)))


def _parts(text: str) -> list[str]:
    return re.split(r"[,;/()&]|\bOR\b|\bAND\b", re.sub(r"\bATF\s*\+\s*4\b", "ATF+4", upper(text)))


def _name(part: str) -> tuple[str, ...]:
    """Return the words of a name without those that name no specification."""
    words = re.split(r"[\s-]+", re.sub(r"[^A-Z0-9+.\s-]", " ", part))
    return tuple(bare for word in words if (bare := word.strip(".")) and bare not in _FILLER)


def _grades(text: str) -> frozenset[str]:
    """Return the SAE grades in a text: `5W-30`, `30`; numbers that are no grade are left."""
    found = set()
    for winter, hot in re.findall(r"\b(\d{1,2})W[-\s]?(\d{1,3})\b", text):
        pair = int(winter), int(hot)
        if any(pair[0] in cold and pair[1] in warm for cold, warm in (_J300, _J306)):
            found.add(f"{pair[0]}W-{pair[1]}")
    single = re.findall(r"\bSAE\s?(\d{2,3})\b(?!\s?W)", text)
    return frozenset(found | {hot for hot in single if int(hot) in _J300[1] | _J306[1]})


def _marks(text: str) -> frozenset[str]:
    """Return the classes of API, ILSAC and ACEA in a text, and the names that are left."""
    found, rest = set(), re.sub(r"\b\d{1,2}W[-\s]?\d{1,3}\b|\bSAE\s?\d{2,3}\b", ",", text)
    rest = rest.replace("GL-4/5", "GL-4/GL-5")
    for pattern, form in _CLASSES:
        if form.startswith("ACEA") and "ACEA" not in text:
            continue
        found |= {form.format(" ".join(one.split())) for one in re.findall(pattern, rest)}
        rest = re.sub(pattern, ",", rest)
    names = (" ".join(_name(part)) for part in _parts(rest))
    return frozenset(found | {name for name in names if name})


_SIGN: Final = 3  # a word this short (VI, LV, P) is a sign that tells fluids apart
# SAE J300 engine oils and J306 gear oils: winter and hot grades, from memory.
_J300: Final = (frozenset({0, 5, 10, 15, 20, 25}), frozenset({8, 12, 16, 20, 30, 40, 50, 60}))
_J306: Final = (
    frozenset({70, 75, 80, 85}),
    frozenset({65, 70, 75, 80, 85, 90, 110, 140, 190, 250}),
)
_CLASSES: Final = (
    (r"(?<![\w-])(S[HJLMNPQ](?:\s?PLUS)?)(?![\w-])", "API {}"),
    (r"\b(C[FHIJK]-[24]|FA-4)\b", "API {}"),
    (r"\b(GL-[1-5])\b", "API {}"),
    (r"\b(GF-\d[AB]?)\b", "ILSAC {}"),
    (r"\b([ABCEF]\d{1,2}(?:/[ABC]\d)?)\b", "ACEA {}"),
)
_FILLER: Final = frozenset(
    words("""
    ATF AUTOMATIC MANUAL TRANSMISSION FLUID FLUIDS OIL OILS TYPE GENUINE MEETS EXCEEDS APPROVED
    LICENSED RECOMMENDED SUITABLE REQUIREMENTS FOR USE IN WHERE IS ARE THE SPEC SPECIFICATION
    COOLANT ANTIFREEZE ENGINE MOTOR GEAR POWER STEERING CVT FULL FULLY SYNTHETIC BLEND CONVENTIONAL
    SAE API ILSAC ACEA SERVICE QUART PINT MULTI VEHICLE UNIVERSAL ALL MAKES MODELS
    TOYOTA FORD GM CHEVROLET NISSAN SUBARU HYUNDAI KIA MAZDA VOLKSWAGEN HONDA MOPAR
    RED PINK BLUE GREEN YELLOW ORANGE PURPLE VIOLET TURQUOISE CLEAR AMBER
    """)
)
