"""What the days are laid out from, read in a fixed number of queries.

Which work is laid out is told by the caller: an approved plan's items, or what is booked now.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from hashlib import sha256
from typing import TYPE_CHECKING

from program.cases.models import Case
from program.days.bookings import Bay, Car, Job, Place, Shop, Standing
from program.days.duty import Booked, Rules, Told, Work, away_id, final_id, jobs_of
from program.days.hours import open_days
from program.days.queries import (
    bays_of,
    codes_of,
    coming_parts,
    local,
    people_of,
    rules_of,
    standing,
    troubles,
)
from program.days.states import BookingKind, TroubleKind
from shared.dates import DAYS_A_WEEK, week_start
from shared.policy.queries import policies
from vehicles.repairs.models import RepairItem
from vehicles.repairs.queries import acts_of, after_causes, with_work
from vehicles.repairs.states import ItemState

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from program.days.bookings import Person
    from program.days.models import Booking, Trouble
    from shared.accounts.models import Program
    from shared.problems import Problem


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What `day_board.lay_out` takes, and what is to be known of it."""

    cars: tuple[Car, ...]
    jobs: tuple[Job, ...]
    shop: Shop
    standing: tuple[Standing, ...]
    day_moves: int
    notes: tuple[Problem, ...] = ()

    @property
    def fingerprint(self) -> str:
        """A hash of all of it: two equal ones give the same board."""
        told = repr((self.cars, self.jobs, self.shop, self.standing, self.day_moves))
        return sha256(told.encode()).hexdigest()


@dataclass(frozen=True, kw_only=True)
class _Read:
    """Rows, as read."""

    program: Program
    now: dt.datetime | None
    rules: Rules
    limits: Mapping[str, int]  # policies
    cases: Sequence[Case]
    chosen: Mapping[str, Collection[int]]  # items, by case number
    items: Mapping[int, RepairItem] = field(default_factory=dict)
    first: Mapping[int, Collection[int]] = field(default_factory=dict)  # causes before effects
    booked: Mapping[int, Sequence[Booking]] = field(default_factory=dict)  # by case
    told: Sequence[Trouble] = ()
    skills: frozenset[str] = frozenset()  # held by somebody
    bays: tuple[Bay, ...] = ()
    coming: Mapping[int, dt.date | None] = field(default_factory=dict)  # parts, by item


def chosen_now(program: Program) -> dict[str, list[int]]:
    """Return the items that stand booked, by case number, of cases whose cars are still here."""
    rows = standing(program).filter(case__closed_on=None).select_related("case")
    found: dict[str, list[int]] = {}
    for row in rows:
        items = found.setdefault(row.case.number, [])
        if row.item_id and row.item_id not in items:
            items.append(row.item_id)
    return found


def facts_now(program: Program, now: dt.datetime) -> Facts:
    """Return the facts of what is booked, at a moment, over the weeks of a plan or more.

    The same moment and the same rows give the same facts, however much later they are read.
    """
    today = now.astimezone(program.zone).date()
    last = standing(program).order_by("-ends_at").first()
    ahead = (last.ends_at.astimezone(program.zone).date() - week_start(today)).days if last else 0
    weeks = max(policies(program, today)["plan_weeks"], ahead // DAYS_A_WEEK + 2)
    days = open_days(today, weeks)
    return gather(program, chosen=chosen_now(program), days=days, now=now)


def gather(
    program: Program,
    *,
    chosen: Mapping[str, Collection[int]],
    days: Sequence[dt.date],
    now: dt.datetime | None = None,
    kit: Mapping[str, dt.date] | None = None,
) -> Facts:
    """Return the facts of the cases and items chosen, over open days in order.

    `chosen` has item keys by case number. `kit` says by case number on which day its parts are
    complete, where a plan knows; without it parts that are not on the shelf count with the day
    noted for them. With `now`, what is done or goes on stays as it is.
    """
    local = now.astimezone(program.zone).replace(tzinfo=None) if now else None
    told = list(troubles(program, days[0]))
    people = people_of(program, days, told)
    read = _read(program, chosen, (local, told, people, bays_of(program, days, told)))
    laid = {case: _told(read, case) for case in read.cases}
    return Facts(
        cars=tuple(_car(read, case, answer, kit or {}) for case, answer in laid.items()),
        jobs=tuple(job for answer in laid.values() for job in answer.jobs),
        shop=Shop(people=people, bays=read.bays, days=tuple(days), now=local),
        standing=tuple(row for answer in laid.values() for row in answer.standing),
        day_moves=read.limits["late_day_moves"],
        notes=tuple(note for answer in laid.values() for note in answer.notes),
    )


def _read(
    program: Program,
    chosen: Mapping[str, Collection[int]],
    shop: tuple[dt.datetime | None, list[Trouble], tuple[Person, ...], tuple[Bay, ...]],
) -> _Read:
    now, told, people, bays = shop
    cases = list(
        Case.objects.open()
        .filter(program=program, number__in=list(chosen))
        .select_related("household")
        .order_by("number")
    )
    pks = [pk for case in cases for pk in chosen[case.number]]
    items = list(with_work(RepairItem.objects.filter(program=program, pk__in=pks)).order_by("pk"))
    rows = [item for item in items if item.state == ItemState.OPEN]
    booked: dict[int, list[Booking]] = {}
    for row in standing(program).filter(case__in=cases):
        booked.setdefault(row.case_id, []).append(row)
    limits = policies(program, program.today())
    today = now.date() if now else program.today()
    return _Read(
        program=program,
        now=now,
        rules=rules_of(program, limits, people, told, (bays, today)),
        limits=limits,
        cases=cases,
        chosen=chosen,
        items={item.pk: item for item in items},
        first=after_causes(rows)[0],
        booked=booked,
        told=told,
        skills=frozenset(held.code for person in people for held in person.held),
        bays=bays,
        coming=coming_parts(program, rows),
    )


def _items(read: _Read, case: Case) -> list[RepairItem]:
    return [read.items[pk] for pk in sorted(read.chosen[case.number]) if pk in read.items]


def _told(read: _Read, case: Case) -> Told:
    """Return the jobs of one case."""
    mine = [item for item in _items(read, case) if item.state == ItemState.OPEN]
    pieces = [
        Booked(
            job_id=_job_id(row, case),
            begins_at=local(read.program, row.begins_at),
            ends_at=local(read.program, row.ends_at),
            made_at=local(read.program, row.made_at),
            bay_id=str(row.bay_id or ""),
            person_id=str(row.person_id or ""),
        )
        for row in read.booked.get(case.pk, [])
        if row.kind != BookingKind.REST
    ]
    work = [_work(read, item) for item in mine]
    return jobs_of(case.number, work, pieces, read.rules, read.now)


def _job_id(row: Booking, case: Case) -> str:
    if row.kind == BookingKind.FINAL:
        return final_id(case.number, row.title)
    return away_id(str(row.item_id)) if row.kind == BookingKind.AWAY else str(row.item_id)


def _work(read: _Read, item: RepairItem) -> Work:
    first = {row.first_id for row in item.needs_first.all()} | {*read.first.get(item.pk, ())}
    return Work(
        item_id=str(item.pk),
        title=item.title,
        minutes=item.labor_likely_minutes,
        lift=item.needs_lift,
        skills=codes_of(acts_of(item), read.skills),
        after=tuple(sorted(map(str, first))),
        rest_minutes=item.rest_minutes,
        away_days=item.outside_days,
        access=item.access,
        access_minutes=item.access_minutes,
    )


def _car(read: _Read, case: Case, told: Told, kit: Mapping[str, dt.date]) -> Car:
    rows = read.booked.get(case.pk, [])
    begun = [row for row in rows if read.now and local(read.program, row.begins_at) <= read.now]
    return Car(
        id=case.number,
        weight=case.household.need_weight if case.household else 0,
        promised_on=case.promised_on,
        kit_on=kit.get(case.number) or _kit_on(read, case, told),
        worked=tuple(
            sorted(
                {
                    str(row.person_id)
                    for row in begun
                    if row.person_id and row.kind == BookingKind.WORK
                }
            )
        ),
        cures_until=_cures_until(read, begun),
        bay_id=_lift_of(read, begun, told),
    )


def _cures_until(read: _Read, begun: Iterable[Booking]) -> dt.datetime | None:
    """Return until when a car cures after work that is done."""
    done = {item.pk for item in read.items.values() if item.state == ItemState.DONE}
    rests = [row for row in begun if row.kind == BookingKind.REST and row.item_id in done]
    return max((local(read.program, row.ends_at) for row in rests), default=None)


def _lift_of(read: _Read, begun: Sequence[Booking], told: Told) -> str:
    """Return the bay in which a car is up on a lift, with work on it left; empty when it is not."""
    if not any(job.place == Place.LIFT for job in told.jobs):
        return ""
    stood = [row for row in begun if row.bay_id]
    if not stood or not _needs_lift(read, stood[-1]):
        return ""
    bay = str(stood[-1].bay_id)
    return "" if bay in read.rules.shut else bay


def _needs_lift(read: _Read, row: Booking) -> bool:
    return any(item.needs_lift for item in read.items.values() if item.pk == row.item_id)


def _kit_on(read: _Read, case: Case, told: Told) -> dt.date | None:
    """Return the day on which all parts of a car are there, as far as anybody knows.

    A part without a day is there when the work is booked, or as many days on as parts take.
    """
    late = [
        row.until_on + dt.timedelta(days=1)
        for row in read.told
        if row.kind == TroubleKind.PART_LATE and row.case_id == case.pk
    ]
    ahead = [row.day for row in told.standing if any(_in_bay(told, row.job_id))]
    today = read.now.date() if read.now else read.program.today()
    unknown = min(ahead, default=today + dt.timedelta(days=read.limits["part_arrival_days"]))
    parts = [
        unknown if day is None else day
        for item in _items(read, case)
        if item.pk in read.coming
        for day in [read.coming[item.pk]]
    ]
    return max([*late, *parts], default=None)


def _in_bay(told: Told, job_id: str) -> Iterable[bool]:
    return (job.in_bay for job in told.jobs if job.id == job_id)
