"""Shops and cars for the days: a few by hand, and a generator of the size of a real garage."""

from __future__ import annotations

import datetime as dt
import random
from typing import Any

from program.days.bookings import Bay, Car, Held, Job, Person, Place, Shop
from program.days.hours import Hours, Shift, shifts_of

MONDAY = dt.date(2026, 11, 30)
OPEN = 5
SKILLS = ("brakes", "engine", "lift", "road_test", "sign_off")


def day(number: int) -> dt.date:
    """Return a day counted from the Monday."""
    return MONDAY + dt.timedelta(days=number)


def open_days(weeks: int = 1) -> tuple[dt.date, ...]:
    """Return Monday to Friday of so many weeks."""
    return tuple(day(7 * week + number) for week in range(weeks) for number in range(OPEN))


def person(name: str, *skills: str, weeks: int = 1, **fields: Any) -> Person:
    """Return somebody who is there 8:00 to 16:00 on all open days."""
    hours = [Hours(week_on=day(7 * week), minutes=2400) for week in range(weeks)]
    defaults = {
        "id": name,
        "name": name.capitalize(),
        "held": tuple(Held(code=skill) for skill in skills),
        "shifts": shifts_of(hours, open_days(weeks), ()),
    }
    return Person(**defaults | fields)


def morning(number: int, *, hours: int = 4) -> Shift:
    """Return a shift from 8:00 on, on a day counted from the Monday."""
    return Shift(begins=96 * number + 32, ticks=4 * hours)


def shop(*people: Person, weeks: int = 1, **fields: Any) -> Shop:
    """Return a shop with one bay that has a lift."""
    defaults = {"bays": (Bay(id="b1", label="Bay 1", has_lift=True),), "days": open_days(weeks)}
    return Shop(people=people, **defaults | fields)


def job(name: str, car: str = "1", **fields: Any) -> Job:
    """Return an hour of work on a car."""
    defaults: dict[str, Any] = {
        "id": name,
        "car_id": car,
        "title": name.capitalize(),
        "minutes": 60,
    }
    return Job(**defaults | fields)


def whole_garage(
    cars: int, *, seed: int = 1, weeks: int = 3, people: int = 5
) -> tuple[list[Car], list[Job], Shop]:
    """Return a garage with three bays, one of them with a lift, and two paid people in five."""
    draw = random.Random(seed)
    staff = []
    for number in range(people):
        paid = number < 2
        skills = SKILLS if paid else draw.sample(SKILLS[:2], 1)
        evenings = tuple((weekday, 17 * 60, 150) for weekday in draw.sample(range(5), 2))
        hours = [
            Hours(
                week_on=day(7 * week),
                minutes=1800 if paid else 300,
                shifts=() if paid else evenings,
            )
            for week in range(weeks)
        ]
        staff.append(
            Person(
                id=f"p{number}",
                name=f"Person {number}",
                percent=10_000 if paid else 5_000,
                held=tuple(Held(code=skill) for skill in skills),
                shifts=shifts_of(hours, open_days(weeks), ()),
            )
        )
    bays = tuple(Bay(id=f"b{n}", label=f"Bay {n}", has_lift=n == 1) for n in (1, 2, 3))
    rows: list[Car] = []
    jobs: list[Job] = []
    for number in range(cars):
        name = f"26-{number:03}"
        rows.append(
            Car(
                id=name,
                weight=draw.randint(1, 12),
                promised_on=day(draw.randint(2, 7 * weeks - 3)) if draw.random() < 0.7 else None,
                kit_on=day(draw.randint(0, 9)) if draw.random() < 0.4 else None,
            )
        )
        jobs += _work(name, draw)
    return rows, jobs, Shop(people=tuple(staff), bays=bays, days=open_days(weeks))


def _work(car: str, draw: random.Random) -> list[Job]:
    found: list[Job] = []
    for number in range(draw.randint(1, 4)):
        lift = draw.random() < 0.4
        skill = draw.choice(["brakes", "engine", ""])
        found.append(
            Job(
                id=f"{car}/{number}",
                car_id=car,
                title=f"Job {number}",
                minutes=draw.choice([30, 60, 90, 120, 240]),
                place=Place.LIFT if lift else Place.FLAT,
                skills=tuple(sorted({skill, "lift" if lift else ""} - {""})),
                after=(found[-1].id,) if found and draw.random() < 0.4 else (),
                rest_minutes=120 if draw.random() < 0.15 else 0,
            )
        )
    if draw.random() < 0.2:
        found.append(
            Job(
                id=f"{car}/away",
                car_id=car,
                title="Alignment",
                place=Place.AWAY,
                away_days=draw.randint(1, 3),
                after=(found[0].id,),
            )
        )
    road = Job(
        id=f"{car}/road",
        car_id=car,
        title="Road test",
        minutes=15,
        place=Place.NONE,
        skills=("road_test",),
        after=tuple(one.id for one in found),
        final=True,
    )
    last = Job(
        id=f"{car}/final",
        car_id=car,
        title="Final inspection",
        minutes=30,
        place=Place.NONE,
        skills=("sign_off",),
        after=(road.id,),
        by_second=True,
        final=True,
    )
    return [*found, road, last]
