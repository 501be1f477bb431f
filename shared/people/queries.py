"""Reading people: who may be seen by whom, what runs out, and the worker of whom `may` judges."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.db.models import CharField, DateField, Exists, OuterRef, Q, QuerySet, Subquery

from shared.accounts.models import User
from shared.accounts.roles import SHOP, RoleKind
from shared.dates import add_weeks, week_start
from shared.people.hours import from_rows, in_words
from shared.people.kinds import PersonKind
from shared.people.may import ACTS, GUARDED, Dated, Worker, may, work_on
from shared.people.models import Credential, Person, WeekHours
from shared.problems import blockers

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shared.people.may import Act
    from shared.problems import Problem

KEEPERS = frozenset({RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN})
SOON = dt.timedelta(days=30)
WEEKS_AHEAD = 9
NAME_LENGTH = 120


@dataclass(frozen=True, kw_only=True)
class Answer:
    """Whether one person may do one act on one day: what stands against it, and what is to note."""

    act: Act
    against: tuple[Problem, ...]
    notes: tuple[Problem, ...]


def people_for(user: User) -> QuerySet[Person]:
    """Return whom the user may see: everybody, for who keeps the papers; else only themselves."""
    mine = Q(program=user.program_id)
    if not user.is_any_of(KEEPERS):
        mine &= Q(user=user)
    return Person.objects.filter(mine)


def with_next_end(people: QuerySet[Person]) -> QuerySet[Person]:
    """Return the people with `ends_on` and `ends_kind` of the paper that runs out first.

    A paper that was ended, or that a later one of its kind has followed, doesn't count.
    """
    later = Credential.objects.filter(person=OuterRef("person"), kind=OuterRef("kind")).filter(
        Q(until_on__isnull=True) | Q(until_on__gt=OuterRef("until_on"))
    )
    last = Credential.objects.filter(
        ~Exists(later), person=OuterRef("pk"), until_on__isnull=False, ended_because=""
    ).order_by("until_on", "kind")
    return people.annotate(
        ends_on=Subquery(last.values("until_on")[:1], output_field=DateField()),
        ends_kind=Subquery(last.values("kind")[:1], output_field=CharField()),
    )


def running_out(user: User, today: dt.date) -> list[Any]:
    """Return whom the user may see and has a paper that runs out within 30 days, next ones first.

    Each has `ends_on` and `ends_kind`; people who have left are not among them.
    """
    here = people_for(user).filter(Q(left_on__isnull=True) | Q(left_on__gte=today))
    rows: Any = with_next_end(here)
    return list(rows.filter(ends_on__range=(today, today + SOON)).order_by("ends_on", "pk"))


def users_without_person(user: User, person: Person | None = None) -> QuerySet[User]:
    """Return the users of the shop who are nobody's sign-in yet, and the one of `person`."""
    free = Q(person__isnull=True) | Q(person=person) if person else Q(person__isnull=True)
    shop = Q(roles__kind__in=SHOP, roles__until_on__isnull=True)
    users = User.objects.filter(free, shop, program=user.program_id, is_active=True)
    return users.distinct().order_by("first_name", "last_name", "pk")


def answers(person: Person, day: dt.date) -> list[Answer]:
    """Return for each act of the shop whether this person may do it on that day."""
    known = worker(person)
    return [_answer(known, act, day) for act in (*ACTS, *map(work_on, GUARDED))]


def _answer(known: Worker, act: Act, day: dt.date) -> Answer:
    found = may(known, act, day)
    against = blockers(found)
    notes = tuple(problem for problem in found if problem not in against)
    return Answer(act=act, against=tuple(against), notes=notes)


def worker_of(user: User) -> Worker | None:
    """Return the worker who signs in as this user, or None for somebody of the office."""
    rows = Person.objects.prefetch_related("skills", "credentials")
    person = rows.filter(program=user.program_id, user=user).first()
    return worker(person) if person else None


def worker(person: Person) -> Worker:
    """Return what `may` knows of a person: age, kind, skills and papers, all with their days."""
    return Worker(
        name=person.name,
        kind=PersonKind(person.kind),
        born_on=person.born_on,
        left_on=person.left_on,
        skills=tuple(
            Dated(code=skill.code, from_on=skill.since_on, until_on=skill.until_on)
            for skill in person.skills.all()
        ),
        credentials=tuple(
            Dated(code=paper.kind, from_on=paper.since_on, until_on=paper.until_on)
            for paper in person.credentials.all()
        ),
    )


def refuse_unless_may(user: User, act: Act, day: dt.date) -> None:
    """Raise ValidationError with the sentences of `may` when this user may not do that work."""
    refuse_unless_may_all(user, (act,), day)


def refuse_unless_may_all(user: User, acts: Iterable[Act], day: dt.date) -> None:
    """Raise ValidationError with all that bars this user from any of these acts; three queries."""
    known = worker_of(user)
    if known is None:
        raise ValidationError(f"{user} is not on the list of people who work in the shop.")
    barred = [str(problem.sentence) for act in acts for problem in blockers(may(known, act, day))]
    if barred:
        raise ValidationError(list(dict.fromkeys(barred)))


def signed_name(user: User) -> str:
    """Return who did something, with the credential held now, as a row keeps it for good."""
    person = Person.objects.filter(user=user).first()
    credential = person.credential if person else ""
    return (f"{user}, {credential}" if credential else str(user))[:NAME_LENGTH]


@dataclass(frozen=True, kw_only=True)
class WeekLine:
    """One week ahead of a person: its Monday, the hours written for it, and the shifts in words."""

    week_on: dt.date
    row: WeekHours | None
    shifts: str
    seen: str
    has_before: bool


def weeks_ahead(person: Person, today: dt.date) -> list[WeekLine]:
    """Return this week and the next eight, written or not; one query."""
    first = week_start(today)
    mondays = [add_weeks(first, number) for number in range(WEEKS_AHEAD)]
    rows = {row.week_on: row for row in person.weeks.filter(week_on__gte=add_weeks(first, -1))}
    return [
        WeekLine(
            week_on=monday,
            row=rows.get(monday),
            shifts=in_words(from_rows(rows[monday].shifts)) if monday in rows else "",
            seen=as_seen(rows.get(monday)),
            has_before=add_weeks(monday, -1) in rows,
        )
        for monday in mondays
    ]


def as_seen(row: WeekHours | None) -> str:
    """Return a week as a form keeps in mind what it has shown."""
    if row is None:
        return "none"
    return f"{row.minutes} {in_words(from_rows(row.shifts))}".strip()
