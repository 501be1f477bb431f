"""What the shop has in each week: hours of its people, days of bays and lifts, spaces."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Prefetch

from program.planning.hands import Hand, SharedHours, shared_hours
from program.planning.problem import BAY_DAYS, LIFT_DAYS, MINUTES, OPEN_DAYS, Week
from shared.dates import add_weeks
from shared.people.may import may
from shared.people.models import Person, WeekHours
from shared.people.queries import worker
from shared.problems import blockers
from vehicles.custody.conditions import Mobility
from vehicles.custody.models import Condition
from vehicles.shop.queries import open_bays, spaces

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from shared.accounts.models import Program
    from shared.people.may import Act

SPACES = "spaces for cars that don't roll"

Acts = tuple["Act", ...]


@dataclass(frozen=True, kw_only=True)
class Capacity:
    """The weeks of a plan, and the hours that only some people can give."""

    weeks: tuple[Week, ...]
    shared: tuple[SharedHours, ...]
    has_spaces: bool = False

    def hours_for(self, group: str, minutes: int) -> dict[str, int]:
        """Return what work of a group takes beside the week's minutes."""
        return {row.name: minutes for row in self.shared if group in row.groups and minutes}


def capacity(
    program: Program,
    first_week_on: dt.date,
    weeks: int,
    *,
    groups: Mapping[str, Acts],
    planned: Collection[int],
) -> Capacity:
    """Return what each week holds; nine queries, however many people, bays and cars there are.

    `groups` names what kinds of work take of who does them. `planned` are the vehicles that the
    plan decides about: a car that doesn't roll and is none of them keeps its space.
    """
    mondays = [add_weeks(first_week_on, number) for number in range(weeks)]
    people = list(_people(program, first_week_on))
    hands = [_hand(person, mondays) for person in people]
    able = {group: [_able(people, acts, on) for on in mondays] for group, acts in groups.items()}
    shared = shared_hours(hands, able)
    days = {on: [on + dt.timedelta(days=n) for n in range(OPEN_DAYS)] for on in mondays}
    bays = open_bays(program, [day for week in days.values() for day in week])
    room = _room(program, planned)
    found = []
    for number, on in enumerate(mondays):
        there = {
            MINUTES: sum(hand.minutes[number] for hand in hands),
            BAY_DAYS: sum(len(bays.every[day]) for day in days[on]),
            LIFT_DAYS: sum(len(bays.lift[day]) for day in days[on]),
        }
        there |= {row.name: row.minutes[number] for row in shared}
        found.append(Week(starts_on=on, capacity=there if room is None else there | {SPACES: room}))
    return Capacity(weeks=tuple(found), shared=shared, has_spaces=room is not None)


def _people(program: Program, first_week_on: dt.date) -> Iterable[Person]:
    weeks = WeekHours.objects.filter(week_on__gte=first_week_on)
    rows = Person.objects.filter(program=program).order_by("pk")
    return rows.prefetch_related(Prefetch("weeks", queryset=weeks), "skills", "credentials")


def _hand(person: Person, mondays: Sequence[dt.date]) -> Hand:
    rows = list(person.weeks.all())
    for row in rows:
        row.person = person  # read already; the row would ask for it once more
    book = {row.week_on: row.book_minutes for row in rows}
    gone = person.left_on or dt.date.max
    minutes = (book.get(on, 0) if on <= gone else 0 for on in mondays)
    return Hand(id=person.pk, name=person.name, minutes=tuple(minutes))


def _able(people: Iterable[Person], acts: Acts, on: dt.date) -> frozenset[int]:
    """Return who may do all of these acts in the week of a Monday, with nobody standing by.

    Somebody who learns takes the hours of another who is signed off; neither counts for the work.
    """
    return frozenset(
        person.pk for person in people if not any(_against(person, act, on) for act in acts)
    )


def _against(person: Person, act: Act, on: dt.date) -> bool:
    problems = may(worker(person), act, on)
    return bool(blockers(problems)) or any(problem.where in act.skills for problem in problems)


def _room(program: Program, planned: Collection[int]) -> int | None:
    """Return the spaces that cars of the plan may take; None where nobody listed the lot."""
    today = program.today()
    rows = [row for row in spaces(program) if row.closed_on is None or row.closed_on > today]
    if not rows:
        return None
    dead = Condition.objects.filter(program=program, mobility=Mobility.DEAD)
    here = dead.filter(vehicle__intakes__left_on=None, vehicle__intakes__isnull=False)
    taken = here.exclude(vehicle__in=planned).values("vehicle").distinct().count()
    return max(sum(1 for row in rows if row.takes_dead) - taken, 0)
