"""Whether laid-out days keep every rule, counted slot by slot without a solver.

>>> from datetime import date, datetime
>>> from program.days.bookings import Bay, Car, Job, Person, Shop, Slot
>>> from program.days.states import BookingKind
>>> shop = Shop(people=(Person(id="p", name="Rosalind"),), bays=(), days=(date(2026, 11, 30),))
>>> slot = Slot(job_id="j", car_id="1", item_id="", kind=BookingKind.WORK, title="Wipers",
...             begins_at=datetime(2026, 11, 30, 8), ends_at=datetime(2026, 11, 30, 9),
...             person_id="p")
>>> check_board([slot], [Car(id="1")], [Job(id="j", car_id="1", title="Wipers", minutes=60,
...             place=Place.NONE)], shop)
['Rosalind isn’t there for “Wipers” on Monday, November 30.']
"""

from __future__ import annotations

from datetime import datetime, time, timedelta
from itertools import combinations
from typing import TYPE_CHECKING

from program.days.bookings import Place
from program.days.hours import TICK, moment, ticks_for
from program.days.sequence import stays_of
from program.days.solver import takes
from program.days.states import BookingKind
from shared.dates import long_date

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date

    from program.days.bookings import Bay, Car, Job, Person, Shop, Slot
    from program.days.sequence import Stay


def check_board(
    slots: Iterable[Slot], cars: Iterable[Car], jobs: Iterable[Job], shop: Shop
) -> list[str]:
    """Return a sentence for each rule that the slots break; cars without any slot are left out."""
    rows = sorted(slots, key=lambda slot: (slot.begins_at, slot.job_id, slot.person_id))
    here = {slot.car_id for slot in rows}
    own = [job for job in jobs if job.car_id in here]
    by_id = {car.id: car for car in cars}
    found = [
        *(said for job in own for said in _job(job, rows, shop, by_id[job.car_id])),
        *_order(own, rows),
        *_people(rows, shop),
        *_bays(own, rows, shop),
        *_seconds(own, rows, by_id),
    ]
    return sorted(found)


def _of(slots: Iterable[Slot], *jobs: str) -> list[Slot]:
    return [slot for slot in slots if slot.job_id in jobs]


def _ends(slots: Iterable[Slot]) -> datetime:
    return max(slot.ends_at for slot in slots)


def _job(job: Job, slots: Sequence[Slot], shop: Shop, car: Car) -> Iterator[str]:
    """Yield what is wrong with the slots of one job by itself."""
    mine = _of(slots, job.id)
    work = [slot for slot in mine if slot.person_id]
    if not mine:
        yield f"“{job.title}” of {job.car_id} is not laid out."
        return
    yield from _when(job, mine[0].begins_at, shop, car)
    if job.place == Place.AWAY:
        yield from _away(job, mine[0], shop)
        return
    people = sorted({slot.person_id for slot in work})
    if len(people) != job.hands:
        yield f"“{job.title}” of {job.car_id} has {len(people)} people, and takes {job.hands}."
    for name in people:
        person = next(one for one in shop.people if one.id == name)
        yield from _part(job, person, [slot for slot in work if slot.person_id == name])
    if job.rest_minutes and not _rests(job, mine):
        yield f"“{job.title}” of {job.car_id} is not left to cure for {job.rest_minutes} minutes."


def _when(job: Job, begins: datetime, shop: Shop, car: Car) -> Iterator[str]:
    if not job.begun and begins.date() < car.from_on:
        yield f"“{job.title}” of {job.car_id} begins before {long_date(car.from_on)}."
    if car.cures_until and begins < car.cures_until:
        yield f"“{job.title}” of {job.car_id} begins while the car cures."
    if shop.now and begins < shop.now and not job.begun:
        yield f"“{job.title}” of {job.car_id} begins in the past."


def _rests(job: Job, mine: Sequence[Slot]) -> bool:
    rest = [slot for slot in mine if slot.kind == BookingKind.REST]
    work = [slot for slot in mine if slot.kind != BookingKind.REST]
    least = timedelta(minutes=job.rest_minutes)
    return bool(rest) and rest[0].begins_at == _ends(work) and _ends(rest) >= _ends(work) + least


def _away(job: Job, slot: Slot, shop: Shop) -> Iterator[str]:
    days = [
        day for day in shop.days if slot.begins_at.date() <= day and _midnight(day) < slot.ends_at
    ]
    if len(days) < job.away_days or slot.kind != BookingKind.AWAY:
        yield f"“{job.title}” of {job.car_id} is away {len(days)} days of {job.away_days}."


def _midnight(day: date) -> datetime:
    return datetime.combine(day, time())


def _part(job: Job, person: Person, slots: Sequence[Slot]) -> Iterator[str]:
    """Yield what is wrong with one person's part of a job."""
    ticks = sum(int((slot.ends_at - slot.begins_at).total_seconds()) for slot in slots)
    wanted = ticks_for(job.minutes, person.percent) if job.hands == 1 else takes(job, person)
    if ticks != wanted * TICK * 60:
        yield f"“{job.title}” of {job.car_id} is given {ticks // 60} minutes of {person.name}."
    for slot in slots:
        if not person.may(job, slot.begins_at.date()):
            yield f"{person.name} may not do “{job.title}” of {job.car_id}."


def _order(jobs: Sequence[Job], slots: Sequence[Slot]) -> Iterator[str]:
    titles = {job.id: job.title for job in jobs}
    for job in jobs:
        mine = _of(slots, job.id)
        for first in job.after:
            before = _of(slots, first)
            if mine and before and mine[0].begins_at < _ends(before):
                yield f"“{job.title}” of {job.car_id} begins before “{titles[first]}” is over."


def _people(slots: Sequence[Slot], shop: Shop) -> Iterator[str]:
    """Yield who works where they aren't, or on two things at once."""
    for person in shop.people:
        mine = [slot for slot in slots if slot.person_id == person.id]
        there = [
            (moment(shift.begins, shop.days[0]), moment(shift.ends, shop.days[0]))
            for shift in person.shifts
        ]
        for slot in mine:
            if not any(begin <= slot.begins_at and slot.ends_at <= end for begin, end in there):
                day = long_date(slot.begins_at.date())
                yield f"{person.name} isn’t there for “{slot.title}” on {day}."
        for one, other in combinations(mine, 2):
            if other.begins_at < one.ends_at:
                yield f"{person.name} does “{one.title}” and “{other.title}” at once."


def _bays(jobs: Sequence[Job], slots: Sequence[Slot], shop: Shop) -> Iterator[str]:
    """Yield what is wrong with where the cars stand."""
    stands = [(stay, _of(slots, *stay.job_ids)) for stay in stays_of(jobs)]
    stands = [(stay, rows) for stay, rows in stands if rows]
    for stay, rows in stands:
        names = {slot.bay_id for slot in rows}
        if len(names) > 1:
            yield f"{stay.car_id} moves to another bay before it can roll."
        for bay in shop.bays:
            if bay.id in names:
                yield from _bay(stay, bay, rows)
    for one, other in combinations(stands, 2):
        yield from _two_stays(one, other)
    for stay, rows in stands:
        yield from _beside(stay, rows, jobs, slots)


def _beside(
    stay: Stay, rows: Sequence[Slot], jobs: Sequence[Job], slots: Sequence[Slot]
) -> Iterator[str]:
    """Yield what goes on outside the bays while the car stands in one."""
    outside = [job for job in jobs if job.car_id == stay.car_id and not job.in_bay]
    for slot in _of(slots, *(job.id for job in outside)):
        if slot.begins_at < _ends(rows) and rows[0].begins_at < slot.ends_at:
            yield f"“{slot.title}” of {slot.car_id}: the car stands in a bay meanwhile."


def _two_stays(one: tuple[Stay, list[Slot]], other: tuple[Stay, list[Slot]]) -> Iterator[str]:
    (stay, rows), (second, others) = one, other
    if rows[0].begins_at >= _ends(others) or others[0].begins_at >= _ends(rows):
        return
    if stay.car_id == second.car_id:
        yield f"{stay.car_id} stands in two bays at once."
    elif rows[0].bay_id == others[0].bay_id:
        yield f"{stay.car_id} and {second.car_id} stand in one bay at once."


def _bay(stay: Stay, bay: Bay, rows: Sequence[Slot]) -> Iterator[str]:
    day, last = rows[0].begins_at.date(), (_ends(rows) - timedelta(seconds=1)).date()
    if stay.lift and not bay.has_lift:
        yield f"{stay.car_id} needs a lift, and {bay.label} has none."
    while day <= last:
        if any(span.holds(day) for span in bay.closed):
            yield f"{bay.label} is closed on {long_date(day)}, and {stay.car_id} stands there."
        if stay.lift and any(span.holds(day) for span in bay.no_lift):
            yield f"The lift of {bay.label} may not be used on {long_date(day)}."
        day += timedelta(days=1)


def _seconds(jobs: Sequence[Job], slots: Sequence[Slot], cars: dict[str, Car]) -> Iterator[str]:
    """Yield whose second look is at their own work."""
    for job in [job for job in jobs if job.by_second]:
        mine = {slot.person_id for slot in _of(slots, job.id) if slot.person_id}
        others = [one.id for one in jobs if one.car_id == job.car_id and not one.by_second]
        workers = {slot.person_id for slot in _of(slots, *others)}.union(cars[job.car_id].worked)
        if mine & workers:
            yield f"“{job.title}” of {job.car_id} is done by somebody who worked on it."
