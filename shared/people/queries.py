"""Reading people: what stands in the rows, as the worker of whom `may` judges."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError

from shared.people.kinds import PersonKind
from shared.people.may import Dated, Worker, may
from shared.people.models import Person
from shared.problems import blockers

if TYPE_CHECKING:
    import datetime as dt

    from shared.accounts.models import User
    from shared.people.may import Act


def worker_of(user: User) -> Worker | None:
    """Return the worker who signs in as this user, or None for somebody of the office."""
    person = Person.objects.filter(program=user.program, user=user).first()
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
    known = worker_of(user)
    if known is None:
        raise ValidationError(f"{user} is not on the list of people who work in the shop.")
    barred = blockers(may(known, act, day))
    if barred:
        raise ValidationError([str(problem.sentence) for problem in barred])
