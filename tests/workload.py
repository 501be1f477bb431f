"""Work for real workers, that can be watched and held through named pipes."""

from __future__ import annotations

import datetime as dt
import os
import select
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from shared.audit.actions import log_event
from shared.jobs.schedules import Schedule

if TYPE_CHECKING:
    from shared.accounts.models import Program
    from shared.jobs.runner import Work, Write

EFFECT = "The effect of the job."


def held(payload: dict[str, Any], program: Program) -> Write:
    """Tell that the work has begun, wait to be let go, and return what writes the effect."""
    # Opened before telling, so that whoever was heard can be let go.
    gate = os.open(payload["go"], os.O_RDONLY | os.O_NONBLOCK)
    Path(payload["begun"]).write_text("begun")
    select.select([gate], [], [])
    os.close(gate)
    return partial(log_event, program, EFFECT, by=None)


def ring(payload: dict[str, Any], _program: Program) -> None:
    """Tell that the worker has come this far."""
    Path(payload["bell"]).write_text("ring")


WORK: dict[str, Work] = {"held": held, "ring": ring}
SCHEDULES: tuple[Schedule, ...] = (Schedule(kind="ring", at=dt.time(4)),)
