"""Work moved to an earlier time where nobody else is in the way.

The solver settles what is late and what moves. What is left is tidying: one car after the other is
taken off and put back as early as its people and its bay are free, all else staying where it is.

>>> from datetime import date
>>> from program.days.bookings import Bay, Car, Job, Person, Shop
>>> from program.days.hours import Shift
>>> from program.days.solver import build
>>> shop = Shop(people=(Person(id="p", shifts=(Shift(begins=32, ticks=8),)),),
...             bays=(Bay(id="b"),), days=(date(2026, 11, 30),))
>>> model = build([Car(id="1")], [Job(id="j", car_id="1", title="Wipers", minutes=60)], shop)
>>> late = Placed(begins={"j": 36}, people={"j": ("p",)}, bays={"1 j": "b"})
>>> pulled(model, late, {}).begins
{'j': 32}
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import combinations
from typing import TYPE_CHECKING

from program.days.bookings import Place
from program.days.hours import DAY, day_of, pieces
from program.days.solver import WHOLE, earliest, now_of, rest_ticks, standing_in, takes

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from program.days.bookings import Job, Person
    from program.days.solver import Model

Span = tuple[int, int]
PASSES = 3


@dataclass(frozen=True, kw_only=True)
class Placed:
    """When each job begins, in ticks, who does it, and in which bay each stay is."""

    begins: Mapping[str, int]
    people: Mapping[str, tuple[str, ...]]
    bays: Mapping[str, str]  # by stay

    def end(self, model: Model, name: str) -> int:
        """Return the tick after a job, without its rest."""
        return end_of(model, model.jobs[name], self.begins[name], self.people.get(name, ()))


def end_of(model: Model, job: Job, begin: int, people: Sequence[str]) -> int:
    """Return the tick after a job that begins at one; that tick itself where it can't be done."""
    if job.place == Place.AWAY:
        days = [day for day in model.shop.days if day >= day_of(begin, model.first_on)]
        return ((days[job.away_days - 1] - model.first_on).days + 1) * DAY
    found = parts(model, job, begin, people)
    return max((span[1] for rows in found.values() for span in rows), default=begin)


def parts(model: Model, job: Job, begin: int, people: Iterable[str]) -> dict[str, list[Span]]:
    """Return what each person gives to a job that begins at a tick."""
    rows = {person.id: person for person in model.shop.people}
    return {one: pieces(model.shifts[one], begin, takes(job, rows[one])) for one in people}


def pulled(model: Model, placed: Placed, days: Mapping[str, date]) -> Placed:
    """Return the same board with work earlier. A job of `days` begins on its day and no sooner."""
    cars = {model.jobs[name].car_id for name in placed.begins}
    for _ in range(PASSES):
        before = placed
        order = sorted(cars, key=lambda car: (max(_own(model, placed, car).values()), car))
        for car in order:
            placed = _pull_car(model, placed, car, days)
        if placed == before:
            break
    return placed


def _own(model: Model, placed: Placed, car: str) -> dict[str, int]:
    """Return the jobs of one car that are placed, each with its begin."""
    return {name: at for name, at in placed.begins.items() if model.jobs[name].car_id == car}


def _pull_car(model: Model, placed: Placed, car: str, days: Mapping[str, date]) -> Placed:
    own = _own(model, placed, car)
    others = replace(
        placed, begins={name: at for name, at in placed.begins.items() if name not in own}
    )
    busy = _busy(model, others)
    stands = [*_stands(model, others).values()]
    first = min(own.values())
    midnights = range(0, first, DAY)  # when bays open again
    starts = sorted({0, *midnights, *(span[1] for _, span in stands if span[1] < first)})
    best = placed
    for start in starts:
        begins = _put_back(model, (own, placed.people), busy, (start, days))
        if begins is None:
            continue
        trial = replace(placed, begins={**placed.begins, **begins})
        if _free(model, trial, car, stands) and _better(model, trial, best, car):
            best = trial
    return best


def _busy(model: Model, placed: Placed) -> dict[str, list[Span]]:
    found: dict[str, list[Span]] = {}
    for name, begin in placed.begins.items():
        for one, spans in parts(model, model.jobs[name], begin, placed.people[name]).items():
            found.setdefault(one, []).extend(spans)
    return {one: sorted(spans) for one, spans in found.items()}


def _stands(model: Model, placed: Placed) -> dict[str, tuple[str, Span]]:
    """Return the bay and the span of each stay."""
    found: dict[str, tuple[str, Span]] = {}
    for name, begin in placed.begins.items():
        stay = model.stay_of.get(name)
        if stay:
            end = placed.end(model, name) + rest_ticks(model.jobs[name])
            _, (first, last) = found.get(stay.id, ("", (begin, end)))
            if standing_in(model, stay):  # it is there from now on, whenever work goes on
                first = min(first, now_of(model.shop))
            found[stay.id] = placed.bays[stay.id], (min(first, begin), max(last, end))
    return found


def _put_back(
    model: Model,
    own: tuple[Mapping[str, int], Mapping[str, tuple[str, ...]]],
    busy: Mapping[str, list[Span]],
    limits: tuple[int, Mapping[str, date]],
) -> dict[str, int] | None:
    """Return where a car's jobs begin when each is put back as early as can be, or None."""
    (before, people), (start, days) = own, limits
    taken = {one: list(spans) for one, spans in busy.items()}
    begins: dict[str, int] = {}
    for name in sorted(before, key=lambda name: (before[name], name)):
        job = model.jobs[name]
        floor = max(start, earliest(model, job))
        if name in days:
            floor = max(floor, (days[name] - model.first_on).days * DAY)
        for first in job.after:
            if first not in begins:
                return None
            end = end_of(model, model.jobs[first], begins[first], people[first])
            floor = max(floor, end + rest_ticks(model.jobs[first]))
        at = _first_fit(model, job, (floor, before[name]), (people[name], taken))
        if at is None:
            return None
        begins[name] = at
        for one, spans in parts(model, job, at, people[name]).items():
            taken[one] = sorted([*taken.get(one, []), *spans])
    return begins


def _first_fit(
    model: Model,
    job: Job,
    limits: tuple[int, int],
    who: tuple[Sequence[str], Mapping[str, list[Span]]],
) -> int | None:
    """Return the first tick from one to another at which a job's people are free for it."""
    (floor, last), (people, taken) = limits, who
    if job.place == Place.AWAY or job.begun or len(people) != 1:
        return last if floor <= last else None
    [one] = people
    person = next(row for row in model.shop.people if row.id == one)
    edges = {shift.begins for shift in model.shifts[one]} | {end for _, end in taken.get(one, [])}
    for at in sorted({floor, *(edge for edge in edges if edge > floor)}):
        if at > last:
            return None
        spans = pieces(model.shifts[one], at, takes(job, person))
        fits = spans and spans[0][0] == at and not _meets(spans, taken.get(one, []))
        if fits and _may(model, job, person, spans):
            return at
    return None


def _may(model: Model, job: Job, person: Person, spans: Sequence[Span]) -> bool:
    """Return whether somebody may do work there: an hour or less of it lies within one shift."""
    length = sum(end - begin for begin, end in spans)
    days = {day_of(begin, model.first_on) for begin, _ in spans}
    return (length > WHOLE or len(spans) == 1) and all(person.may(job, day) for day in days)


def _meets(spans: Iterable[Span], others: Iterable[Span]) -> bool:
    rows = list(others)
    return any(begin < end and start < stop for begin, stop in spans for start, end in rows)


def _free(model: Model, placed: Placed, car: str, others: Sequence[tuple[str, Span]]) -> bool:
    """Return whether a car's stays keep clear of other cars, closed days and each other."""
    own = _own(model, placed, car)
    alone = replace(placed, begins=own)
    spans = []
    for stay_id, (bay_id, span) in _stands(model, alone).items():
        if any(_meets([span], [other]) for there, other in others if there == bay_id):
            return False
        if _shut(model, stay_id, bay_id, span):
            return False
        spans.append(span)
    spans += [
        (at, placed.end(model, name)) for name, at in own.items() if not model.jobs[name].in_bay
    ]
    return not any(_meets([one], [other]) for one, other in combinations(spans, 2))


def _shut(model: Model, stay_id: str, bay_id: str, span: Span) -> bool:
    bay = next(bay for bay in model.shop.bays if bay.id == bay_id)
    lift = any(stay.lift for stay in model.stay_of.values() if stay.id == stay_id)
    closed = (*bay.closed, *bay.no_lift) if lift else bay.closed
    days = range(span[0] // DAY, -(-span[1] // DAY))
    return any(row.holds(day_of(day * DAY, model.first_on)) for day in days for row in closed)


def _better(model: Model, trial: Placed, best: Placed, car: str) -> bool:
    """Return whether a car is done sooner, or as soon with less time in bays."""
    return _worth(model, trial, car) < _worth(model, best, car)


def _worth(model: Model, placed: Placed, car: str) -> tuple[int, int, int]:
    own = _own(model, placed, car)
    spans = _stands(model, replace(placed, begins=own)).values()
    done = max(placed.end(model, name) for name in own)
    return done, sum(end - begin for _, (begin, end) in spans), sum(own.values())
