"""Work on one car as jobs for the days: what has begun, what is done, what is still to come.

>>> from datetime import datetime
>>> work = Work(item_id="12", title="Front brakes", minutes=90)
>>> told = jobs_of("26-043", [work], (), Rules(), datetime(2026, 11, 30, 8))
>>> [(job.id, job.minutes) for job in told.jobs]
[('12', 90), ('26-043 road test', 15), ('26-043 final inspection', 30)]
>>> piece = Booked(job_id="12", begins_at=datetime(2026, 11, 30, 7, 30), bay_id="1", person_id="3",
...                ends_at=datetime(2026, 11, 30, 9), made_at=datetime(2026, 11, 29, 9))
>>> told = jobs_of("26-043", [work], [piece], Rules(), datetime(2026, 11, 30, 8))
>>> told.jobs[0].minutes, told.jobs[0].begun.person_ids
(60, ('3',))
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from program.days.bookings import Begun, Job, Place, Standing
from program.days.hours import FULL
from shared.problems import Level, Problem
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import datetime

ROAD_TEST: Final = "Road test"
FINAL: Final = "Final inspection"
#: Of the minutes of a final inspection, those that its drive of 5 to 10 miles takes (common
#: practice, no source).
DRIVE_MINUTES: Final = 15
NOBODY: Mapping[str, int] = MappingProxyType({})


@dataclass(frozen=True, kw_only=True)
class Work:
    """A repair item still to be done. `after` are items; the access is part of `minutes`."""

    item_id: str
    title: str
    minutes: int
    lift: bool = False
    skills: tuple[str, ...] = ()
    after: tuple[str, ...] = ()
    rest_minutes: int = 0
    away_days: int = 0
    access: str = ""
    access_minutes: int = 0


@dataclass(frozen=True, kw_only=True)
class Booked:
    """One piece of a job that stands booked, by the shop's clock."""

    job_id: str
    begins_at: datetime
    ends_at: datetime
    made_at: datetime
    bay_id: str = ""
    person_id: str = ""


@dataclass(frozen=True, kw_only=True)
class Over:
    """So many minutes more than thought, as told at a moment."""

    item_id: str
    minutes: int
    told_at: datetime


@dataclass(frozen=True, kw_only=True)
class Rules:
    """What holds for all cars: the final inspection, whoever is gone today, what ran over."""

    final_minutes: int = 45
    road_skills: tuple[str, ...] = ()
    final_skills: tuple[str, ...] = ()
    percents: Mapping[str, int] = field(default_factory=lambda: NOBODY)  # by person
    gone: frozenset[str] = frozenset()  # people who are away today
    shut: frozenset[str] = frozenset()  # bays that are closed today
    over: tuple[Over, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Told:
    """The jobs of one car, how those ahead are booked, and what is to be known of them."""

    jobs: tuple[Job, ...]
    standing: tuple[Standing, ...] = ()
    notes: tuple[Problem, ...] = ()


def jobs_of(
    car_id: str, work: Sequence[Work], booked: Iterable[Booked], rules: Rules, now: datetime | None
) -> Told:
    """Return the jobs that are left of a car's work, its drive and its final inspection.

    Without `now` nothing has begun. What was booked until now and is not ticked off is laid out
    again, and a note says so: nobody said that it is done.
    """
    pieces: dict[str, list[Booked]] = {}
    for piece in sorted(booked, key=lambda row: (row.begins_at, row.person_id)):
        pieces.setdefault(piece.job_id, []).append(piece)
    jobs, standing, notes = [], [], []
    for job in _new(car_id, work, rules):
        mine = pieces.get(job.id, [])
        if now and mine and mine[-1].ends_at <= now:
            if job.final and not work:
                continue
            notes += [] if job.final else [_not_ticked(job, mine)]
            jobs.append(_longer(job, rules, mine))
        elif now and mine and mine[0].begins_at <= now:
            jobs.append(_begun(job, mine, rules, now))
        else:
            jobs.append(_longer(job, rules, ()))
            standing += [_standing(job, mine)] if mine else []
    there = {job.id for job in jobs}
    kept = [replace(job, after=tuple(one for one in job.after if one in there)) for job in jobs]
    return Told(jobs=tuple(kept), standing=tuple(standing), notes=tuple(notes))


def _new(car_id: str, work: Sequence[Work], rules: Rules) -> list[Job]:
    """Return the jobs of a car on which nothing has begun."""
    last = {row.item_id: away_id(row.item_id) if row.away_days else row.item_id for row in work}
    found: list[Job] = []
    for row in work:
        after = tuple(last[one] for one in row.after if one in last)
        minutes = max(row.minutes - _shared(row, work), 0)
        if minutes:
            found.append(
                Job(
                    id=row.item_id,
                    car_id=car_id,
                    title=row.title,
                    item_id=row.item_id,
                    minutes=minutes,
                    place=Place.LIFT if row.lift else Place.FLAT,
                    skills=row.skills,
                    after=after,
                    rest_minutes=row.rest_minutes,
                )
            )
        if row.away_days or not minutes:
            found.append(
                Job(
                    id=last[row.item_id] if row.away_days else row.item_id,
                    car_id=car_id,
                    title=row.title,
                    item_id=row.item_id,
                    place=Place.AWAY if row.away_days else Place.NONE,
                    away_days=row.away_days,
                    after=(row.item_id,) if minutes else after,
                )
            )
    return [*found, *_finals(car_id, found, rules)]


def _shared(row: Work, work: Sequence[Work]) -> int:
    """Return the minutes of a job's access that a longer job with the same access spends."""
    same = [one for one in work if row.access and one.access == row.access]
    longest = max(same, key=lambda one: (one.access_minutes, one.item_id), default=row)
    return 0 if longest is row else row.access_minutes


def _finals(car_id: str, jobs: Sequence[Job], rules: Rules) -> list[Job]:
    """Return the drive and the inspection that end every stay; by two people where one worked."""
    road = Job(
        id=final_id(car_id, ROAD_TEST),
        car_id=car_id,
        title=ROAD_TEST,
        minutes=DRIVE_MINUTES,
        place=Place.NONE,
        skills=rules.road_skills,
        after=tuple(job.id for job in jobs),
        final=True,
    )
    last = Job(
        id=final_id(car_id, FINAL),
        car_id=car_id,
        title=FINAL,
        minutes=max(rules.final_minutes - DRIVE_MINUTES, 1),
        place=Place.NONE,
        skills=rules.final_skills,
        after=(road.id,),
        by_second=True,
        final=True,
    )
    return [road, last]


def away_id(item_id: str) -> str:
    """Return the id of an item's days in another shop.

    >>> away_id("12")
    '12 away'
    """
    return f"{item_id} away"


def final_id(car_id: str, title: str) -> str:
    """Return the id of a car's drive or final inspection.

    >>> final_id("26-043", FINAL)
    '26-043 final inspection'
    """
    return f"{car_id} {title.lower()}"


def _longer(job: Job, rules: Rules, pieces: Sequence[Booked]) -> Job:
    """Return the job with what it runs over; of one that was begun, what was told is left."""
    over = [row for row in rules.over if row.item_id == job.id]
    since = [row for row in over if pieces and row.told_at >= pieces[-1].made_at]
    if since:
        return replace(job, minutes=sum(row.minutes for row in since))
    return replace(job, minutes=job.minutes + sum(row.minutes for row in over))


def _begun(job: Job, pieces: Sequence[Booked], rules: Rules, now: datetime) -> Job:
    """Return what is left of a job that goes on now, with whoever is there and where it stands."""
    first = pieces[0]
    people = tuple(sorted({row.person_id for row in pieces if row.person_id}))
    shut = first.bay_id in rules.shut
    begun = Begun(begun_at=first.begins_at, person_ids=people, bay_id="" if shut else first.bay_id)
    if job.place == Place.AWAY:
        days = (pieces[-1].ends_at.date() - now.date()).days
        return replace(job, away_days=max(min(days, job.away_days), 1), begun=begun)
    left = sum(_minutes_left(row, rules, now) for row in pieces if row.person_id == people[0])
    over = [row for row in rules.over if row.item_id == job.id and row.told_at >= first.made_at]
    left = max(left + sum(row.minutes for row in over), 1)
    return replace(job, minutes=left, begun=None if rules.gone & set(people) else begun)


def _minutes_left(piece: Booked, rules: Rules, now: datetime) -> int:
    """Return the book minutes of a piece that lie ahead."""
    seconds = (piece.ends_at - max(piece.begins_at, now)).total_seconds()
    return max(int(seconds), 0) * rules.percents.get(piece.person_id, FULL) // (60 * FULL)


def _standing(job: Job, pieces: Sequence[Booked]) -> Standing:
    return Standing(
        job_id=job.id,
        day=pieces[0].begins_at.date(),
        person_ids=tuple(sorted({row.person_id for row in pieces if row.person_id})),
        bay_id=pieces[0].bay_id,
    )


def _not_ticked(job: Job, pieces: Sequence[Booked]) -> Problem:
    return Problem(
        say(
            "“{job}” of {car} was booked until {time} and is not ticked off: it is laid out again.",
            job=job.title,
            car=job.car_id,
            time=f"{pieces[-1].ends_at:%a %-I:%M %p}",
        ),
        remedy=say("Tick it off on the page of the car where it is done."),
        level=Level.WARNING,
        where=job.car_id,
    )
