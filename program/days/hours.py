"""When people are there and bays are open, as the days are laid out: quarter hours of shop time.

A `Shift` is counted from midnight before the first day, so that nights and weekends lie between
shifts, where cars cure and stand but nobody works.

>>> from datetime import date
>>> monday = date(2026, 11, 30)
>>> week = Hours(week_on=monday, minutes=600, shifts=((1, 1080, 120),))
>>> [(shift.begins, shift.ticks) for shift in shifts_of([week], [monday, date(2026, 12, 1)], ())]
[(168, 8)]
>>> spread = Hours(week_on=monday, minutes=600)
>>> [(shift.begins, shift.ticks) for shift in shifts_of([spread], [monday, date(2026, 12, 1)], ())]
[(32, 20), (128, 20)]
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING

from shared.dates import add_weeks, week_start

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

TICK = 15  # minutes: the shortest piece of work that is booked
DAY = 24 * 60 // TICK  # ticks
OPENS, CLOSES = 8 * 60, 16 * 60  # minutes of the day, where no shift is noted: program policy
OPEN_DAYS = 5
FULL = 10_000  # pace 100 percent times attendance 100 percent


@dataclass(frozen=True, kw_only=True)
class Hours:
    """What one person signed up for in one week; `shifts` are [weekday, from minute, minutes]."""

    week_on: date
    minutes: int
    shifts: tuple[tuple[int, int, int], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Shift:
    """A stretch of presence: from a tick after midnight before the first day, so many ticks."""

    begins: int
    ticks: int

    @property
    def ends(self) -> int:
        """The first tick after it."""
        return self.begins + self.ticks


@dataclass(frozen=True, kw_only=True)
class Span:
    """Days from one to another, both among them; None is open."""

    from_on: date | None = None
    until_on: date | None = None

    def holds(self, day: date) -> bool:
        """Return whether the day is among them."""
        begun = self.from_on is None or self.from_on <= day
        return begun and (self.until_on is None or day <= self.until_on)


def shifts_of(
    weeks: Iterable[Hours], days: Sequence[date], away: Collection[Span]
) -> tuple[Shift, ...]:
    """Return one person's shifts on the shop's open days, in order, without days away.

    Hours without a noted shift are spread evenly over the open days of their week, from 8:00 on
    and until 16:00 at most. A noted shift counts on any day between the first and the last one,
    open or not, since somebody wrote down that it is held.
    """
    found: list[tuple[date, int, int]] = []
    for week in weeks:
        open_days = [day for day in days if week_start(day) == week.week_on]
        found += _noted(week, days) if week.shifts else _spread(week, open_days)
    return tuple(
        Shift(begins=tick_of(day, from_minute, days[0]), ticks=ticks)
        for day, from_minute, ticks in sorted(_apart(found))
        if ticks and not any(span.holds(day) for span in away)
    )


def _noted(week: Hours, days: Sequence[date]) -> list[tuple[date, int, int]]:
    dated = [
        (week.week_on + timedelta(days=weekday), from_minute, minutes)
        for weekday, from_minute, minutes in week.shifts
    ]
    return [
        (day, -(-from_minute // TICK) * TICK, minutes // TICK)
        for day, from_minute, minutes in dated
        if days[0] <= day <= days[-1]
    ]


def _spread(week: Hours, open_days: Sequence[date]) -> list[tuple[date, int, int]]:
    """Return equal shares; what doesn't divide goes to the first days."""
    if not open_days:
        return []
    share, more = divmod(week.minutes // TICK, len(open_days))
    most = (CLOSES - OPENS) // TICK
    return [
        (day, OPENS, min(share + (number < more), most)) for number, day in enumerate(open_days)
    ]


def _apart(found: list[tuple[date, int, int]]) -> Iterable[tuple[date, int, int]]:
    """Yield the shifts of a day so that none begins before the one before it ends."""
    free: dict[date, int] = {}
    for day, from_minute, ticks in sorted(found):
        begins = max(from_minute, free.get(day, 0))
        left = ticks - (begins - from_minute) // TICK
        if left > 0:
            free[day] = begins + left * TICK
            yield day, begins, left


def open_days(first_on: date, weeks: int) -> list[date]:
    """Return the shop's open days, Monday to Friday, from a day on to the end of so many weeks.

    >>> [day.day for day in open_days(date(2026, 12, 3), 1)]
    [3, 4]
    """
    last = add_weeks(week_start(first_on), weeks)
    every = (first_on + timedelta(days=n) for n in range((last - first_on).days))
    return [day for day in every if day.weekday() < OPEN_DAYS]


def from_now(shifts: Iterable[Shift], now: int) -> tuple[Shift, ...]:
    """Return what is left of the shifts from a tick on.

    >>> from_now([Shift(begins=0, ticks=4), Shift(begins=8, ticks=4)], 9)
    (Shift(begins=9, ticks=3),)
    """
    cut = (Shift(begins=max(s.begins, now), ticks=s.ends - max(s.begins, now)) for s in shifts)
    return tuple(shift for shift in cut if shift.ticks > 0)


def pieces(shifts: Iterable[Shift], begin: int, ticks: int) -> list[tuple[int, int]]:
    """Return the stretches of the shifts that work fills from a tick on, each with its end.

    >>> pieces([Shift(begins=0, ticks=4), Shift(begins=8, ticks=4)], 2, 5)
    [(2, 4), (8, 11)]
    """
    found = []
    for shift in shifts:
        starts = max(shift.begins, begin)
        part = min(shift.ends - starts, ticks)
        if part > 0:
            ticks -= part
            found.append((starts, starts + part))
    return found if not ticks else []


def tick_of(day: date, minute: int, first_on: date) -> int:
    """Return the tick at or after a minute of a day."""
    return (day - first_on).days * DAY + -(-minute // TICK)


def tick_at(moment: datetime, first_on: date) -> int:
    """Return the tick at or after a moment of the shop's clock."""
    return tick_of(moment.date(), moment.hour * 60 + moment.minute, first_on)


def moment(tick: int, first_on: date) -> datetime:
    """Return the moment of a tick, by the shop's clock.

    >>> moment(DAY + 34, date(2026, 11, 30))
    datetime.datetime(2026, 12, 1, 8, 30)
    """
    return datetime.combine(first_on, time()) + timedelta(minutes=tick * TICK)


def day_of(tick: int, first_on: date) -> date:
    """Return the day that holds a tick."""
    return first_on + timedelta(days=tick // DAY)


def ticks_for(minutes: int, percent: int) -> int:
    """Return how long book minutes take somebody, in ticks of presence; at least one.

    `percent` is pace x attendance, both in percent: 100 x 100 works by the book.

    >>> ticks_for(60, 10_000), ticks_for(60, 4_500)
    (4, 9)
    """
    return max(-(-minutes * FULL // (percent * TICK)), 1)
