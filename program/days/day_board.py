"""The days laid out: who does which job when, which car stands where, and what can't be done.

`lay_out` weighs the days by which promised cars are late, by their need; then how many bookings
move; then what is done early. The same input gives the same board.

>>> from datetime import date
>>> from program.days.bookings import Bay, Car, Job, Person, Shop
>>> from program.days.hours import Shift
>>> shop = Shop(people=(Person(id="p", shifts=(Shift(begins=32, ticks=8),)),),
...             bays=(Bay(id="b"),), days=(date(2026, 11, 30),))
>>> board = lay_out([Car(id="1")], [Job(id="j", car_id="1", title="Wipers", minutes=60)], shop)
>>> [(slot.begins_at.hour, slot.ends_at.hour, slot.bay_id) for slot in board.slots], board.proven
([(8, 9, 'b')], True)
>>> board = lay_out([Car(id="1")], [Job(id="j", car_id="1", title="Head", minutes=600)], shop)
>>> str(board.problems[0].sentence)
'1 can’t be done by Monday, November 30, even if nothing else is in the shop.'
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.days.bookings import LATE_DAY_MOVES, Board, Place
from program.days.explain import problem_of
from program.days.hours import DAY, day_of
from program.days.reading import read_placed, ready_on, sinks, slots_of
from program.days.shifting import pulled
from program.days.solver import build
from program.days.solving import EFFORT, Attention, solve, solver, usable

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from datetime import date

    from ortools.sat.python import cp_model

    from program.days.bookings import Car, Job, Shop, Standing
    from program.days.solver import Model
    from program.days.solving import Watch

ALONE_EFFORT = 0.5  # deterministic seconds to see whether one car could be done at all
EARLY_EFFORT = 0.4  # and for work a day earlier, which is worth no longer wait
TOO_EARLY = "Somebody stopped the search before it had found any days."


def lay_out(  # noqa: PLR0913  # the days hang on this many things
    cars: Iterable[Car],
    jobs: Iterable[Job],
    shop: Shop,
    *,
    standing: Iterable[Standing] = (),
    day_moves: int = LATE_DAY_MOVES,
    effort: float = EFFORT,
    watch: Watch | None = None,
) -> Board:
    """Return the board of all cars whose jobs find room, and a problem for each other car.

    A car is on the board with all its jobs or not at all. `day_moves` is how many moves against
    the `standing` bookings one day late is worth, for each point of need. `effort` is in the
    solver's deterministic seconds. `watch` is told how far it is, and may end the search early.

    Raises:
        ValueError: jobs wait for each other in a circle, or for one that isn't there; or the search
            was ended before it found any days.
    """
    cars, jobs, heed = list(cars), list(jobs), Attention(watch)
    heed.tell(10, "Who does what when, and where")
    if heed.stop():
        raise ValueError(TOO_EARLY)
    model = build(cars, jobs, shop)
    moved = _moves(model, standing)
    cost = _cost(model, moved, day_moves)
    model.cp.minimize(cost)
    run = solver(effort)
    if not usable(solve(model.cp, run, heed)):
        if heed.stopped:
            raise ValueError(TOO_EARLY)
        return _empty(cars, jobs, shop)
    value, bound = round(run.objective_value), round(run.best_objective_bound)
    heed.tell(60, "What can be done earlier")
    run = _earlier(model, run, (cost, value), heed)
    heed.tell(90, "What stands in the way")
    return _read(model, run, moved, (value, bound))


def _cost(
    model: Model, moved: Mapping[str, cp_model.IntVar], day_moves: int
) -> cp_model.LinearExprT:
    """Return what the days cost, counted in moves: cars left out, then days late, then moves."""
    late = _lateness(model)
    left = {car: 1 - model.here[car] for car in model.cars}
    most = (
        1
        + len(moved)
        + sum(day_moves * _weight(car) * len(model.shop.days) * 7 for car in model.cars.values())
    )
    cost = sum(moved.values()) + sum(
        day_moves * _weight(model.cars[car]) * days for car, days in late.items()
    )
    return cost + sum(most * (model.cars[car].weight + 1) * out for car, out in left.items())


def _weight(car: Car) -> int:
    """Return what a day late of a car counts: a promise counts even where no need is noted."""
    return max(car.weight, 1)


def _empty(cars: Sequence[Car], jobs: Sequence[Job], shop: Shop) -> Board:
    problems = tuple(problem_of(car, jobs, shop, can_alone=True) for car in cars)
    return Board(ready={}, late={}, problems=problems)


def _lateness(model: Model) -> dict[str, cp_model.IntVar]:
    """Return the days late of each promised car."""
    found = {}
    for car in model.cars.values():
        if car.promised_on is None:
            continue
        late = model.cp.new_int_var(0, model.end // DAY + 1, f"late {car.id}")
        found[car.id] = late
        promised = (car.promised_on - model.first_on).days
        for name in sinks(model.jobs.values(), car.id):
            if promised < 0:
                model.cp.add(late >= -promised).only_enforce_if(model.here[car.id])
            for day, ends in _ends(model, name):
                if day > promised:
                    model.cp.add(late >= day - promised).only_enforce_if(ends)
    return found


def _ends(model: Model, name: str) -> Iterator[tuple[int, cp_model.IntVar]]:
    """Yield the days on which a job may end, counted, each with whether it does."""
    job = model.jobs[name]
    for (job_id, person, number), last in model.last.items():
        if job_id == name:
            yield model.shifts[person][number].begins // DAY, last
    for (job_id, _, number), first in model.first.items():
        if job_id == name and job.place == Place.AWAY:
            day = model.shop.days[number + job.away_days - 1]
            yield (day - model.first_on).days, first


def _moves(model: Model, standing: Iterable[Standing]) -> dict[str, cp_model.IntVar]:
    """Return for each job that was booked whether its day, its people or its bay differ."""
    found: dict[str, cp_model.IntVar] = {}
    for row in sorted(standing, key=lambda row: row.job_id):
        job = model.jobs.get(row.job_id)
        if job is None or job.begun:
            continue
        moved = model.cp.new_bool_var(f"m {job.id}")
        found[job.id] = moved
        here = model.here[job.car_id]
        for person in row.person_ids or ("",):
            same = [
                first
                for (job_id, who, number), first in model.first.items()
                if (job_id, who) == (job.id, person) and _day(model, who, number) == row.day
            ]
            model.cp.add(moved + sum(same) >= here)
        stay = model.stay_of.get(job.id)
        if stay and row.bay_id:
            bay = model.bays.get((stay.id, row.bay_id), 0)
            model.cp.add(moved + bay >= here)
    return found


def _day(model: Model, person: str, number: int) -> date:
    """Return the day of a shift, or where nobody is named of an open day."""
    if not person:
        return model.shop.days[number]
    return day_of(model.shifts[person][number].begins, model.first_on)


def _earlier(
    model: Model,
    run: cp_model.CpSolver,
    reached: tuple[cp_model.LinearExprT, int],
    heed: Attention,
) -> cp_model.CpSolver:
    """Return a run as late as the one before and with as few moves, whose work is done early."""
    if heed.stop():
        return run
    _hint(model, run)
    cost, value = reached
    model.cp.add(cost <= value)
    terms: list[cp_model.LinearExprT] = [*model.ends.values()]
    for car in model.cars.values():
        terms += [
            (1 + car.weight) * model.ends[name] for name in sinks(model.jobs.values(), car.id)
        ]
    terms += [model.stay_ends[name] - begins for name, begins in model.stay_begins.items()]
    model.cp.minimize(sum(terms))
    again = solver(EARLY_EFFORT)
    return again if usable(solve(model.cp, again, heed)) else run


def _hint(model: Model, run: cp_model.CpSolver) -> None:
    """Tell the solver the answer it found before."""
    model.cp.clear_hints()  # type: ignore[no-untyped-call]
    for number in range(len(model.cp.proto.variables)):
        var = model.cp.get_int_var_from_proto_index(number)
        model.cp.add_hint(var, run.value(var))


def _read(
    model: Model,
    run: cp_model.CpSolver,
    moved: Mapping[str, cp_model.IntVar],
    reached: tuple[int, int],
) -> Board:
    here = {car for car, there in model.here.items() if run.value(there)}
    kept = {
        name: day_of(run.value(model.begins[name]), model.first_on)
        for name, var in moved.items()
        if not run.value(var)
    }
    placed = pulled(model, read_placed(model, run, here), kept)
    ready = ready_on(model, placed)
    jobs = list(model.jobs.values())
    problems = [
        problem_of(car, jobs, model.shop, can_alone=_fits_alone(model, car))
        for car in model.cars.values()
        if car.id not in here
    ]
    return Board(
        slots=slots_of(model, placed),
        ready=ready,
        late={
            car: (day - promised).days
            for car, day in ready.items()
            if (promised := model.cars[car].promised_on) and day > promised
        },
        moved=tuple(name for name, var in moved.items() if run.value(var)),
        problems=tuple(problems),
        value=reached[0],
        bound=reached[1],
    )


def _fits_alone(model: Model, car: Car) -> bool:
    """Return whether a car could be done if no other were there."""
    own = [job for job in model.jobs.values() if job.car_id == car.id]
    alone = build([car], own, model.shop)
    alone.cp.add(alone.here[car.id] == 1)
    return usable(solve(alone.cp, solver(ALONE_EFFORT)))
