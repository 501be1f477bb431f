"""Asking that what is known of a stay be worked out anew."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Final

from django.utils import timezone

from shared.jobs.actions import ask

if TYPE_CHECKING:
    from shared.jobs.models import Job
    from vehicles.intake.models import Intake

#: The kind of job that ranks every open item and brings the estimates up to date.
RANK: Final = "rank_items"


def ask_for_ranks(intake: Intake) -> Job:
    """Return the one job that ranks anew once this minute is over.

    It waits for the end of the minute, so that all that is recorded in between counts.
    """
    minute = timezone.now().replace(second=0, microsecond=0)
    return ask(
        program=intake.program,
        key=f"rank:{minute:%Y-%m-%dT%H:%M}",
        kind=RANK,
        run_after=minute + dt.timedelta(minutes=1),
    )
