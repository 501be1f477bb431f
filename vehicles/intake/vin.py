"""Vehicle identification numbers: shape, check digit, model year, likely corrections.

>>> validate("1m8gdm9axkp042788")
'1M8GDM9AXKP042788'
>>> corrections("1M8GDM9AXKP042878")[0]
'1M8GDM9AXKP042788'

Source: 49 CFR 565 Subpart B; ISO 3779 for the frame.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterator

LENGTH = 17
_CHECK, _YEAR = 8, 9  # where the check digit and the year code stand, counted from 0

# Source: 49 CFR 565.15(c), letters as numbers and the weight of each position; text seen.
_VALUES = {str(digit): digit for digit in range(10)} | dict(
    zip("ABCDEFGHJKLMNPRSTUVWXYZ", (*range(1, 9), *range(1, 6), 7, 9, *range(2, 10)), strict=True)
)
_WEIGHTS = (8, 7, 6, 5, 4, 3, 2, 10, 0, 9, 8, 7, 6, 5, 4, 3, 2)
_DIGITS = "0123456789X"
_FORBIDDEN = {"I": "1", "O": "0", "Q": "0"}

# Source: 49 CFR 565.15, table of model years; text seen. I, O, Q, U, Z and 0 are never used.
_YEAR_CODES = "ABCDEFGHJKLMNPRSTVWXY123456789"
_FIRST_YEAR, _CYCLE = 1980, 30
_KNOWN_YEAR = 2026  # when this was written; stands in where a caller does not say what year it is
_AHEAD = 2  # how far ahead of the calendar a model year may be; own design

# Pairs taken for one another on a worn plate or in handwriting; common practice, no source.
_ALIKE = ("S5", "B8", "Z2", "G6", "D0", "L1")
_RATHER_ALIKE = ("38", "56", "17", "69", "T7", "C0", "UV", "VY", "MN", "PR", "KX", "EF", "CG", "HN")

# Source: ISO 3780, first character; read as a table in an open-source package.
_REGIONS = (
    ("ABCD", "Africa"),
    ("HJKLMNPR", "Asia"),
    ("STUVWXYZ", "Europe"),
    ("123457", "North America"),
    ("6", "Oceania"),
    ("89", "South America"),
)
# Makers by identifier, of the cars that the program sees most. Source: the open VIN listing of
# the US vehicle authority, vPIC, in which these stand for cars and light trucks; text seen.
_MAKERS = {
    "Chevrolet": "1G1 1GC 1GN 2C1 2CN 2G1 2GC 2GN 3G1 3GC 3GN KL1 KL7 KL8",
    "Ford": "1FA 1FM 1FT 1ZV 2FA 2FM 2FT 3FA 3FM 3FT MAJ NM0",
    "Hyundai": "5NM 5NP 5NT KM8 KMH",
    "Kia": "3KP 5XX 5XY KNA KND",
    "Mazda": "1YV 3MD 3MV 3MZ 4F2 4F4 7MM JM1 JM2 JM3",
    "Nissan": "1N4 1N6 3N1 3N6 3N8 5N1 JN1 JN6 JN8 KNM",
    "Subaru": "4S3 4S4 JF1 JF2",
    "Toyota": "1NX 2T1 2T3 3TM 4T1 4T3 4T4 4TA 5TB 5TD 5TE 5TF 5YF JT2 JT3 JTD JTE JTK JTL JTM JTN",
    "Volkswagen": "1V1 1V2 1VW 3VV 3VW 9BW WV1 WV2 WVG WVW",
}
_MOST_CORRECTIONS = 12  # a person reads no longer list; own design
_LABEL = re.compile(r"^(?:VIN|I(?=[A-Z0-9]{17}$))")  # I opens the bar code of an imported car
_FEWEST_DIGITS, _LONGEST = 4, 5000  # plain words have fewer; own design
_OLD_LENGTHS = range(5, 14)  # numbers of the years before 1981, per maker


def compact(text: str) -> str:
    """Return the number in capitals, without the spaces and dashes that people put in."""
    kept = (sign for sign in text if not sign.isspace() and sign not in "-–‐")
    # Only plain letters: other alphabets have letters that turn into these as capitals.
    return "".join(sign.upper() if sign.isascii() else sign for sign in kept)


def find(text: str) -> str:
    """Return the number in a pasted text or in what a camera read, compact; empty if there is none.

    It may be split by spaces, dashes or line ends, or have O for 0. One with a true check digit is
    preferred; otherwise the first that looks like a number is returned, to be corrected.
    """
    words = [_LABEL.sub("", word.upper()) for word in re.findall(r"[A-Za-z0-9]+", text[:_LONGEST])]
    runs = _runs([word for word in words if word])
    looks = [run for run in runs if sum(sign.isdigit() for sign in run) >= _FEWEST_DIGITS]
    plain = ["".join(_FORBIDDEN.get(sign, sign) for sign in run) for run in looks]
    return next((run for run in [*looks, *plain] if is_valid(run)), looks[0] if looks else "")


def validate(text: str) -> str:
    """Return the compact number.

    Raises:
        ValueError: it is not a VIN with a true check digit; the sentence names the likely
            correction where there is one.
    """
    vin = compact(text)
    _check_shape(vin)
    expected = _expected(vin)
    if vin[_CHECK] != expected:
        raise ValueError(
            f"{vin} does not pass its check digit: character 9 is {vin[_CHECK]}, "
            f"the others ask for {expected}.{_likely(vin)}"
        )
    return vin


def is_valid(text: str) -> bool:
    """Return whether `validate` would accept it."""
    vin = compact(text)
    return len(vin) == LENGTH and set(vin) <= set(_VALUES) and vin[_CHECK] == _expected(vin)


def check_digit(text: str) -> str:
    """Return what stands at position 9 if the other 16 characters are right: 0 to 9 or X.

    Raises:
        ValueError: the number has not the shape of a VIN.

    Source: 49 CFR 565.15(c).
    """
    vin = compact(text)
    _check_shape(vin)
    return _expected(vin)


def model_years(text: str) -> tuple[int, ...]:
    """Return the years that character 10 can mean, earlier first; none where it is no year code.

    Source: 49 CFR 565.15, a cycle of 30 years from 1980.
    """
    vin = compact(text)
    if len(vin) != LENGTH or vin[_YEAR] not in _YEAR_CODES:
        return ()
    first = _FIRST_YEAR + _YEAR_CODES.index(vin[_YEAR])
    return first, first + _CYCLE


def model_year(text: str, this_year: int = _KNOWN_YEAR, *, light: bool = True) -> int | None:
    """Return the model year, or None where a person has to be asked.

    For a car or other vehicle of 10,000 lb or less a digit at position 7 means 1980 to 2009, a
    letter 2010 to 2039. A year that lies too far ahead is taken from the earlier cycle instead.
    For heavier vehicles (`light=False`) two possible years mean None.

    Source: 49 CFR 565.15(b); what to do with a year too far ahead is own design.
    """
    years = [year for year in model_years(text) if year <= this_year + _AHEAD]
    if len(years) <= 1:
        return years[0] if years else None
    if not light:
        return None
    return years[0] if compact(text)[6].isdigit() else years[1]


def model_year_is_sure(text: str, this_year: int = _KNOWN_YEAR) -> bool:
    """Return whether position 7 and the calendar agree on the year; otherwise ask a person."""
    year = model_year(text, this_year)
    if year is None:
        return False
    return (year >= _FIRST_YEAR + _CYCLE) != compact(text)[6].isdigit()


def corrections(text: str) -> tuple[str, ...]:
    """Return numbers with a true check digit that may have been meant, likeliest first.

    In this order: letters that no VIN has, a character read for one much like it, two neighbors
    swapped, a character for one rather like it, a wrong check digit, any other wrong character.
    Numbers that break the usual form of a car's VIN come last; at most 12. None for a valid number.
    """
    vin = compact(text)
    if len(vin) != LENGTH or is_valid(vin):
        return ()
    if any(sign not in _VALUES and sign not in _FORBIDDEN for sign in vin):
        return ()
    ranked: dict[str, tuple[bool, int]] = {}
    for order, candidate in enumerate(_candidates(vin)):
        if candidate not in ranked and is_valid(candidate):
            ranked[candidate] = (not _usual(candidate), order)
    return tuple(sorted(ranked, key=ranked.__getitem__)[:_MOST_CORRECTIONS])


def why_no_check_digit(text: str) -> Say | None:
    """Return why the number may be right without a true check digit, or None if nothing says so.

    Such a number is accepted only with a person's reason, never silently.
    """
    vin = compact(text)
    if is_valid(vin) or not vin or any(sign not in _VALUES | _FORBIDDEN for sign in vin):
        return None
    if len(vin) in _OLD_LENGTHS:
        return say(
            "{count} characters: cars before model year 1981 have numbers of their maker's own "
            "form, without a check digit. The year has to be typed.",
            count=len(vin),
        )
    if len(vin) != LENGTH or not set(vin) <= set(_VALUES):
        return None
    if vin[_CHECK] not in _DIGITS or region(vin) != "North America":
        return say(
            "A car built for another market need not carry a check digit. Compare the windshield, "
            "the door label and the title."
        )
    return None


def region(text: str) -> str:
    """Return the part of the world where the maker is registered; empty where none is assigned.

    Source: ISO 3780, by the first character.
    """
    first = compact(text)[:1]
    return next((name for signs, name in _REGIONS if first and first in signs), "")


def maker(text: str) -> str:
    """Return the maker's identifier: 3 characters, or 6 for a maker of few vehicles.

    Source: 49 CFR 565.15(a): after a 9 in position 3, positions 12 to 14 complete it.
    """
    vin = compact(text)
    _check_shape(vin)
    return vin[:3] + (vin[11:14] if vin[2] == "9" else "")


def maker_name(text: str) -> str:
    """Return who registered the identifier; empty where unknown here. The badge may differ."""
    code = compact(text)[:3]
    return next((name for name, codes in _MAKERS.items() if code in codes.split()), "")


def _runs(words: list[str]) -> list[str]:
    """Return what neighboring words make up that has 17 characters, the fewest words first."""
    starts = range(len(words))
    spans = [words[at : at + count] for count in range(1, LENGTH + 1) for at in starts]
    return [run for run in map("".join, spans) if len(run) == LENGTH]


def _check_shape(vin: str) -> None:
    """Refuse what has not 17 characters of those a VIN may have."""
    strange = next((sign for sign in vin if sign not in _VALUES and sign not in _FORBIDDEN), "")
    if strange:
        raise ValueError(f"A VIN has only plain letters and digits; “{strange}” is neither.")
    if len(vin) != LENGTH:
        raise ValueError(f"A VIN has 17 characters; this has {len(vin)}.")
    forbidden = next((sign for sign in vin if sign in _FORBIDDEN), "")
    if forbidden:
        raise ValueError(f"A VIN never has the letter {forbidden}: {vin}.{_likely(vin)}")


def _expected(vin: str) -> str:
    total = sum(_VALUES[sign] * weight for sign, weight in zip(vin, _WEIGHTS, strict=True))
    return _DIGITS[total % 11]


def _likely(vin: str) -> str:
    """Return the sentence that names the likeliest correction, or nothing."""
    found = corrections(vin)
    return f" Likely meant: {found[0]}." if found else ""


def _usual(vin: str) -> bool:
    """Return whether it has a year code and ends in five digits, as cars' numbers do.

    Source: 49 CFR 565.15(d) for the digits of light vehicles, from memory.
    """
    return vin[_YEAR] in _YEAR_CODES and vin[12:].isdigit()


def _candidates(vin: str) -> Iterator[str]:
    """Yield what may have been meant, likeliest first, whether or not its check digit is true.

    Places near the end come first: nobody knows a serial by heart.
    """
    forbidden = [place for place, sign in enumerate(vin) if sign in _FORBIDDEN]
    if forbidden:
        yield _with(vin, {place: _FORBIDDEN[vin[place]] for place in forbidden})
        for place in forbidden:
            yield from (_with(vin, {place: sign}) for sign in _VALUES)
        return
    yield from _misread(vin, _ALIKE)
    for place in reversed(range(LENGTH - 1)):
        yield _with(vin, {place: vin[place + 1], place + 1: vin[place]})
    yield from _misread(vin, _RATHER_ALIKE)
    if vin[_CHECK] in _DIGITS:
        yield _with(vin, {_CHECK: _expected(vin)})
    others = [(place, sign) for place in reversed(range(LENGTH)) for sign in _VALUES]
    others.sort(key=lambda other: other[1].isdigit() != vin[other[0]].isdigit())
    yield from (_with(vin, {place: sign}) for place, sign in others if place != _CHECK)


def _misread(vin: str, pairs: tuple[str, ...]) -> Iterator[str]:
    for pair in pairs:
        for place, sign in enumerate(vin):
            if sign in pair:
                yield _with(vin, {place: pair.replace(sign, "")})


def _with(vin: str, signs: dict[int, str]) -> str:
    return "".join(signs.get(place, sign) for place, sign in enumerate(vin))
