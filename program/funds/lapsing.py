"""When money lapses, and when to say so: 60, 30 and 10 days before (common practice, no source).

The last day still counts: money that lapses on a day may be spent on it.

>>> from datetime import date
>>> lapses(date(2026, 12, 31), date(2026, 12, 5))
30
>>> print(will_lapse("winter collection", 12_500, date(2026, 12, 5), date(2026, 12, 1)).sentence)
The winter collection will lapse $125.00 on Saturday, December 5, 2026, in 4 days.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from shared.dates import full_date
from shared.money import usd
from shared.problems import Level, Problem
from shared.say import Say, say

if TYPE_CHECKING:
    from datetime import date

OVER: Final = 0
WARN_DAYS: Final = (10, 30, 60)
PRESSING: Final = WARN_DAYS[0]


def lapses(on: date, today: date) -> int | None:
    """Return the nearest of 10, 30 and 60 days within which `on` lies, or None for later.

    `OVER` for a day that has passed.
    """
    left = (on - today).days
    if left < 0:
        return OVER
    return next((days for days in WARN_DAYS if left <= days), None)


def will_lapse(name: str, cents: int, on: date | None, today: date) -> Problem | None:
    """Return what to say of unspent money that lapses soon or has lapsed, or None.

    `name` stands in a sentence: “winter collection”. Within ten days, and afterwards, it is a
    blocker's mark; before, a warning.
    """
    level = None if on is None or cents <= 0 else lapses(on, today)
    if on is None or level is None:
        return None
    return Problem(
        _sentence(name, cents, on, (on - today).days),
        remedy=_remedy(level),
        level=Level.BLOCKER if level <= PRESSING else Level.WARNING,
    )


def _sentence(name: str, cents: int, on: date, left: int) -> Say:
    values: dict[str, object] = {"name": name, "cents": usd(cents), "day": full_date(on)}
    if left < 0:
        return say("The {name} lapsed on {day} with {cents} unspent.", **values)
    if left == 0:
        return say("The {name} will lapse {cents} today, {day}.", **values)
    if left == 1:
        return say("The {name} will lapse {cents} tomorrow, {day}.", **values)
    return say("The {name} will lapse {cents} on {day}, in {left} days.", **values, left=left)


def _remedy(level: int) -> Say:
    if level == OVER:
        return say("Ask the donor, in writing, what becomes of it.")
    return say("Plan work it may pay for, or ask the donor for a later day.")
