"""How much of a car is read: the look, the full sheet, and the final sheet before it leaves.

>>> Depth.LOOK.label, Depth.LOOK.minutes
('20-minute look', 20)
>>> from datetime import date
>>> str(expired(date(2026, 11, 2), 88100, date(2026, 11, 10), 88104, None))
'The final readings are 8 days old; they are good for 7 days.'
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.inspection.applies import applies
from vehicles.inspection.criteria import Group

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import date

    from vehicles.inspection.criteria import Criterion
    from vehicles.intake.car import CarFacts

#: How long final readings are good for. Common practice, no source.
FINAL_DAYS: Final = 7
FINAL_MILES: Final = 50


class Depth(StrEnum):
    """Which points are read, in the order a stay goes through them."""

    LOOK = "look"
    FULL = "full"
    FINAL = "final"

    @property
    def label(self) -> str:
        """The depth at the start of a sentence."""
        return _LABELS[self]

    @property
    def minutes(self) -> int:
        """How long it takes somebody who knows the car, the final one with a drive."""
        return _MINUTES[self]


_LABELS: Final = {
    Depth.LOOK: "20-minute look",
    Depth.FULL: "Full sheet",
    Depth.FINAL: "Final sheet",
}
# Common practice, no source; the drive of the final one is 5 to 10 miles.
_MINUTES: Final = {Depth.LOOK: 20, Depth.FULL: 75, Depth.FINAL: 45}


def criteria_at(
    criteria: Iterable[Criterion], depth: Depth, car: CarFacts
) -> tuple[Criterion, ...]:
    """Return what is read of this car, as one goes about it.

    In a look, the points that can end it stand first in each group.
    """
    asked = [one for one in criteria if depth in one.depths and applies(one, car)]
    groups = list(Group)

    def order(criterion: Criterion) -> tuple[int, bool]:
        late = depth is Depth.LOOK and not any(reason.stops for reason in criterion.reasons)
        return groups.index(criterion.group), late

    return tuple(sorted(asked, key=order))


def expired(
    read_on: date,
    odometer_then: int | None,
    today: date,
    odometer_now: int | None,
    last_work_on: date | None,
) -> Say | None:
    """Return why final readings no longer count, or None while they do.

    Work on the day of the readings counts as done before them; miles only where both are known.
    """
    if last_work_on is not None and last_work_on > read_on:
        return say("Work was done after the final readings.")
    days = (today - read_on).days
    if days > FINAL_DAYS:
        return say(
            "The final readings are {days} days old; they are good for {limit} days.",
            days=days,
            limit=FINAL_DAYS,
        )
    if odometer_then is None or odometer_now is None:
        return None
    miles = odometer_now - odometer_then
    if miles > FINAL_MILES:
        return say(
            "The car ran {miles} miles since the final readings; they are good for {limit} miles.",
            miles=miles,
            limit=FINAL_MILES,
        )
    return None
