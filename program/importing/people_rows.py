"""Rows of people become objects: who they are, their skills and papers, the hours they give."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.importing.batch import write
from program.importing.rules import DATED_PAPERS
from program.importing.sheets import SHEETS
from shared.accounts.models import User
from shared.audit.actions import log_event
from shared.people.kinds import PaperKind
from shared.people.models import Credential, Person, Skill, WeekHours

if TYPE_CHECKING:
    from program.importing.batch import Batch
    from program.importing.rows import Row

FULL = 100


def people(batch: Batch) -> None:
    """Write people with their skills and papers, and the hours they signed up for."""
    rows = batch.rows("people")
    batch.make(
        "people",
        [
            Person(
                program=batch.program,
                name=row["name"],
                kind=row["kind"],
                pace_percent=row["pace_percent"] or FULL,
                attendance_percent=row["attendance_percent"] or FULL,
                credential=row["credential"],
                born_on=row["born"],
            )
            for row in rows
        ],
    )
    write(
        [
            Skill(
                program=batch.program,
                person=batch.objects[row.key],
                code=code,
                since_on=row["skills_since"],
            )
            for row in rows
            for code in row["skills"]
        ]
    )
    write([paper for row in rows for paper in _papers(batch, row)])
    _hours(batch)


def _papers(batch: Batch, row: Row) -> list[Credential]:
    """Return the papers of one person, each kind once; a last day of its own goes first."""
    since, seen = row["waiver_since"], row["papers_seen"]
    spans = {PaperKind(kind): (seen, None) for kind in row["other_papers"]}
    spans |= {kind: (seen, row[column]) for kind, column in DATED_PAPERS.items() if row[column]}
    if since:
        spans[PaperKind.WAIVER] = (since, row["waiver_until"])
    return [
        Credential(
            program=batch.program,
            person=batch.objects[row.key],
            kind=kind,
            since_on=first,
            until_on=last,
        )
        for kind, (first, last) in spans.items()
    ]


def sign_ins(batch: Batch) -> None:
    """Give those who are named as having asked, listed or read a sign-in where they have none.

    It opens nothing: it has no role and no password, and is not active. A person who is to sign in
    gets both later, and what they did before stays theirs.
    """
    named = {
        row[column.name]: batch.named(row, column.name, "people")
        for sheet in SHEETS.values()
        if sheet.name != "hours"
        for column in sheet.columns
        if column.refers == ("people",)
        for row in batch.rows(sheet.name)
        if row[column.name]
    }
    for person in named.values():
        if person.user is None:
            _sign_in(batch, person)


def _sign_in(batch: Batch, person: Person) -> None:
    first, _, last = person.name.rpartition(" ")
    user = User(
        program=batch.program,
        username=f"person-{person.pk}",
        first_name=first,
        last_name=last,
        is_active=False,
    )
    user.set_unusable_password()
    user.save()
    person.user = user
    person.save(update_fields=["user"])
    log_event(person, "A sign-in that opens nothing was made.", by=batch.by, fields=["user"])


def _hours(batch: Batch) -> None:
    batch.make(
        "hours",
        [
            WeekHours(
                program=batch.program,
                person=batch.named(row, "person", "people"),
                week_on=row["week"],
                minutes=row["hours"],
                shifts=[list(shift) for shift in row["shifts"] or ()],
            )
            for row in batch.rows("hours")
        ],
    )
