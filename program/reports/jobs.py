"""What a worker does for the file of the books."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from program.closing.models import YearFile
from program.reports.actions import job_key, keep
from program.reports.keeping import make_file
from shared.jobs.progress import Progress

if TYPE_CHECKING:
    from shared.accounts.models import Program
    from shared.jobs.runner import Write


def make_year_file(payload: dict[str, Any], program: Program) -> Write | None:
    """Make the zip that was asked for, and return what writes down where it lies."""
    file = YearFile.objects.select_related("program", "asked_by").get(
        pk=payload["file"], program=program
    )
    if file.made_at:
        return None
    made = make_file(file, Progress(program, job_key(file)).tell)
    return partial(keep, file, **made)
