"""The file of the demonstration's books, and its addresses."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

from program.reports.actions import ask_year_file
from program.reports.jobs import make_year_file
from program.reports.queries import first_day
from shared.models import User
from tests.journeys.looked_into import Rows, each

if TYPE_CHECKING:
    from program.models import YearFile
    from shared.models import Program


def made_file(program: Program) -> YearFile:
    """Return a file of everything booked so far, made as a worker makes it."""
    jonas = User.objects.get(username="jonas")
    days = {"from_on": first_day(program), "until_on": program.today()}
    file = ask_year_file(key=uuid4(), by=jonas, **days)
    write = make_year_file({"file": file.pk}, program)
    assert write is not None
    write()
    return file


def reports(program: Program) -> Rows:
    """Return the pages of a file that is made and of one that is asked for."""
    jonas = User.objects.get(username="jonas")
    made = made_file(program)
    today = program.today()
    asked = ask_year_file(from_on=today, until_on=today, key=uuid4(), by=jonas)
    return [
        ("reports:file", [[made.pk], [asked.pk]]),
        *each([[made.pk]], "reports:download"),
    ]
