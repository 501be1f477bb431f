from __future__ import annotations

import datetime as dt
from zoneinfo import ZoneInfo

import pytest
from celery import Celery
from celery.schedules import crontab
from hypothesis import given
from hypothesis import strategies as st

from shared.jobs.schedules import Schedule, latest_slot

CHICAGO = ZoneInfo("America/Chicago")
NIGHTLY = Schedule(kind="expire_pledges", at=dt.time(3, 30))
WEEKLY = Schedule(kind="draft_appeals", at=dt.time(6), weekday=0)

moments = st.datetimes(
    min_value=dt.datetime(2026, 1, 12),  # noqa: DTZ001  # hypothesis adds the zone
    max_value=dt.datetime(2027, 12, 31),  # noqa: DTZ001  # the same
    timezones=st.just(CHICAGO),
).filter(lambda moment: moment == moment.astimezone(dt.UTC).astimezone(CHICAGO))


def by_celery(schedule: Schedule, now: dt.datetime) -> crontab:
    """Return the same turns as Celery's crontab, standing at `now`."""
    app = Celery(set_as_current=False)
    app.conf.update(timezone="America/Chicago")
    day = "*" if schedule.weekday is None else str((schedule.weekday + 1) % 7)
    return crontab(
        minute=str(schedule.at.minute),
        hour=str(schedule.at.hour),
        day_of_week=day,
        nowfun=lambda: now,
        app=app,
    )


@pytest.mark.parametrize("schedule", [NIGHTLY, WEEKLY], ids=["nightly", "weekly"])
@given(now=moments)
def test_a_slot_begins_when_celery_says_that_it_is_due(
    schedule: Schedule, now: dt.datetime
) -> None:
    # Source: the reference is celery.schedules.crontab, an independent computation.
    cron, begins_at = by_celery(schedule, now), latest_slot(schedule, now).begins_at
    assert cron.is_due(begins_at - dt.timedelta(seconds=1)).is_due
    assert not cron.is_due(begins_at).is_due


@given(now=moments)
def test_the_latest_slot_is_behind_and_the_next_one_ahead(now: dt.datetime) -> None:
    slot = latest_slot(WEEKLY, now)
    assert slot.begins_at.astimezone(dt.UTC) <= now.astimezone(dt.UTC)
    assert (slot.begins_at + WEEKLY.every).astimezone(dt.UTC) > now.astimezone(dt.UTC)
    assert (slot.begins_at.hour, slot.begins_at.weekday()) == (6, 0)


def test_a_slot_keeps_its_name_until_the_next_begins() -> None:
    monday = dt.datetime(2026, 11, 30, 6, tzinfo=CHICAGO)
    moments = [monday - dt.timedelta(seconds=1), monday, monday + dt.timedelta(days=6)]
    keys = [latest_slot(WEEKLY, moment).key for moment in moments]
    assert keys == ["draft_appeals:2026-W48", "draft_appeals:2026-W49", "draft_appeals:2026-W49"]


def test_each_night_has_one_slot_across_the_change_of_clocks() -> None:
    # 2026: clocks go back on November 1 and forward on March 8 (15 U.S.C. 260a; from memory).
    for first, last in [((2026, 10, 31), (2026, 11, 3)), ((2026, 3, 6), (2026, 3, 10))]:
        start = dt.datetime(*first, 12, tzinfo=CHICAGO).astimezone(dt.UTC)
        end = dt.datetime(*last, 12, tzinfo=CHICAGO).astimezone(dt.UTC)
        steps = int((end - start) / dt.timedelta(minutes=15))
        hits = [start + step * dt.timedelta(minutes=15) for step in range(steps + 1)]
        slots = {latest_slot(NIGHTLY, hit.astimezone(CHICAGO)) for hit in hits}
        assert len(slots) == (dt.date(*last) - dt.date(*first)).days + 1


def test_the_week_of_the_new_year_has_its_iso_name() -> None:
    new_year = dt.datetime(2027, 1, 1, 12, tzinfo=CHICAGO)
    assert latest_slot(WEEKLY, new_year).key == "draft_appeals:2026-W53"
