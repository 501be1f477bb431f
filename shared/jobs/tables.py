"""The list of jobs."""

from __future__ import annotations

from typing import ClassVar

from django_tables2 import TemplateColumn

from shared.jobs.states import JobState
from shared.tables import Column, MomentColumn, NumberColumn, Table

WORDS = {
    JobState.PENDING: "waits",
    JobState.RUNNING: "is running",
    JobState.DONE: "done",
    JobState.FAILED: "failed",
}


class JobTable(Table):
    """What was asked for, how it stands, and for a failed job the way to try again."""

    caption: ClassVar[str] = "Background jobs"
    one, many = "job", "jobs"
    empty_title: ClassVar[str] = "No job was asked for yet"
    nothing_yet: ClassVar[str] = "Jobs appear here when mail is written or a plan is computed."
    kind = Column(verbose_name="What")
    state = Column(verbose_name="State")
    asked_at = MomentColumn(verbose_name="Asked for")
    run_after = MomentColumn(verbose_name="Not before")
    percent = NumberColumn(verbose_name="Percent", empty_values=(None, 0))
    doing = Column(verbose_name="Does now")
    attempts = NumberColumn(verbose_name="Attempts")
    error = Column(verbose_name="What went wrong")
    again = TemplateColumn(
        template_name="jobs/again.html",
        verbose_name="To do",
        orderable=False,
        exclude_from_export=True,
    )

    def render_kind(self, value: str) -> str:
        return value.replace("_", " ").capitalize()

    def render_state(self, value: str) -> str:
        return WORDS[JobState(value)]
