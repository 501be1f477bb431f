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
from program.days.shifting import Placed, parts
from program.days.solver import rest_ticks
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


def read_placed(model: Model, run: cp_model.CpSolver, here: Iterable[str]) -> Placed:
    """Return what the solver decided for the cars that are here."""
    cars = set(here)
    jobs = [job.id for job in model.jobs.values() if job.car_id in cars]
    stays = {model.stay_of[name].id for name in jobs if name in model.stay_of}
    return Placed(
        begins={name: run.value(model.begins[name]) for name in jobs},
        people={
            name: tuple(
                person
                for (job, person), pick in model.picks.items()
                if job == name and run.value(pick)
            )
            for name in jobs
        },
        bays={
            stay: bay
            for (stay, bay), pick in model.bays.items()
            if stay in stays and run.value(pick)
        },
    )


def slots_of(model: Model, placed: Placed) -> tuple[Slot, ...]:
    """Return the slots of what was placed, in order of time."""
    found = [slot for name in placed.begins for slot in _slots(model, placed, model.jobs[name])]
    return tuple(sorted(found, key=lambda slot: (slot.begins_at, slot.job_id, slot.person_id)))


def ready_on(model: Model, placed: Placed) -> dict[str, date]:
    """Return the day on which each car is done; midnight belongs to the day before."""
    found: dict[str, date] = {}
    for name in placed.begins:
        car, day = model.jobs[name].car_id, day_of(placed.end(model, name) - 1, model.first_on)
        found[car] = max(found.get(car, day), day)
    return dict(sorted(found.items()))


def _slots(model: Model, placed: Placed, job: Job) -> Iterator[Slot]:
    """Yield the pieces of a job: one for each shift of each person, then what cures or is away."""
    stay = model.stay_of.get(job.id)
    bay = placed.bays[stay.id] if stay else ""
    kind = BookingKind.FINAL if job.final else BookingKind.WORK
    begin, end = placed.begins[job.id], placed.end(model, job.id)
    for person, spans in parts(model, job, begin, placed.people[job.id]).items():
        for span in spans:
            yield _slot(model, job, kind, span, bay, person)
    if job.place == Place.AWAY:
        yield _slot(model, job, BookingKind.AWAY, (begin, end))
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
