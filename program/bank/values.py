"""One cell of a bank's file: an amount in whole cents, or a day.

>>> read_cents("(1,234.56)"), read_cents("12.00-"), read_cents("$7")
(-123456, -1200, 700)
>>> read_day("03/04/26", DayOrder.MONTH_FIRST), read_day("03.04.2026", DayOrder.DAY_FIRST)
(datetime.date(2026, 3, 4), datetime.date(2026, 4, 3))
"""

from __future__ import annotations

import re
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from shared.dates import YEARS
from shared.money import LIMIT_CENTS, MINUS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable


class DayOrder(StrEnum):
    """In which order a file writes a day."""

    YEAR_FIRST = "ymd"
    MONTH_FIRST = "mdy"
    DAY_FIRST = "dmy"


class Side(StrEnum):
    """Whether a line brings money in or takes it out."""

    IN = "in"
    OUT = "out"


#: Words of the trade for the two sides of a line, common practice, no source.
SIDES: Final = {
    **dict.fromkeys(("credit", "cr", "c", "in", "deposit", "+"), Side.IN),
    **dict.fromkeys(("debit", "dr", "d", "out", "withdrawal", "-", "payment", "check"), Side.OUT),
}
SHOWN: Final = 40  # a longer cell is cut where a sentence repeats it
CENTURY: Final = 2000

_AMOUNT: Final = re.compile(
    r"(?P<open>\()?(?P<sign>[-+]?)\$?(?P<late>[-+]?)"
    r"(?P<whole>\d{1,3}(,\d{3})+|\d{1,15})?(\.(?P<part>\d{1,2}))?(?P<after>[-+]?)(?P<close>\))?",
    re.ASCII,
)
_DAY: Final = re.compile(r"(\d{1,4})([-/.])(\d{1,2})\2(\d{1,4})", re.ASCII)
_TIME: Final = re.compile(r"[T ]\d{1,2}:\d{2}.*")


def shown(text: str) -> str:
    """Return a cell as a sentence repeats it."""
    return text if len(text) <= SHOWN else f"{text[:SHOWN]}…"


def read_cents(text: str) -> int:
    """Return the whole cents of an amount as a bank writes it: `-12.00`, `(12.00)`, `12.00-`, `$`.

    Raises:
        ValueError: the text is no amount, has a third decimal or two signs, or is beyond what the
            books can hold.
    """
    plain = re.sub(r"\s", "", text).replace(MINUS, "-")
    match = _AMOUNT.fullmatch(plain)
    if not match or not (match["whole"] or match["part"]):
        raise ValueError(f"“{shown(text)}” is not an amount in dollars and cents.")
    signs = [sign for sign in (match["sign"], match["late"], match["after"]) if sign]
    bracketed = bool(match["open"])
    if bracketed != bool(match["close"]) or len(signs) + bracketed > 1:
        raise ValueError(f"“{shown(text)}” has a sign that can be read in two ways.")
    whole = int((match["whole"] or "0").replace(",", ""))
    cents = whole * 100 + int((match["part"] or "0").ljust(2, "0"))
    if cents >= LIMIT_CENTS:
        raise ValueError(f"“{shown(text)}” is more than the books can hold.")
    return -cents if bracketed or "-" in signs else cents


def read_day(text: str, order: DayOrder) -> date:
    """Return the day of `2026-03-04`, `03/04/2026`, `04.03.2026` or `03/04/26`; a time is left out.

    Raises:
        ValueError: the text is no day in this order, or the calendar doesn't have it.
    """
    parts = _numbers(text)
    if parts is not None:
        year, month, day = _ordered(parts, order)
        year += CENTURY if year < 100 else 0  # noqa: PLR2004 (two digits)
        if year in YEARS:
            try:
                return date(year, month, day)
            except ValueError:
                pass
    raise ValueError(f"“{shown(text)}” is not a day written {WRITTEN[order]}.")


#: How each order looks.
WRITTEN: Final = {
    DayOrder.YEAR_FIRST: "year, month, day",
    DayOrder.MONTH_FIRST: "month, day, year",
    DayOrder.DAY_FIRST: "day, month, year",
}


def _numbers(text: str) -> tuple[int, int, int] | None:
    match = _DAY.fullmatch(_TIME.sub("", text.strip()))
    return (int(match[1]), int(match[3]), int(match[4])) if match else None


def _ordered(parts: tuple[int, int, int], order: DayOrder) -> tuple[int, int, int]:
    """Return year, month and day."""
    first, second, third = parts
    if order == DayOrder.YEAR_FIRST:
        return first, second, third
    return (third, first, second) if order == DayOrder.MONTH_FIRST else (third, second, first)


def read_side(text: str) -> Side:
    """Return whether a word such as `debit` or `CR` means money in or out.

    Raises:
        ValueError: the word says neither.
    """
    side = SIDES.get(text.strip().lower())
    if side is None:
        raise ValueError(f"“{shown(text)}” says neither in nor out, such as credit or debit.")
    return side


def fitting(texts: Iterable[str], read: Callable[[str], object]) -> int:
    """Return how many texts can be read."""
    return sum(_all([text], read) for text in texts)


def fits_day(texts: Iterable[str], order: DayOrder) -> bool:
    """Return whether every text is a day in this order, and there is one."""
    return _all(texts, lambda text: read_day(text, order))


def fits_side(texts: Iterable[str]) -> bool:
    """Return whether every text says in or out, and there is one."""
    return _all(texts, read_side)


def _all(texts: Iterable[str], read: Callable[[str], object]) -> bool:
    found = False
    for text in texts:
        try:
            read(text)
        except ValueError:
            return False
        found = True
    return found
