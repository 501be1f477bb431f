"""A shop after some of its time is booked: who and which bays are left for the next cars.

>>> from datetime import date, datetime
>>> from program.days.bookings import Bay, Person, Shop, Slot
>>> from program.days.hours import Shift
>>> from program.days.states import BookingKind
>>> shop = Shop(people=(Person(id="p", shifts=(Shift(begins=32, ticks=8),)),),
...             bays=(Bay(id="b"),), days=(date(2026, 11, 30),))
>>> slot = Slot(job_id="j", car_id="1", item_id="", kind=BookingKind.WORK, title="Wipers",
...             begins_at=datetime(2026, 11, 30, 8, 30), ends_at=datetime(2026, 11, 30, 9),
...             bay_id="b", person_id="p")
>>> left = left_of(shop, [slot])
>>> [(shift.begins, shift.ticks) for shift in left.people[0].shifts]
[(32, 2), (36, 4)]
>>> left.bays[0].closed[0].holds(date(2026, 11, 30))
True
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from program.days.bookings import Board
from program.days.hours import Shift, Span, tick_at

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from program.days.bookings import Bay, Car, Person, Shop, Slot

MOST_PEOPLE: Final = 6  # beside each other in one batch; more only makes the search longer
MOST_BAYS: Final = 5


def left_of(shop: Shop, slots: Iterable[Slot]) -> Shop:
    """Return the shop without the time of its people that is booked, and the days of its bays.

    A bay is left for nobody else from a car's first day in it to the last.
    """
    rows, first_on = list(slots), shop.days[0]
    taken: dict[str, list[tuple[int, int]]] = {}
    for slot in rows:
        span = tick_at(slot.begins_at, first_on), tick_at(slot.ends_at, first_on)
        taken.setdefault(slot.person_id, []).append(span)
    return replace(
        shop,
        people=tuple(
            replace(person, shifts=_without(person.shifts, taken.get(person.id, [])))
            for person in shop.people
        ),
        bays=tuple(replace(bay, closed=(*bay.closed, *_stays(bay.id, rows))) for bay in shop.bays),
    )


def _without(shifts: Sequence[Shift], taken: Iterable[tuple[int, int]]) -> tuple[Shift, ...]:
    """Return what is left of shifts when stretches from a tick to another are taken."""
    left = list(shifts)
    for begins, ends in sorted(taken):
        pieces = [piece for shift in left for piece in _cut(shift, begins, ends)]
        left = [piece for piece in pieces if piece.ticks > 0]
    return tuple(left)


def _cut(shift: Shift, begins: int, ends: int) -> tuple[Shift, ...]:
    if ends <= shift.begins or shift.ends <= begins:
        return (shift,)
    before = Shift(begins=shift.begins, ticks=begins - shift.begins)
    return before, Shift(begins=ends, ticks=shift.ends - ends)


def _stays(bay_id: str, slots: Iterable[Slot]) -> list[Span]:
    """Return the days from the first to the last of each car in a bay."""
    days: dict[str, list[Slot]] = {}
    for slot in slots:
        if slot.bay_id == bay_id:
            days.setdefault(slot.car_id, []).append(slot)
    return [
        Span(
            from_on=min(slot.begins_at for slot in rows).date(),
            until_on=max(slot.ends_at for slot in rows).date(),
        )
        for rows in days.values()
    ]


def fewest(shop: Shop, cars: Sequence[Car]) -> Shop:
    """Return the shop with the people and bays that a batch of cars needs at most.

    They are those who hold most skills, then with most time left, and the bays least closed, half
    of them with a lift where there are so many; the bay that a car can't leave is always there. A
    small shop is returned as it is.
    """
    if len(shop.people) <= MOST_PEOPLE and len(shop.bays) <= MOST_BAYS:
        return shop
    people = sorted(shop.people, key=_use)[: max(MOST_PEOPLE, len(cars))]
    bays = _bays(shop, cars)
    return replace(
        shop,
        people=tuple(person for person in shop.people if person in people),
        bays=tuple(bay for bay in shop.bays if bay in bays),
    )


def _bays(shop: Shop, cars: Sequence[Car]) -> list[Bay]:
    count = max(MOST_BAYS, len(cars))
    roomy = sorted(shop.bays, key=lambda bay: (len(bay.closed), not bay.has_lift, bay.id))
    # By room alone, the lifts that others use most would all be left out.
    lifts = [bay for bay in roomy if bay.has_lift][: (count + 1) // 2]
    stuck = {car.bay_id for car in cars}
    return sorted(roomy, key=lambda bay: (bay.id not in stuck, bay not in lifts))[:count]


def _use(person: Person) -> tuple[int, int, str]:
    time = sum(shift.ticks for shift in person.shifts)
    return -time * len(person.held), -time, person.id


def together(boards: Sequence[Board]) -> Board:
    """Return the boards of batches as one."""
    slots = [slot for board in boards for slot in board.slots]
    return Board(
        slots=tuple(sorted(slots, key=lambda slot: (slot.begins_at, slot.car_id, slot.job_id))),
        ready={car: day for board in boards for car, day in board.ready.items()},
        late={car: days for board in boards for car, days in board.late.items()},
        moved=tuple(name for board in boards for name in board.moved),
        problems=tuple(problem for board in boards for problem in board.problems),
        value=sum(board.value for board in boards),
        bound=sum(board.bound for board in boards),
    )
