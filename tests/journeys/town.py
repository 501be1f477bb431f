"""The demonstration in the test database: brought in by the importer, worked out by the jobs."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING
from zipfile import ZipFile

from django.utils import timezone

from program.importing.actions import import_folder
from program.importing.shifting import weeks_from, write_shifted
from program.importing.states import ImportState
from program.management.commands.demo import BASE_MONDAY, SHEETS, ZONE
from program.management.demo_people import make_people
from program.work import WORK
from shared.dates import plan_week
from shared.jobs.models import Job
from shared.jobs.runner import run_due

if TYPE_CHECKING:
    from pathlib import Path

    from shared.models import Program


def load(folder: Path) -> Program:
    """Bring the demonstration's sheets in, make its people, and run what is due."""
    week = plan_week(timezone.now().astimezone(ZONE).date())
    write_shifted(SHEETS, folder, weeks=weeks_from(BASE_MONDAY, week))
    run = import_folder(folder, program=None, by=None)
    if run.state != ImportState.DONE:
        raise AssertionError(run.problems)
    make_people(run.program)
    work()
    return run.program


def work() -> None:
    """Run the jobs that are due; none may fail."""
    run_due(WORK)
    if failed := list(Job.objects.exclude(error="").values_list("kind", "error")):
        raise AssertionError(failed)


def packed(folder: Path) -> bytes:
    """Return the sheets of a folder as one zip."""
    packing = io.BytesIO()
    with ZipFile(packing, "w") as archive:
        for path in sorted(folder.glob("*.csv")):
            archive.write(path, path.name)
    return packing.getvalue()
