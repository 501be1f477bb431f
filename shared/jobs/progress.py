"""How far a long job is, and whether somebody asked it to stop."""

from __future__ import annotations

import datetime as dt
import time
from typing import TYPE_CHECKING

from django.conf import settings
from django.utils import timezone

from shared.jobs.models import Job
from shared.jobs.states import JobState

if TYPE_CHECKING:
    from shared.accounts.models import Program

LOOK_SECONDS = 0.5  # so often the table is asked whether to stop, however often a search asks
LONGEST_DOING = 80


class Progress:
    """The row of one running job, as its work writes and reads it between its steps.

    Telling how far it is also renews the lease, so that long work isn't taken for lost work.
    """

    def __init__(self, program: Program, key: str) -> None:
        self._rows = Job.objects.filter(program=program, key=key)
        self._looked_at = float("-inf")
        self._stops = False

    def tell(self, percent: int, doing: str) -> None:
        """Write how far the work is, in percent, and what it does now."""
        until = timezone.now() + dt.timedelta(seconds=settings.JOB_LEASE_SECONDS)
        share = min(max(percent, 0), 99)  # the whole is told by ending the job
        rows = self._rows.filter(state=JobState.RUNNING)
        rows.update(percent=share, doing=doing[:LONGEST_DOING], lease_until=until)

    def stop(self) -> bool:
        """Return whether a person asked the job to stop."""
        if not self._stops and time.monotonic() - self._looked_at >= LOOK_SECONDS:
            self._looked_at = time.monotonic()
            self._stops = self._rows.filter(stop_asked_at__isnull=False).exists()
        return self._stops
