"""What each kind of job does, and what is asked for again and again.

The runner calls `WORK[job.kind](job.payload, job.program)`; `shared.jobs.runner` says what such a
function may return.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.importing.actions import IMPORT
from program.importing.actions import work as import_sheets
from shared.outbox.actions import SEND
from shared.outbox.sending import send

if TYPE_CHECKING:
    from shared.jobs.runner import Work
    from shared.jobs.schedules import Schedule

WORK: dict[str, Work] = {
    IMPORT: import_sheets,
    SEND: send,
}

SCHEDULES: tuple[Schedule, ...] = ()
