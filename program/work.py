"""What each kind of job does, and what is asked for again and again.

The runner calls `WORK[job.kind](job.payload, job.program)`; `shared.jobs.runner` says what such a
function may return.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.importing.actions import IMPORT
from program.importing.actions import work as import_sheets
from program.planning import jobs as planning
from program.planning.actions import COMPUTE
from shared.outbox.actions import SEND
from shared.outbox.sending import send

if TYPE_CHECKING:
    from shared.jobs.runner import Work
    from shared.jobs.schedules import Schedule

WORK: dict[str, Work] = {
    COMPUTE: planning.compute_plan,
    IMPORT: import_sheets,
    planning.PLAN: planning.plan,
    planning.RANK: planning.rank,
    SEND: send,
}

SCHEDULES: tuple[Schedule, ...] = ()
