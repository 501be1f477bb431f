"""A month with ticked lines and a paper behind a spend, and the addresses of both rooms."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from program.closing.actions import record_duty, shut_month, tick_step
from program.closing.kinds import StepKind
from program.closing.queries import booked_months
from program.papers.actions import add_paper
from program.papers.queries import entries_without_paper
from tests.journeys.looked_into import Rows, each

if TYPE_CHECKING:
    from shared.models import Program, User

PDF = b"%PDF-1.7\n%%EOF\n"


def months(program: Program, by: User) -> Rows:
    """Return the addresses of a month, of duties and of papers, with what they take."""
    month = dt.date(2026, 10, 1)
    for kind in (StepKind.CORES, StepKind.SHELF):
        tick_step(program=program, month=month, kind=kind, note="Compared by hand.", by=by)
    shut = booked_months(program)[:2]  # the second is of this year, which the list opens with
    for one in shut:
        for kind in StepKind:
            tick_step(program=program, month=one, kind=kind, note="On paper.", by=by)
        shut_month(program=program, month=one, by=by)
    record_duty(year=2026, code="winter", on=month, note="Two boosters.", applies=True, by=by)
    spends = entries_without_paper(program)
    paper = add_paper(entry=spends[0], name="Bill of the week", file=PDF, by=by)
    october = [month.year, month.month]
    duty = [month.year, "form-990"]
    return [
        ("closing:month_page", [october, [shut[-1].year, shut[-1].month]]),
        *each([october], "closing:month_shut", "closing:month_open"),
        *each([[*october, "cores"]], "closing:step_undo", "closing:step_tick"),
        *each([duty], "closing:duty_record", "closing:duty_undo"),
        ("closing:duties_file", [[month.year]]),
        ("papers:entry_papers", [[paper.entry_id], [spends[0].pk]]),
        ("papers:paper_file", [[paper.pk]]),
    ]
