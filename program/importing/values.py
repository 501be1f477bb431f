"""What was typed in one cell becomes a value, or a sentence that says why it can't.

>>> from program.importing.columns import Column
>>> read(Column.parse("week", "monday"), "11/30/2026")
datetime.date(2026, 11, 30)
>>> read(Column.parse("hours", "hours"), "7.5")
450
"""

from __future__ import annotations

import re
from difflib import get_close_matches
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING, Any, Final
from zoneinfo import available_timezones

from program.importing.columns import LISTS, NO_TEXT, Kind
from program.ledger import chart
from program.ledger.csv_text import unguarded
from program.ledger.restrictions import listed
from shared import money
from shared.dates import parse_date, week_start
from shared.people import hours as shifts
from vehicles.diagnosis import complaints
from vehicles.fluids import rows as fluids
from vehicles.inspection import catalogue
from vehicles.intake.lamps import lamp
from vehicles.operations import catalogue as operations
from vehicles.repairs.specifications import SPEED_SYMBOLS, Tire
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping
    from datetime import date

    from program.importing.columns import Column

_REF = re.compile(r"[A-Za-z0-9][A-Za-z0-9._-]{0,59}")
_MAIL = re.compile(r"[^@\s,;<>\"]+@[^@\s,;<>\"]+\.[^@\s,;<>\".]{2,}")
_CASE = re.compile(r"\d{2}-\d{3,4}")
_CODE = re.compile(r"[a-z0-9][a-z0-9_]*")
_CONTROL = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")
_LONGEST_MAIL: Final = 254
_WEEK_MINUTES: Final = 7 * 24 * 60
_YES: Final = MappingProxyType(
    {"yes": True, "y": True, "true": True, "no": False, "n": False, "false": False}
)


def read(column: Column, typed: str) -> Any:
    """Return the value of a cell; an empty one gives what is empty for its kind.

    Raises:
        ValueError: the text can't stand there; the sentence says why.
    """
    text = typed.strip()
    if not text:
        return empty(column)
    if _CONTROL.search(text):
        raise ValueError("The cell holds a character that can't be printed.")
    plain = _PLAIN.get(column.kind)
    return plain(text) if plain else _BY_COLUMN[column.kind](column, text)


def empty(column: Column) -> Any:
    """Return the value of an empty cell: "" for text, False for yes or no, () for a list."""
    if column.kind in LISTS:
        return ()
    if column.kind == Kind.YES_NO:
        return False
    return None if column.kind in NO_TEXT else ""


def nearest(word: str, known: Iterable[str]) -> str:
    """Return the sentence that names the likeliest of the known words, or nothing."""
    found = get_close_matches(word.lower(), list(known), n=1, cutoff=0.6)
    return f" Likely meant: {found[0]}." if found else ""


def _ref(text: str) -> str:
    if not _REF.fullmatch(text):
        raise ValueError(f"“{text}” can't be a ref.")
    return text


def _refs(text: str) -> tuple[str, ...]:
    found = [_ref(one) for one in re.split(r"[;,\s]+", text) if one]
    twice = next((one for one in found if found.count(one) > 1), None)
    if twice:
        raise ValueError(f"“{twice}” stands there twice.")
    return tuple(sorted(found))


def _text(column: Column, text: str) -> str:
    if len(text) > column.longest:
        raise ValueError(f"The text has {len(text):,} characters; {column.longest:,} are the most.")
    return unguarded(text).replace("\r\n", "\n")


def _code(column: Column, text: str) -> str:
    code = "_".join(_text(column, text).lower().split())
    if not _CODE.fullmatch(code):
        raise ValueError(f"“{text}” is not a code: letters, digits and _ only.")
    return code


def _whole(column: Column, text: str) -> int:
    plain = text.replace(",", "")
    if not plain.isascii() or not plain.isdigit():
        raise ValueError(f"“{text}” is not a whole number.")
    least, most = column.span
    if len(plain) > len(str(most)) + 9 or not least <= int(plain) <= most:
        raise ValueError(f"{text} is not possible; it lies between {least:,} and {most:,}.")
    return int(plain)


def _hours(text: str) -> int:
    found = re.fullmatch(r"\d{1,3}(\.\d{1,2})?", text)
    minutes = Fraction(text) * 60 if found else Fraction(-1)
    if not 0 <= minutes <= _WEEK_MINUTES:
        raise ValueError(f"“{text}” is not a number of hours in a week.")
    return round(minutes)


def _shifts(text: str) -> tuple[tuple[int, int, int], ...]:
    return tuple(shift.row for shift in shifts.parse(text))


def _money(column: Column, text: str) -> int:
    cents = money.cents(text)
    if cents < 0:
        raise ValueError(f"{money.usd(cents)} is below zero.")
    if cents == 0 and column.kind == Kind.AMOUNT:
        raise ValueError("$0.00 can't be moved.")
    return cents


def _monday(text: str) -> date:
    day = parse_date(text)
    if week_start(day) != day:
        raise ValueError(f"{day} is a {day:%A}; that week's Monday is {week_start(day)}.")
    return day


def _yes_no(text: str) -> bool:
    if text.lower() not in _YES:
        raise ValueError(f"“{text}” is neither yes nor no.")
    return _YES[text.lower()]


def _one(column: Column, text: str) -> str:
    word = "_".join(text.lower().split())
    if word not in column.choices:
        raise ValueError(
            f"“{text}” is not one of the words known here.{nearest(word, column.choices)}"
        )
    return word


def _many(column: Column, text: str) -> tuple[str, ...]:
    return tuple(sorted({_one(column, one) for one in text.split(";") if one.strip()}))


def _codes(column: Column, text: str) -> tuple[str, ...]:
    codes = listed(text)
    long = next((code for code in codes if len(code) > column.longest), None)
    if long:
        raise ValueError(f"“{long}” has more than {column.longest} characters.")
    return tuple(sorted(codes))


def _gives(column: Column, text: str) -> tuple[str, ...]:
    found = set()
    for one in text.split(";"):
        system, _, part = one.strip().partition("/")
        if system:
            found.add(f"{System.parse(system)}/{_code(column, part) if part.strip() else ''}")
    return tuple(sorted(found))


def _email(text: str) -> str:
    if not _MAIL.fullmatch(text) or len(text) > _LONGEST_MAIL:
        raise ValueError(f"“{text}” is not a mail address.")
    return text


def _state(text: str) -> str:
    if not re.fullmatch(r"[A-Za-z]{2}", text):
        raise ValueError(f"“{text}” is not the two letters of a state.")
    return text.upper()


def _zone(text: str) -> str:
    if text not in available_timezones():
        raise ValueError(f"“{text}” is not the name of a time zone.")
    return text


def _case_number(text: str) -> str:
    if not _CASE.fullmatch(text):
        raise ValueError(f"“{text}” is not a case number.")
    return text


def _criterion(text: str) -> str:
    known = catalogue.load().criteria
    if text not in known:
        raise ValueError(f"“{text}” is not a criterion of the catalogue.{nearest(text, known)}")
    return text


def _operation(text: str) -> str:
    known = operations.load()
    if text not in known:
        raise ValueError(f"“{text}” is not a repair operation.{nearest(text, known)}")
    return text


def _operations(text: str) -> tuple[str, ...]:
    return tuple(_operation(code) for code in sorted(listed(text)))


def _complaint(text: str) -> str:
    known = complaints.load()
    if text not in known:
        raise ValueError(f"No fault model “{text}” is shipped.{nearest(text, known)}")
    return text


def _fluid(text: str) -> str:
    known = fluids.load()
    if text not in known:
        raise ValueError(f"“{text}” is not a fluid.{nearest(text, known)}")
    return text


def _lamps(text: str) -> tuple[str, ...]:
    return tuple(sorted({lamp(one.strip()).code for one in text.split(";") if one.strip()}))


def _account(text: str) -> str:
    if text not in chart.load():
        raise ValueError(f"There is no account {text}.")
    return text


def _tire(text: str) -> str:
    if Tire.parse(text) is None:
        raise ValueError(f"“{text}” is not a tire size.")
    return text


def _speed(text: str) -> str:
    if text.upper() not in SPEED_SYMBOLS:
        raise ValueError(f"“{text}” is not a speed symbol.")
    return text.upper()


#: Readers that need nothing but the text, and those that need the column's length, span or words.
_PLAIN: Final[Mapping[Kind, Callable[[str], Any]]] = MappingProxyType(
    {
        Kind.REF_OWN: _ref,
        Kind.REF: _ref,
        Kind.REFS: _refs,
        Kind.HOURS: _hours,
        Kind.SHIFTS: _shifts,
        Kind.DATE: parse_date,
        Kind.MONDAY: _monday,
        Kind.YES_NO: _yes_no,
        Kind.EMAIL: _email,
        Kind.STATE: _state,
        Kind.ZONE: _zone,
        Kind.CASE_NUMBER: _case_number,
        Kind.CRITERION: _criterion,
        Kind.OPERATION: _operation,
        Kind.OPERATIONS: _operations,
        Kind.LAMPS: _lamps,
        Kind.COMPLAINT: _complaint,
        Kind.FLUID: _fluid,
        Kind.ACCOUNT: _account,
        Kind.TIRE: _tire,
        Kind.SPEED: _speed,
    }
)
_BY_COLUMN: Final[Mapping[Kind, Callable[[Column, str], Any]]] = MappingProxyType(
    {
        Kind.TEXT: _text,
        Kind.CODE: _code,
        Kind.WHOLE: _whole,
        Kind.MONEY: _money,
        Kind.AMOUNT: _money,
        Kind.ONE: _one,
        Kind.MANY: _many,
        Kind.CODES: _codes,
        Kind.GIVES: _gives,
    }
)
