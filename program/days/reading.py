"""Reading the solver's answer: which slots there are, and on which day each car is ready.

>>> from program.days.bookings import Job
>>> jobs = {"a": Job(id="a", car_id="1", title="A"), "b": Job(id="b", car_id="1", title="B",
...         after=("a",))}
>>> sinks(jobs.values(), "1")
['b']
>>> sinks(jobs.values(), "2")
[]
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.days.bookings import Place, Slot
from program.days.hours import day_of, moment
from program.days.solver import rest_ticks, takes
from program.days.states import BookingKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator
    from datetime import date

    from ortools.sat.python import cp_model

    from program.days.bookings import Job
    from program.days.solver import Model


def sinks(jobs: Iterable[Job], car_id: str) -> list[str]:
    """Return the jobs of a car that nothing comes after."""
    own = [job for job in jobs if job.car_id == car_id]
    earlier = {one for job in own for one in job.after}
    return [job.id for job in own if job.id not in earlier]


def read_slots(model: Model, run: cp_model.CpSolver, here: Iterable[str]) -> tuple[Slot, ...]:
    """Return the slots of the cars that are here, in order of time."""
    cars = set(here)
    found = [
        slot
        for job in model.jobs.values()
        if job.car_id in cars
        for slot in _slots(model, run, job)
    ]
    return tuple(sorted(found, key=lambda slot: (slot.begins_at, slot.job_id, slot.person_id)))


def read_ready(model: Model, run: cp_model.CpSolver, here: Iterable[str]) -> dict[str, date]:
    """Return the day on which each car that is here is done; midnight belongs to the day before."""
    found = {}
    for car in sorted(here):
        ends = [run.value(model.ends[name]) for name in sinks(model.jobs.values(), car)]
        if ends:
            found[car] = day_of(max(ends) - 1, model.first_on)
    return found


def _slots(model: Model, run: cp_model.CpSolver, job: Job) -> Iterator[Slot]:
    """Yield the pieces of a job: one for each shift of each person, then what cures or is away."""
    stay = model.stay_of.get(job.id)
    bay = ""
    if stay:
        bay = next(bay.id for bay in model.shop.bays if run.value(model.bays[stay.id, bay.id]))
    kind = BookingKind.FINAL if job.final else BookingKind.WORK
    for (job_id, person), pick in model.picks.items():
        if job_id == job.id and run.value(pick):
            for begins, ends in _pieces(model, run, job, person):
                yield _slot(model, job, kind, (begins, ends), bay, person)
    end = run.value(model.ends[job.id])
    if job.place == Place.AWAY:
        span = (run.value(model.begins[job.id]), end)
        yield _slot(model, job, BookingKind.AWAY, span)
    elif job.rest_minutes:
        yield _slot(model, job, BookingKind.REST, (end, end + rest_ticks(job)), bay)


def _slot(
    model: Model,
    job: Job,
    kind: BookingKind,
    ticks: tuple[int, int],
    bay: str = "",
    person: str = "",
) -> Slot:
    begins, ends = (moment(tick, model.first_on) for tick in ticks)
    return Slot(
        job_id=job.id,
        car_id=job.car_id,
        item_id=job.item_id,
        kind=kind,
        title=job.title,
        begins_at=begins,
        ends_at=ends,
        bay_id=bay,
        person_id=person,
    )


def _pieces(
    model: Model, run: cp_model.CpSolver, job: Job, person: str
) -> Iterator[tuple[int, int]]:
    """Yield the stretches of a person's shifts that a job fills, in ticks of the clock."""
    begin = run.value(model.begins[job.id])
    left = takes(job, next(one for one in model.shop.people if one.id == person))
    for shift in model.shifts[person]:
        starts = max(shift.begins, begin)
        ticks = min(shift.ends - starts, left)
        if ticks > 0:
            left -= ticks
            yield starts, starts + ticks
