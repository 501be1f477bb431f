"""Work for real workers, that tests can watch and hold."""

from __future__ import annotations

import datetime as dt
import fcntl
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
    Path(payload["begun"]).write_text("begun")
    with Path(payload["go"]).open() as gate:
        fcntl.flock(gate, fcntl.LOCK_SH)
    return partial(log_event, program, EFFECT, by=None)


def ring(payload: dict[str, Any], _program: Program) -> None:
    """Tell that the worker has come this far."""
    Path(payload["bell"]).write_text("ring")


WORK: dict[str, Work] = {"held": held, "ring": ring}
SCHEDULES: tuple[Schedule, ...] = (Schedule(kind="ring", at=dt.time(4)),)
