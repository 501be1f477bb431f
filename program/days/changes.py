"""What days laid out anew change against what was booked, in sentences.

>>> from datetime import date
>>> change = Change(car_id="26-043", title="Front brakes", days=(date(2026, 12, 1),
...     date(2026, 12, 2)), people=("Rosalind", "Sten"), bays=("Bay 1", "Bay 1"))
>>> str(change.sentence)
'26-043 Front brakes: Tuesday, December 1, to Wednesday, December 2; Sten instead of Rosalind'
>>> broken(date(2026, 12, 4), date(2026, 12, 8), "26-043").msgid[:28]
'{car} was promised for {prom'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.dates import long_date
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from program.days.bookings import Board, Car, Job, Shop, Slot, Standing


@dataclass(frozen=True, kw_only=True)
class Change:
    """One job that is booked otherwise: its day, its people and its bay, before and after."""

    car_id: str
    title: str
    days: tuple[date, date]
    people: tuple[str, str]
    bays: tuple[str, str]

    @property
    def sentence(self) -> Say:
        """What moves, without a full stop."""
        told = [
            *self._pair("{0}, to {1}", tuple(map(long_date, self.days))),
            *self._pair("{1} instead of {0}", self.people),
            *self._pair("{1} instead of {0}", self.bays),
        ]
        return say("{car} {job}: {told}", car=self.car_id, job=self.title, told="; ".join(told))

    @staticmethod
    def _pair(words: str, pair: Sequence[str]) -> list[str]:
        first, then = pair
        return [words.format(first, then)] if first != then and first and then else []


def changes(board: Board, standing: Iterable[Standing], shop: Shop) -> tuple[Change, ...]:
    """Return what moves: car by car, in order of the new day."""
    first = _first_slots(board.slots)
    people = {person.id: person.name for person in shop.people}
    bays = {bay.id: bay.label for bay in shop.bays}
    before = {row.job_id: row for row in standing}
    found = [
        Change(
            car_id=slots[0].car_id,
            title=slots[0].title,
            days=(before[name].day, slots[0].begins_at.date()),
            people=(
                _named(before[name].person_ids, people),
                _named([slot.person_id for slot in slots], people),
            ),
            bays=(bays.get(before[name].bay_id, ""), bays.get(slots[0].bay_id, "")),
        )
        for name, slots in first.items()
        if name in board.moved and name in before
    ]
    return tuple(sorted(found, key=lambda row: (row.car_id, row.days[1], row.title)))


def dropped(board: Board, standing: Iterable[Standing], jobs: Iterable[Job]) -> tuple[str, ...]:
    """Return the cars that are booked and have no place on the board, by number."""
    booked = {row.job_id for row in standing}
    cars = {job.car_id for job in jobs if job.id in booked}
    return tuple(sorted(cars - {slot.car_id for slot in board.slots}))


def other_days(board: Board, standing: Iterable[Standing], jobs: Iterable[Job]) -> tuple[Say, ...]:
    """Return a sentence for each car that is ready on another day than booked, by number."""
    booked = booked_ready(standing, jobs)
    return tuple(
        say(
            "{car} is ready on {then} instead of {before}.",
            car=car,
            then=long_date(board.ready[car]),
            before=long_date(day),
        )
        for car, day in sorted(booked.items())
        if board.ready.get(car, day) != day
    )


def booked_ready(standing: Iterable[Standing], jobs: Iterable[Job]) -> dict[str, date]:
    """Return the last day that is booked for each car."""
    cars = {job.id: job.car_id for job in jobs}
    booked: dict[str, date] = {}
    for row in standing:
        if row.job_id in cars:
            car = cars[row.job_id]
            booked[car] = max(row.day, booked.get(car, row.day))
    return booked


def _first_slots(slots: Iterable[Slot]) -> dict[str, list[Slot]]:
    """Return the slots of each job that begin first: one for each of its people."""
    found: dict[str, list[Slot]] = {}
    for slot in sorted(slots, key=lambda slot: (slot.begins_at, slot.person_id)):
        rows = found.setdefault(slot.job_id, [])
        if not rows or rows[0].begins_at == slot.begins_at:
            rows.append(slot)
    return found


def _named(ids: Iterable[str], names: Mapping[str, str]) -> str:
    return " and ".join(names.get(one, "somebody who left") for one in sorted(ids) if one)


def broken_promises(board: Board, cars: Iterable[Car]) -> tuple[Say, ...]:
    """Return a sentence for each car that is ready after the day it was promised for."""
    return tuple(
        broken(car.promised_on, board.ready[car.id], car.id)
        for car in sorted(cars, key=lambda car: car.id)
        if car.id in board.late and car.promised_on
    )


def broken(promised_on: date, ready_on: date, car: str) -> Say:
    """Return that a car misses its day, and by how many days."""
    late = (ready_on - promised_on).days
    return say(
        "{car} was promised for {promised} and is ready on {ready}: {late} day{s} late.",
        car=car,
        promised=long_date(promised_on),
        ready=long_date(ready_on),
        late=late,
        s="" if late == 1 else "s",
    )
