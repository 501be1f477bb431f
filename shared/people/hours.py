"""When in a week somebody comes: shifts by weekday and time, as people write them.

>>> [shift.row for shift in parse("Mon 17:30-20:30; Tue 8-16")]
[(0, 1050, 180), (1, 480, 480)]
>>> in_words(parse("Tue 8-16; Mon 5:30 pm-8:30 pm"))
'Mon 17:30-20:30; Tue 8:00-16:00'
>>> minutes_of("7.5"), minutes_of("7:30")
(450, 450)
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

DAYS: Final = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
SHORT: Final = tuple(day[:3] for day in DAYS)
HOUR: Final = 60
DAY: Final = 24 * HOUR
WEEK: Final = 7 * DAY
NOON: Final = 12
MOST_CHARACTERS: Final = 400  # of one week of shifts: more is no week

_TIME: Final = re.compile(r"(\d{1,2})(?::([0-5]\d))?\s*(am|pm)?", re.ASCII)
_SPAN: Final = re.compile(r"\s*[-–]\s*|\s+to\s+")
_DECIMAL: Final = re.compile(r"\d{1,3}(\.\d{1,2})?", re.ASCII)
_CLOCK: Final = re.compile(r"(\d{1,3}):([0-5]\d)", re.ASCII)


@dataclass(frozen=True, kw_only=True, order=True)
class Shift:
    """One stretch of one day, at most to midnight. Weekdays count from Monday, 0."""

    weekday: int
    begins: int
    minutes: int

    @property
    def ends(self) -> int:
        """The minute of the day at which it ends."""
        return self.begins + self.minutes

    @property
    def row(self) -> tuple[int, int, int]:
        """Weekday, first minute and minutes, as a week keeps them."""
        return (self.weekday, self.begins, self.minutes)

    @property
    def span(self) -> str:
        """The times, such as `17:30-20:30`."""
        return f"{_clock(self.begins)}-{_clock(self.ends)}"


def parse(text: str) -> tuple[Shift, ...]:
    """Return the shifts of a week, in order, from days and times with semicolons between.

    Raises:
        ValueError: a day or time can't be read, ends before it begins, or two overlap.
    """
    if len(text) > MOST_CHARACTERS:
        raise ValueError(f"These are more than {MOST_CHARACTERS} characters.")
    found = []
    for one in text.split(";"):
        if one.strip():
            word, _, spans = one.strip().partition(" ")
            weekday = _weekday(word)
            if not spans.strip():
                raise ValueError(f"“{word}” has no time. Type such as Mon 17:30-20:30.")
            found += spans_of(weekday, spans)
    return in_order(found)


def spans_of(weekday: int, text: str) -> list[Shift]:
    """Return the shifts of one day from its times with commas between, such as `8-12, 13-16:30`.

    Raises:
        ValueError: a time can't be read, or one ends before it begins.
    """
    return [_shift(weekday, one.strip()) for one in text.split(",") if one.strip() or text.strip()]


def in_order(shifts: Iterable[Shift]) -> tuple[Shift, ...]:
    """Return the shifts by day and time.

    Raises:
        ValueError: two of one day overlap.
    """
    found = tuple(sorted(shifts))
    for before, after in pairwise(found):
        if before.weekday == after.weekday and after.begins < before.ends:
            raise ValueError(f"{DAYS[after.weekday]}: {before.span} and {after.span} overlap.")
    return found


def total(shifts: Iterable[Shift]) -> int:
    """Return the minutes of all shifts together."""
    return sum(shift.minutes for shift in shifts)


def from_rows(rows: Iterable[Sequence[int]]) -> tuple[Shift, ...]:
    """Return the shifts that a week keeps."""
    return tuple(
        Shift(weekday=weekday, begins=begins, minutes=minutes) for weekday, begins, minutes in rows
    )


def in_words(shifts: Iterable[Shift]) -> str:
    """Return the shifts as they are typed; empty where none is named."""
    return "; ".join(f"{SHORT[shift.weekday]} {shift.span}" for shift in sorted(shifts))


def minutes_of(text: str) -> int:
    """Return whole minutes of hours typed as 7.5 or 7:30.

    Raises:
        ValueError: it is no number of hours that a week has.
    """
    plain = text.strip()
    clock = _CLOCK.fullmatch(plain)
    if clock:
        minutes = int(clock[1]) * HOUR + int(clock[2])
    else:
        minutes = round(Fraction(plain) * HOUR) if _DECIMAL.fullmatch(plain) else -1
    if not 0 <= minutes <= WEEK:
        raise ValueError(f"“{text}” is not a number of hours in a week.")
    return minutes


def _shift(weekday: int, text: str) -> Shift:
    times = _SPAN.split(text)
    if len(times) != len(("from", "until")):
        raise ValueError(f"“{text}” is no time. Type such as 17:30-20:30.")
    begins, ends = (_minute(one, text) for one in times)
    if ends <= begins:
        raise ValueError(f"{DAYS[weekday]}: {text} ends before it begins.")
    return Shift(weekday=weekday, begins=begins, minutes=ends - begins)


def _minute(time: str, text: str) -> int:
    """Return the minute of the day of a time such as 8, 17:30 or 5:30 pm; 24:00 is midnight."""
    found = _TIME.fullmatch(time.strip().lower())
    hour, minute = (int(found[1]), int(found[2] or 0)) if found else (DAY, 0)
    if found and found[3]:
        hour = hour % NOON + (NOON if found[3] == "pm" else 0) if 1 <= hour <= NOON else DAY
    if hour * HOUR + minute > DAY:
        raise ValueError(f"“{text}” is no time. Type such as 17:30-20:30.")
    return hour * HOUR + minute


def _weekday(word: str) -> int:
    plain = word.rstrip(".:").lower()
    found = [n for n, day in enumerate(DAYS) if len(plain) > 1 and day.lower().startswith(plain)]
    if len(found) != 1:
        raise ValueError(f"“{word}” is no day of the week. Type such as Mon 17:30-20:30.")
    return found[0]


def _clock(minute: int) -> str:
    return f"{minute // HOUR}:{minute % HOUR:02}"
