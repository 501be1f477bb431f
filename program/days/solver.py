"""The days as a model for CP-SAT: who does which job when, and which car stands in which bay.

Each person has an axis of their own, on which only their presence counts: a job is one stretch
there, and two jobs never overlap. A shift ties both axes together, so that work that isn't done at
the end of a shift goes on in the next, while the car keeps its bay.

>>> from datetime import date
>>> from program.days.bookings import Bay, Car, Job, Person, Shop
>>> from program.days.hours import Shift
>>> shop = Shop(people=(Person(id="p", shifts=(Shift(begins=32, ticks=8),)),),
...             bays=(Bay(id="b"),), days=(date(2026, 11, 30),))
>>> model = build([Car(id="1")], [Job(id="j", car_id="1", title="Wipers", minutes=60)], shop)
>>> sorted(model.picks)
[('j', 'p')]
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from program.days.bookings import Place
from program.days.hours import DAY, FULL, TICK, day_of, from_now, tick_at, tick_of, ticks_for
from program.days.sequence import stays_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from ortools.sat.python import cp_model

    from program.days.bookings import Car, Job, Person, Shop
    from program.days.hours import Shift, Span
    from program.days.sequence import Stay

WHOLE = 4  # ticks: work of an hour or less is not torn apart by the end of a shift


@dataclass(kw_only=True)
class Model:
    """The model and its variables, by the ids of what they are about."""

    cp: cp_model.CpModel
    shop: Shop
    cars: Mapping[str, Car]
    jobs: Mapping[str, Job]
    shifts: Mapping[str, Sequence[Shift]]  # by person, from now on
    end: int  # the tick after the last day
    here: dict[str, cp_model.IntVar] = field(default_factory=dict)  # by car
    begins: dict[str, cp_model.IntVar] = field(default_factory=dict)  # by job
    ends: dict[str, cp_model.IntVar] = field(default_factory=dict)  # by job, without its rest
    picks: dict[tuple[str, str], cp_model.IntVar] = field(default_factory=dict)  # job, person
    # Whether a person's part of a job begins, and ends, in one of their shifts.
    first: dict[tuple[str, str, int], cp_model.IntVar] = field(default_factory=dict)
    last: dict[tuple[str, str, int], cp_model.IntVar] = field(default_factory=dict)
    spans: dict[str, list[cp_model.IntervalVar]] = field(default_factory=dict)  # by car
    bays: dict[tuple[str, str], cp_model.IntVar] = field(default_factory=dict)  # stay, bay
    stay_of: dict[str, Stay] = field(default_factory=dict)  # by job
    stay_begins: dict[str, cp_model.IntVar] = field(default_factory=dict)
    stay_ends: dict[str, cp_model.IntVar] = field(default_factory=dict)

    @property
    def first_on(self) -> date:
        """The day that the ticks are counted from."""
        return self.shop.days[0]


def build(cars: Iterable[Car], jobs: Iterable[Job], shop: Shop) -> Model:
    """Return the model of all cars; none has to be laid out yet.

    Raises:
        ValueError: jobs wait for each other in a circle, or for one that isn't there.
    """
    from ortools.sat.python import cp_model  # noqa: PLC0415 (it takes half a second)

    first_on, now = shop.days[0], now_of(shop)
    model = Model(
        cp=cp_model.CpModel(),
        shop=shop,
        cars={car.id: car for car in sorted(cars, key=lambda car: car.id)},
        jobs={job.id: job for job in sorted(jobs, key=lambda job: (job.car_id, job.id))},
        shifts={person.id: from_now(person.shifts, now) for person in shop.people},
        end=tick_of(shop.days[-1], 0, first_on) + DAY,
    )
    for car in model.cars:
        model.here[car] = model.cp.new_bool_var(f"here {car}")
        model.spans[car] = []
    work: dict[str, list[cp_model.IntervalVar]] = {person.id: [] for person in shop.people}
    for job in model.jobs.values():
        _add_job(model, job, work)
    for spans in work.values():
        model.cp.add_no_overlap(spans)
    _add_order(model)
    _add_stays(model)
    for spans in model.spans.values():
        model.cp.add_no_overlap(spans)
    _add_second(model)
    return model


def earliest(model: Model, job: Job) -> int:
    """Return the first tick at which a job may begin, as far as its car and the clock say."""
    now, car = now_of(model.shop), model.cars[job.car_id]
    if job.begun:
        return 0 if job.place == Place.AWAY else now
    if car.cures_until:
        now = max(now, tick_at(car.cures_until, model.first_on))
    if job.place == Place.NONE or car.from_on <= model.first_on:
        return now
    return max(now, tick_of(car.from_on, 0, model.first_on))


def now_of(shop: Shop) -> int:
    """Return the tick before which nothing new begins."""
    return max(tick_at(shop.now, shop.days[0]), 0) if shop.now else 0


def takes(job: Job, person: Person) -> int:
    """Return how many ticks of presence a job takes a person; two at once work by the book."""
    return ticks_for(job.minutes, person.percent if job.hands == 1 else FULL)


def _add_job(model: Model, job: Job, work: dict[str, list[cp_model.IntervalVar]]) -> None:
    begin = model.cp.new_int_var(min(earliest(model, job), model.end), model.end, f"b {job.id}")
    end = model.cp.new_int_var(0, model.end, f"e {job.id}")
    model.begins[job.id], model.ends[job.id] = begin, end
    if job.place == Place.AWAY:
        _add_away(model, job)
        return
    model.cp.add(end > begin).only_enforce_if(model.here[job.car_id])
    picks = [
        _add_pick(model, job, person, work[person.id])
        for person in sorted(model.shop.people, key=lambda person: person.id)
        if job.begun is None or person.id in job.begun.person_ids
    ]
    model.cp.add(sum(picks) == job.hands * model.here[job.car_id])
    if job.place == Place.NONE:
        size = model.cp.new_int_var(0, model.end, f"z {job.id}")
        model.spans[job.car_id].append(
            model.cp.new_optional_interval_var(
                begin, size, end, model.here[job.car_id], f"v {job.id}"
            )
        )


def _add_pick(
    model: Model, job: Job, person: Person, work: list[cp_model.IntervalVar]
) -> cp_model.IntVar:
    """Return whether the person does the job, tied to where it lies on both axes."""
    name = f"{job.id} {person.id}"
    pick = model.cp.new_bool_var(f"p {name}")
    model.picks[job.id, person.id] = pick
    shifts, length = model.shifts[person.id], takes(job, person)
    there = sum(shift.ticks for shift in shifts)
    if there < length:
        model.cp.add(pick == 0)
        return pick
    own = model.cp.new_int_var(0, there - length, f"w {name}")
    work.append(model.cp.new_optional_fixed_size_interval_var(own, length, pick, f"i {name}"))
    ends = [_add_shift(model, job, person, number, own) for number in range(len(shifts))]
    model.cp.add(sum(first for first, _ in ends) == pick)
    model.cp.add(sum(last for _, last in ends) == pick)
    return pick


def _add_shift(
    model: Model, job: Job, person: Person, number: int, own: cp_model.IntVar
) -> tuple[cp_model.IntVar, cp_model.IntVar]:
    """Return whether a person's part of a job begins, and ends, in one of their shifts."""
    name, cp = f"{job.id} {person.id} {number}", model.cp
    shift, length = model.shifts[person.id][number], takes(job, person)
    before = sum(one.ticks for one in model.shifts[person.id][:number])
    lag = shift.begins - before  # from the person's axis to the clock
    first = cp.new_bool_var(f"f {name}")
    last = first if length <= WHOLE else cp.new_bool_var(f"l {name}")
    model.first[job.id, person.id, number] = first
    model.last[job.id, person.id, number] = last
    if not person.may(job, day_of(shift.begins, model.first_on)):
        cp.add(first + last == 0)
    cp.add(own >= before).only_enforce_if(first)
    cp.add(own < before + shift.ticks).only_enforce_if(first)
    cp.add(model.begins[job.id] == own + lag).only_enforce_if(first)
    cp.add(own + length > before).only_enforce_if(last)
    cp.add(own + length <= before + shift.ticks).only_enforce_if(last)
    cp.add(model.ends[job.id] == own + length + lag).only_enforce_if(last)
    return first, last


def _add_away(model: Model, job: Job) -> None:
    """Let the car be away from the beginning of one open day to the end of another."""
    here, days = model.here[job.car_id], model.shop.days
    picks = []
    for number in range(len(days) - job.away_days + 1):
        pick = model.cp.new_bool_var(f"a {job.id} {number}")
        begins = tick_of(days[number], 0, model.first_on)
        ends = tick_of(days[number + job.away_days - 1], 0, model.first_on) + DAY
        model.first[job.id, "", number] = pick
        if job.begun and number:
            model.cp.add(pick == 0)
        model.cp.add(model.begins[job.id] == begins).only_enforce_if(pick)
        model.cp.add(model.ends[job.id] == ends).only_enforce_if(pick)
        model.spans[job.car_id].append(
            model.cp.new_optional_fixed_size_interval_var(
                begins, ends - begins, pick, f"v {job.id} {number}"
            )
        )
        picks.append(pick)
    model.cp.add(sum(picks) == here)


def rest_ticks(job: Job) -> int:
    """Return how long nothing goes on after a job, in ticks of the clock."""
    return -(-job.rest_minutes // TICK)


def _add_order(model: Model) -> None:
    for job in model.jobs.values():
        for first in job.after:
            rest = rest_ticks(model.jobs[first])
            model.cp.add(model.begins[job.id] >= model.ends[first] + rest).only_enforce_if(
                model.here[job.car_id]
            )


def _add_stays(model: Model) -> None:
    spans: dict[str, list[cp_model.IntervalVar]] = {bay.id: [] for bay in model.shop.bays}
    for stay in stays_of(model.jobs.values()):
        _add_stay(model, stay, spans)
    for bay in model.shop.bays:
        model.cp.add_no_overlap([*spans[bay.id], *_blocked(model, bay.closed)])


def _add_stay(model: Model, stay: Stay, spans: dict[str, list[cp_model.IntervalVar]]) -> None:
    here, name, cp = model.here[stay.car_id], stay.id, model.cp
    begin = cp.new_int_var(0, model.end, f"sb {name}")
    end = cp.new_int_var(0, model.end + DAY, f"se {name}")
    size = cp.new_int_var(0, model.end + DAY, f"ss {name}")
    model.stay_begins[name], model.stay_ends[name] = begin, end
    whole = cp.new_optional_interval_var(begin, size, end, here, f"s {name}")
    model.spans[stay.car_id].append(whole)
    for job_id in stay.job_ids:
        model.stay_of[job_id] = stay
        rest = rest_ticks(model.jobs[job_id])
        cp.add(begin <= model.begins[job_id]).only_enforce_if(here)
        cp.add(end >= model.ends[job_id] + rest).only_enforce_if(here)
    fixed = standing_in(model, stay)
    if fixed:
        cp.add(begin == now_of(model.shop)).only_enforce_if(here)
    for bay in model.shop.bays:
        pick = cp.new_bool_var(f"y {name} {bay.id}")
        model.bays[name, bay.id] = pick
        span = cp.new_optional_interval_var(begin, size, end, pick, f"o {name} {bay.id}")
        spans[bay.id].append(span)
        if (stay.lift and not bay.has_lift) or (fixed and bay.id != fixed):
            cp.add(pick == 0)
        elif stay.lift:
            cp.add_no_overlap([span, *_blocked(model, bay.no_lift)])
    cp.add(sum(model.bays[name, bay.id] for bay in model.shop.bays) == here)


def standing_in(model: Model, stay: Stay) -> str:
    """Return the bay that a stay goes on in: work there has begun, or the car is up on its lift."""
    begun = (model.jobs[one].begun for one in stay.job_ids)
    bays = sorted(job.bay_id for job in begun if job and job.bay_id)
    if bays:
        return bays[0]
    return model.cars[stay.car_id].bay_id if stay.lift else ""


def _blocked(model: Model, closed: Iterable[Span]) -> list[cp_model.IntervalVar]:
    """Return what keeps cars out of a bay: a stretch for each run of days."""
    days = [day for day in range(model.end // DAY) if _closed(model, closed, day)]
    return [model.cp.new_fixed_size_interval_var(day * DAY, DAY, f"x {day}") for day in days]


def _closed(model: Model, closed: Iterable[Span], day: int) -> bool:
    return any(span.holds(day_of(day * DAY, model.first_on)) for span in closed)


def _add_second(model: Model) -> None:
    """Keep whoever does other work on a car, now or before, from its second look."""
    for last in [job for job in model.jobs.values() if job.by_second]:
        for person in model.shop.people:
            pick = model.picks.get((last.id, person.id))
            if pick is None:
                continue
            if person.id in model.cars[last.car_id].worked:
                model.cp.add(pick == 0)
            for job in model.jobs.values():
                other = model.picks.get((job.id, person.id))
                if job.car_id == last.car_id and not job.by_second and other is not None:
                    model.cp.add(pick + other <= 1)
