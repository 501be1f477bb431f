"""What the days are laid out from, and what comes of it: jobs of cars, people, bays; slots.

All moments are those of the shop's clock, without a zone. Ids are text.

>>> job = Job(id="12", car_id="26-043", title="Front brakes", minutes=90, place=Place.LIFT)
>>> job.in_bay, Job(id="r", car_id="26-043", title="Road test", minutes=15, place=Place.NONE).in_bay
(True, False)
>>> Held(code="lift").holds_on(date(2026, 11, 30))
True
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum
from typing import TYPE_CHECKING

from program.days.hours import FULL, Shift, Span

if TYPE_CHECKING:
    from collections.abc import Mapping

    from program.days.states import BookingKind
    from shared.problems import Problem

LATE_DAY_MOVES = 20  # moves of bookings that one day late of one point of need is worth


class Place(StrEnum):
    """Where a job is done: on a lift, in any bay, beside the bays, or in another shop."""

    LIFT = "lift"
    FLAT = "flat"
    NONE = "none"
    AWAY = "away"


@dataclass(frozen=True, kw_only=True)
class Held(Span):
    """A skill or paper of a person, with its days."""

    code: str

    def holds_on(self, day: date) -> bool:
        """Return whether it is held on that day."""
        return self.holds(day)


@dataclass(frozen=True, kw_only=True)
class Begun:
    """Work that goes on now: who began it when, in which bay. It stays with them."""

    begun_at: datetime
    person_ids: tuple[str, ...]
    bay_id: str = ""


@dataclass(frozen=True, kw_only=True)
class Job:
    """One piece of work on a car, by one person or by `hands` of them at once.

    `minutes` are book minutes, of a begun job those that are left. A person has to hold all
    `skills`. For `rest_minutes` after it, nights among them, nothing that comes `after` it begins,
    and a car in a bay stays there. `away_days` are open days in another shop. `by_second`: by
    somebody who does none of the car's other work.
    """

    id: str
    car_id: str
    title: str
    item_id: str = ""
    minutes: int = 0
    place: Place = Place.FLAT
    skills: tuple[str, ...] = ()
    hands: int = 1
    after: tuple[str, ...] = ()
    rest_minutes: int = 0
    away_days: int = 0
    by_second: bool = False
    final: bool = False
    begun: Begun | None = None

    @property
    def in_bay(self) -> bool:
        """Whether the car stands in a bay for it."""
        return self.place in {Place.LIFT, Place.FLAT}


@dataclass(frozen=True, kw_only=True)
class Car:
    """A car whose jobs are laid out together, or not at all.

    No bay before `kit_on`, the day its parts are complete, nor before `earliest_on`. `worked` are
    the people who did work on it before; nothing goes on while it cures;
    `bay_id` is the lift that it stands on and can't leave.
    """

    id: str
    weight: int = 0
    promised_on: date | None = None
    kit_on: date | None = None
    earliest_on: date | None = None
    worked: tuple[str, ...] = ()
    cures_until: datetime | None = None
    bay_id: str = ""

    @property
    def from_on(self) -> date:
        """The first day on which it may come into a bay."""
        return max(self.kit_on or date.min, self.earliest_on or date.min)


@dataclass(frozen=True, kw_only=True)
class Bay:
    """A place for one car; days closed, and days on which its lift may not be used."""

    id: str
    label: str = ""
    has_lift: bool = False
    closed: tuple[Span, ...] = ()
    no_lift: tuple[Span, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Person:
    """Somebody who works: shifts counted from the first day, pace x attendance, skills."""

    id: str
    name: str = ""
    shifts: tuple[Shift, ...] = ()
    percent: int = FULL
    held: tuple[Held, ...] = ()

    def may(self, job: Job, day: date) -> bool:
        """Return whether the person holds all that a job asks for on a day."""
        codes = {held.code for held in self.held if held.holds_on(day)}
        return codes.issuperset(job.skills)


@dataclass(frozen=True, kw_only=True)
class Shop:
    """People and bays over the open `days`, in order. Nothing new begins before `now`."""

    people: tuple[Person, ...]
    bays: tuple[Bay, ...]
    days: tuple[date, ...]
    now: datetime | None = None


@dataclass(frozen=True, kw_only=True)
class Standing:
    """What was booked before for a job: on which day it began, by whom, in which bay."""

    job_id: str
    day: date
    person_ids: tuple[str, ...] = ()
    bay_id: str = ""


@dataclass(frozen=True, kw_only=True)
class Slot:
    """One piece of one job at one time. A job that goes on the next day has several."""

    job_id: str
    car_id: str
    item_id: str
    kind: BookingKind
    title: str
    begins_at: datetime
    ends_at: datetime
    bay_id: str = ""
    person_id: str = ""


@dataclass(frozen=True, kw_only=True)
class Board:
    """The days laid out. `value` is what it costs in moves, `bound` what no board goes below.

    `late` has the days by which a car misses its promise, `ready` the day it is done; a car that
    could not be laid out is in neither, and a problem says why.
    """

    slots: tuple[Slot, ...] = ()
    ready: Mapping[str, date]
    late: Mapping[str, int]
    moved: tuple[str, ...] = ()
    problems: tuple[Problem, ...] = ()
    value: int = 0
    bound: int = 0

    @property
    def proven(self) -> bool:
        """Whether no board is less late, and as late with fewer moves."""
        return self.value == self.bound
