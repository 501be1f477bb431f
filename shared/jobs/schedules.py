"""When recurring work is due. Each slot has a name, so that asking twice, or late, asks once.

>>> from zoneinfo import ZoneInfo
>>> weekly = Schedule(kind="draft_appeals", at=dt.time(6), weekday=0)
>>> noon = dt.datetime(2026, 11, 25, 12, tzinfo=ZoneInfo("America/Chicago"))
>>> latest_slot(weekly, noon).key, str(latest_slot(weekly, noon).begins_at)
('draft_appeals:2026-W48', '2026-11-23 06:00:00-06:00')
>>> latest_slot(Schedule(kind="expire_pledges", at=dt.time(13)), noon).key
'expire_pledges:2026-11-24'
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from shared.dates import DAYS_A_WEEK, week_name


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """One kind of job, at a time of day, on one weekday (0 is Monday) or on each day.

    The time is the program's own. Between 1:00 and 3:00 it may come twice or never in a year.
    """

    kind: str
    at: dt.time
    weekday: int | None = None

    @property
    def every(self) -> dt.timedelta:
        """Days between two slots."""
        return dt.timedelta(days=1 if self.weekday is None else DAYS_A_WEEK)


@dataclass(frozen=True, kw_only=True)
class Slot:
    """One turn of a schedule: the key of its job, and when it begins."""

    key: str
    begins_at: dt.datetime


def latest_slot(schedule: Schedule, now: dt.datetime) -> Slot:
    """Return the newest slot that has begun at `now`, an aware moment in the program's zone."""
    back = 0 if schedule.weekday is None else (now.weekday() - schedule.weekday) % DAYS_A_WEEK
    day = now.date() - dt.timedelta(days=back)
    # Moments of one zone compare by the clock on the wall; across a clock change only UTC is right.
    if _begin(schedule, day, now).astimezone(dt.UTC) > now.astimezone(dt.UTC):
        day -= schedule.every
    return Slot(key=f"{schedule.kind}:{_name(schedule, day)}", begins_at=_begin(schedule, day, now))


def _begin(schedule: Schedule, day: dt.date, now: dt.datetime) -> dt.datetime:
    return dt.datetime.combine(day, schedule.at, tzinfo=now.tzinfo)


def _name(schedule: Schedule, day: dt.date) -> str:
    """Return the slot's name: the day, or the ISO week."""
    return day.isoformat() if schedule.weekday is None else week_name(day)
