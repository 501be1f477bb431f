"""The list of people, and how it is said when a paper runs out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from django_tables2 import A

from shared.dates import short_date
from shared.people.kinds import PaperKind, PersonKind, skill_in_words
from shared.people.queries import SOON
from shared.tables import Column, DateColumn, Table

if TYPE_CHECKING:
    import datetime as dt

    from shared.people.models import Person

KINDS = {PersonKind.PAID: "paid", PersonKind.VOLUNTEER: "given"}


class PersonTable(Table):
    """Who works in the shop, and which of their papers runs out next."""

    caption: ClassVar[str] = "People"
    one, many = "person", "people"
    empty_title: ClassVar[str] = "Nobody is on the list yet"
    nothing_yet: ClassVar[str] = "Add who works in the shop, or import the sheet of people."
    name = Column(verbose_name="Name", linkify=("people:person_page", [A("pk")]))
    kind = Column(verbose_name="Hours are")
    ends_kind = Column(verbose_name="Runs out next")
    ends_on = DateColumn(verbose_name="When")
    left_on = DateColumn(verbose_name="Left")

    def render_kind(self, value: str) -> str:
        return KINDS[PersonKind(value)]

    def render_ends_kind(self, value: str) -> str:
        return PaperKind(value).label

    def render_ends_on(self, value: dt.date) -> str:
        return when(value, self.request.user.program.today())

    def value_ends_on(self, value: dt.date | None) -> str:
        return value.isoformat() if value else ""


def when(day: dt.date, today: dt.date) -> str:
    """Return how it is said that a paper runs out: how long it still holds, within 30 days.

    >>> import datetime as dt
    >>> when(dt.date(2026, 12, 7), dt.date(2026, 11, 25))
    'in 12 days, Dec 7'
    >>> when(dt.date(2026, 11, 1), dt.date(2026, 11, 25))
    'ran out Nov 1, 2026'
    """
    left = (day - today).days
    if left < 0:
        return f"ran out {short_date(day)}, {day.year}"
    if left > SOON.days:
        return f"{short_date(day)}, {day.year}"
    words = {0: "today", 1: "tomorrow"}.get(left, f"in {left} days")
    return f"{words}, {short_date(day)}"


def until_in_words(day: dt.date | None, today: dt.date) -> str:
    """Return the same as a part of a sentence; None is a paper that has no last day."""
    if day is None:
        return "without a last day"
    left, words = (day - today).days, when(day, today)
    if left < 0:
        return words
    return f"runs out {words}" if left <= SOON.days else f"until {words}"


def skill_lines(person: Person, today: dt.date) -> list[dict[str, Any]]:
    """Return the skills by word, those that hold today first."""
    lines = [
        {
            "skill": skill,
            "label": skill_in_words(skill.code).capitalize(),
            "ended": bool(skill.until_on and skill.until_on < today),
        }
        for skill in person.skills.all()
    ]
    return sorted(lines, key=lambda line: (line["ended"], line["label"]))


def paper_lines(person: Person, today: dt.date) -> list[dict[str, Any]]:
    """Return the papers, those that hold today first, each with when it runs out."""
    lines = [
        {
            "paper": paper,
            "label": PaperKind(paper.kind).label,
            "within": PaperKind(paper.kind).within,
            "until": until_in_words(paper.until_on, today),
            "ended": bool(paper.until_on and paper.until_on < today),
        }
        for paper in person.credentials.all()
    ]
    return sorted(lines, key=lambda line: (line["ended"], line["label"]))
