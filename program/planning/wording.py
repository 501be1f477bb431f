"""The sentences of a plan, and how they write hours.

>>> hours(210)
'3:30'
>>> str(listed([say("one radiator"), say("$140.00")]))
'one radiator and $140.00'
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.problems import Level, Problem
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from program.planning.problem import Week

HOUR = 60


def hours(minutes: int) -> str:
    """Return minutes as a sheet of hours writes them: `3:30`."""
    return f"{minutes // HOUR}:{minutes % HOUR:02}"


def listed(parts: Sequence[Say]) -> Say:
    """Return the parts as one phrase: `a`, `a and b`, `a, b and c`."""
    if len(parts) == 1:
        return parts[0]
    phrase = parts[0]
    for part in parts[1:-1]:
        phrase = say("{first}, {second}", first=phrase, second=part)
    return say("{first} and {second}", first=phrase, second=parts[-1])


def left_behind(case_id: str) -> Problem:
    """Return the problem of a case that was to stay in and doesn't fit."""
    return Problem(
        say("{case} was started, promised or pinned in, and doesn't fit.", case=case_id),
        remedy=say("Look below at what it lacks, or tell the household a new date."),
        level=Level.APPROVAL,
        where=case_id,
    )


def week_of(week: Week) -> Say:
    """Return `week of November 30`."""
    day = week.starts_on
    return say("week of {month} {day}", month=f"{day:%B}", day=day.day)
