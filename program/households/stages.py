"""The household's stage: what may follow what, and the day by which something is decided.

The car has a machine of its own (`vehicles.custody.conditions`); a case joins the two.

>>> may_move(Stage.DECIDING, Stage.WAITING)
True
>>> decide_by(Stage.WAITING, date(2026, 11, 2))
datetime.date(2026, 12, 2)
"""

from __future__ import annotations

from datetime import date, timedelta
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping

SATURDAY = 5  # as `date.weekday` counts


class Stage(StrEnum):
    """Where a household stands, in the usual order; the last three are ways out."""

    CALLED = "called"
    APPLIED = "applied"
    ACCEPTED = "accepted"
    DECIDING = "deciding"
    WAITING = "waiting"
    BEING_SERVED = "being_served"
    BACK_ON_ROAD = "back_on_road"
    FOLLOWED_UP = "followed_up"
    DECLINED = "declined"
    WITHDRAWN = "withdrawn"
    REFERRED = "referred"

    @property
    def label(self) -> str:
        """The stage at the start of a sentence."""
        return _LABELS.get(self, self.value.replace("_", " ").capitalize())


_LABELS: Final[Mapping[Stage, str]] = MappingProxyType(
    {Stage.BACK_ON_ROAD: "Back on the road"},
)

WAYS_OUT: Final = (Stage.DECLINED, Stage.WITHDRAWN, Stage.REFERRED)

#: Stages in which somebody at the program owes the household a next step.
OPEN: Final = (
    Stage.CALLED,
    Stage.APPLIED,
    Stage.ACCEPTED,
    Stage.DECIDING,
    Stage.WAITING,
    Stage.BEING_SERVED,
)

#: The stages that may follow each stage. A way out may be taken back by a new application, since a
#: no can be reviewed; a repaired car that returns with the same trouble is served again.
MOVES: Final[Mapping[Stage, tuple[Stage, ...]]] = MappingProxyType(
    {
        Stage.CALLED: (Stage.APPLIED, *WAYS_OUT),
        Stage.APPLIED: (Stage.ACCEPTED, *WAYS_OUT),
        Stage.ACCEPTED: (Stage.DECIDING, *WAYS_OUT),
        Stage.DECIDING: (Stage.WAITING, Stage.BEING_SERVED, *WAYS_OUT),
        Stage.WAITING: (Stage.DECIDING, Stage.BEING_SERVED, *WAYS_OUT),
        Stage.BEING_SERVED: (Stage.DECIDING, Stage.WAITING, Stage.BACK_ON_ROAD, *WAYS_OUT),
        Stage.BACK_ON_ROAD: (Stage.BEING_SERVED, Stage.FOLLOWED_UP),
        Stage.FOLLOWED_UP: (Stage.BEING_SERVED,),
        Stage.DECLINED: (Stage.APPLIED, Stage.REFERRED),
        Stage.WITHDRAWN: (Stage.APPLIED,),
        Stage.REFERRED: (Stage.APPLIED,),
    }
)

#: Days until a stage has to be decided (mark: common practice, no source). A stage without an
#: entry waits for nobody.
BUSINESS_DAYS: Final[Mapping[Stage, int]] = MappingProxyType(
    {Stage.CALLED: 2, Stage.APPLIED: 10, Stage.ACCEPTED: 10, Stage.DECIDING: 10}
)
CALENDAR_DAYS: Final[Mapping[Stage, int]] = MappingProxyType(
    {Stage.WAITING: 30, Stage.BEING_SERVED: 30, Stage.BACK_ON_ROAD: 30}
)


def may_move(now: Stage, to: Stage) -> bool:
    """Return whether a household at stage `now` may come to stage `to` next."""
    return to in MOVES[now]


def move(now: Stage, to: Stage) -> Stage:
    """Return the stage `to`, once the table allows it.

    Raises:
        ValueError: the table has no such move; the sentence lists those that it has.
    """
    if may_move(now, to):
        return to
    nexts = ", ".join(stage.label for stage in MOVES[now])
    raise ValueError(
        f"A household can't go from “{now.label}” to “{to.label}”. It may go to: {nexts}."
    )


def decide_by(stage: Stage, since: date) -> date | None:
    """Return the day by which a stage entered on `since` is decided, or None where none is due."""
    if stage in BUSINESS_DAYS:
        return add_business_days(since, BUSINESS_DAYS[stage])
    if stage in CALENDAR_DAYS:
        return since + timedelta(days=CALENDAR_DAYS[stage])
    return None


def add_business_days(day: date, count: int) -> date:
    """Return the day `count` weekdays after `day`; holidays aren't known here.

    >>> add_business_days(date(2026, 11, 27), 2)
    datetime.date(2026, 12, 1)
    """
    while count > 0:
        day += timedelta(days=1)
        count -= day.weekday() < SATURDAY
    return day
