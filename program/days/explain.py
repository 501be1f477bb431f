"""Why a car can't be laid out, in a sentence, and what would help.

>>> from datetime import date
>>> from program.days.bookings import Car, Job, Shop
>>> shop = Shop(people=(), bays=(), days=(date(2026, 11, 30),))
>>> problem = problem_of(Car(id="26-043"), [Job(id="1", car_id="26-043", title="Brakes",
...                      skills=("brakes",))], shop, can_alone=False)
>>> str(problem.sentence)
'26-043: nobody who may do “Brakes” is there by Monday, November 30. It takes brakes.'
>>> problem.where
'26-043'
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.days.bookings import Place
from program.days.hours import day_of
from shared.dates import long_date
from shared.people.kinds import skill_in_words
from shared.problems import Level, Problem
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable

    from program.days.bookings import Car, Job, Shop


def problem_of(car: Car, jobs: Iterable[Job], shop: Shop, *, can_alone: bool) -> Problem:
    """Return why a car is not on the board. `can_alone`: it would be, if no other car were there.

    What is plainest comes first: parts, people, a second person, a bay, then time.
    """
    own = sorted((job for job in jobs if job.car_id == car.id), key=lambda job: job.id)
    reasons = (
        _kit(car, shop),
        *(_people(car, job, shop) for job in own),
        *(_second(car, job, shop) for job in own),
        _bay(car, own, shop),
    )
    found = next((reason for reason in reasons if reason), None)
    sentence, remedy = found or _time(car, shop, can_alone=can_alone)
    return Problem(sentence, remedy=remedy, level=Level.APPROVAL, where=car.id)


def _kit(car: Car, shop: Shop) -> tuple[Say, Say] | None:
    if car.from_on <= shop.days[-1]:
        return None
    sentence = say(
        "{car} has not all its parts before {day}, after the last day laid out.",
        car=car.id,
        day=long_date(car.from_on),
    )
    return sentence, say("Lay out more days, or look for the part elsewhere.")


def _people(car: Car, job: Job, shop: Shop) -> tuple[Say, Say] | None:
    """Return that too few people may do a job on any day."""
    able = [person for person in shop.people if _can(person.id, job, shop)]
    if job.place == Place.AWAY or len(able) >= job.hands:
        return None
    values = {"car": car.id, "job": job.title, "day": long_date(shop.days[-1])}
    skills = ", ".join(skill_in_words(code) for code in job.skills)
    if able:
        sentence = say(
            "{car}: “{job}” takes two people at once, and one is there by {day}.", **values
        )
    elif skills:
        sentence = say(
            "{car}: nobody who may do “{job}” is there by {day}. It takes {skills}.",
            **values,
            skills=skills,
        )
    else:
        sentence = say("{car}: nobody is there for “{job}” by {day}.", **values)
    return sentence, say("Find somebody for an evening, or sign somebody off for it.")


def _can(person_id: str, job: Job, shop: Shop) -> bool:
    person = next(one for one in shop.people if one.id == person_id)
    days = {day_of(shift.begins, shop.days[0]) for shift in person.shifts}
    return any(person.may(job, day) for day in days)


def _second(car: Car, job: Job, shop: Shop) -> tuple[Say, Say] | None:
    """Return that all who may look a second time have worked on the car."""
    able = {person.id for person in shop.people if _can(person.id, job, shop)}
    if not job.by_second or able.difference(car.worked):
        return None
    sentence = say(
        "{car}: everybody who may do “{job}” has worked on the car.", car=car.id, job=job.title
    )
    return sentence, say("Ask somebody else who is signed off for it.")


def _bay(car: Car, jobs: Iterable[Job], shop: Shop) -> tuple[Say, Say] | None:
    """Return that no bay of the kind that is needed is open on any day."""
    places = {job.place for job in jobs}
    open_bays = [
        bay
        for bay in shop.bays
        if any(not any(span.holds(day) for span in bay.closed) for day in shop.days)
    ]
    lifts = [
        bay
        for bay in open_bays
        if bay.has_lift
        and any(not any(s.holds(day) for s in (*bay.closed, *bay.no_lift)) for day in shop.days)
    ]
    day = long_date(shop.days[-1])
    if Place.LIFT in places and not lifts:
        sentence = say("{car} needs a lift, and none may be used by {day}.", car=car.id, day=day)
        return sentence, say("Have the lift inspected, or open its bay.")
    if Place.FLAT in places and not open_bays:
        sentence = say("{car} needs a bay, and none is open by {day}.", car=car.id, day=day)
        return sentence, say("Open a bay.")
    return None


def _time(car: Car, shop: Shop, *, can_alone: bool) -> tuple[Say, Say]:
    values = {"car": car.id, "day": long_date(shop.days[-1])}
    if can_alone:
        sentence = say(
            "{car} finds no room by {day}: other cars take the bays or people.", **values
        )
        return sentence, say("Take another car off, open a bay, or find more hours.")
    sentence = say("{car} can’t be done by {day}, even if nothing else is in the shop.", **values)
    return sentence, say("Lay out more days, or find more hours of those who may do it.")
