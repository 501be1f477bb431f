"""The days of a plan: who works on which car when, in which bay, as far as days can be told."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from itertools import groupby
from typing import TYPE_CHECKING, Any

from program.days.batches import fewest, left_of, together
from program.days.bookings import Board, Slot
from program.days.day_board import lay_out
from program.days.explain import problem_of
from program.days.gathering import gather
from program.days.states import BookingKind
from program.planning.outcome import Stay
from program.planning.problem import OPEN_DAYS
from shared.dates import add_weeks

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from program.days.bookings import Car, Shop
    from program.days.gathering import Facts
    from program.planning.plan import Plan
    from program.planning.problem import PlanInput
    from shared.accounts.models import Program

AT_ONCE = 10  # cars of a small shop
FEW_BAYS = 5
BATCH = 4
BOARD_EFFORT = 1.5  # deterministic seconds: a day earlier is worth no longer wait
WEEKS_AFTER = 2
MOST_CARS = 24  # those that start first; days of later ones move before they come


def board_of(program: Program, plan_input: PlanInput, plan: Plan) -> Board:
    """Return the days laid out for the cars of a plan that start first.

    No car takes a bay before the week in which the plan has its parts complete, and each is wanted
    by the end of its home week, or by the day promised. Two weeks more than the plan's are laid
    out, so that a car for which a week has the hours, and no day for them, gets a day that can be
    counted on.
    """
    weeks = plan_input.weeks
    first = sorted(plan.cases, key=lambda case: (case.start_week, case.home_week, case.case_id))
    cars = first[:MOST_CARS]
    facts = gather(
        program,
        chosen={case.case_id: [int(item_id) for item_id in case.item_ids] for case in cars},
        days=[*(day for week in weeks for day in week.days), *_days_after(plan_input)],
        kit={case.case_id: weeks[case.start_week].starts_on for case in cars},
    )
    ends = {case.case_id: weeks[case.home_week].days[-1] for case in cars}
    wanted = [replace(car, promised_on=car.promised_on or ends[car.id]) for car in facts.cars]
    return _in_batches(replace(facts, cars=tuple(wanted)))


def _in_batches(facts: Facts) -> Board:
    """Lay out some cars at a time, those that come first first; each batch finds what is left.

    All at once would be better by a day here and there, and takes minutes in a large shop. A car
    for which a batch finds no room is tried once more by itself, with few people and bays and then
    with all that are left.
    """
    if len(facts.cars) <= AT_ONCE and len(facts.shop.bays) <= FEW_BAYS:
        return _lay_out(facts, facts.cars, facts.shop)
    boards, shop = [], facts.shop
    for start in range(0, len(facts.cars), BATCH):
        batch = facts.cars[start : start + BATCH]
        board = _lay_out(facts, batch, fewest(shop, batch))
        boards.append(board)
        shop = left_of(shop, board.slots)
        for car in (car for car in batch if car.id not in board.ready):
            alone = _alone(facts, car, shop)
            boards.append(alone)
            shop = left_of(shop, alone.slots)
    whole = together(boards)
    # Why a car found no room is said of the whole shop, not of what a batch was given.
    without = [car for car in facts.cars if car.id not in whole.ready]
    problems = [problem_of(car, facts.jobs, facts.shop, can_alone=True) for car in without]
    return replace(whole, problems=tuple(problems))


def _alone(facts: Facts, car: Car, shop: Shop) -> Board:
    board = _lay_out(facts, (car,), fewest(shop, (car,)))
    return board if board.ready else _lay_out(facts, (car,), shop)


def _lay_out(facts: Facts, cars: Sequence[Car], shop: Shop) -> Board:
    names = {car.id for car in cars}
    jobs = [job for job in facts.jobs if job.car_id in names]
    chosen = {job.id for job in jobs}
    return lay_out(
        cars,
        jobs,
        shop,
        standing=[row for row in facts.standing if row.job_id in chosen],
        day_moves=facts.day_moves,
        effort=BOARD_EFFORT,
    )


def _days_after(plan_input: PlanInput) -> Iterable[dt.date]:
    """Yield the days of the weeks after, for what fits a week by its hours and not by the day."""
    for week in range(1, WEEKS_AFTER + 1):
        monday = add_weeks(plan_input.weeks[-1].starts_on, week)
        yield from (monday + dt.timedelta(days=number) for number in range(OPEN_DAYS))


def stays_of(board: Board, names: Mapping[str, str]) -> list[Stay]:
    """Return each stretch of days that a car stands in one bay, the earliest first.

    A car that makes room for another and comes back has two.
    """
    rows = [slot for slot in board.slots if slot.bay_id]
    rows.sort(key=lambda slot: (slot.bay_id, slot.begins_at, slot.car_id))
    found = []
    for (car, bay), group in groupby(rows, key=lambda slot: (slot.car_id, slot.bay_id)):
        days = [slot.begins_at.date() for slot in group]
        found.append(Stay(case_id=car, bay=names[bay], first_on=days[0], last_on=days[-1]))
    return sorted(found, key=lambda stay: (stay.first_on, stay.case_id, stay.bay))


def last_day(plan_input: PlanInput) -> dt.date:
    """Return the last day that is laid out."""
    return list(_days_after(plan_input))[-1]


def without_room(board: Board) -> set[str]:
    """Return the cars that found no room by the day; each has a problem that says why."""
    return {problem.where for problem in board.problems if problem.where not in board.ready}


def first_days(board: Board) -> dict[str, dt.date]:
    """Return the day on which work on each car begins."""
    found: dict[str, dt.date] = {}
    for slot in sorted(board.slots, key=lambda slot: slot.begins_at):
        found.setdefault(slot.car_id, slot.begins_at.date())
    return found


def slot_to_json(slot: Slot) -> dict[str, Any]:
    """Return a slot as JSON holds it."""
    return {name: _plain(getattr(slot, name)) for name in slot.__dataclass_fields__}


def slot_from_json(row: Mapping[str, Any]) -> Slot:
    """Return the slot that `slot_to_json` wrote."""
    times = {name: dt.datetime.fromisoformat(row[name]) for name in ("begins_at", "ends_at")}
    return Slot(**row | times | {"kind": BookingKind(row["kind"])})  # type: ignore[operator]


def _plain(value: object) -> object:
    return value.isoformat() if isinstance(value, dt.datetime) else value
