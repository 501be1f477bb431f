"""Running jobs: the one way for the embedded queue and for Celery's workers.

A work function takes the job's payload and its program, and is called outside any transaction.
Either it writes by itself, in steps that do no harm when repeated, and returns None; or it only
computes, and returns a function without arguments that writes the result:

    def compute_plan(payload: dict[str, Any], program: Program) -> Write:
        answer = solve(...)                                  # slow, no transaction
        return partial(actions.keep_answer, program, answer)  # called once, or never

The returned function runs in one transaction with marking the job done, and only while the lease is
held. After a lost lease another worker has the job, and nothing of this run is written.
"""

from __future__ import annotations

import logging
import math
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from threading import Thread
from traceback import extract_tb
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.db import DatabaseError, close_old_connections, connection
from django.utils import timezone
from django.utils.module_loading import import_string

from shared.accounts.models import Program
from shared.jobs import actions
from shared.jobs.models import Job
from shared.jobs.schedules import Schedule, latest_slot

if TYPE_CHECKING:
    import datetime as dt
    from threading import Event

Write = Callable[[], object]
Work = Callable[[dict[str, Any], Program], Write | None]

POLL_SECONDS = 0.25
TICK_SECONDS = 30.0
LANES = 2

log = logging.getLogger("handback.jobs")


def run_due(
    work: Mapping[str, Work], now: dt.datetime | None = None, limit: int | None = None
) -> int:
    """Run what is due, one job after the other, and return how many were run.

    `work` maps each kind to its function. A job that fails waits and is not run again at `now`.
    """
    ran = 0
    while limit is None or ran < limit:
        job = actions.claim(now or timezone.now())
        if job is None:
            break
        run(job, work)
        ran += 1
    return ran


def run(job: Job, work: Mapping[str, Work]) -> None:
    """Run one claimed job, and write its result or why there is none."""
    try:
        write = _work_of(job, work)(job.payload, job.program)
        actions.finish(job, write)
    except Exception as error:  # noqa: BLE001  # whatever a job raises is written to its row
        log.warning("Job %s failed, attempt %s: %s", job.pk, job.attempts, type(error).__name__)
        actions.fail(job, _in_one_line(error))


def _work_of(job: Job, work: Mapping[str, Work]) -> Work:
    if job.kind not in work:
        raise LookupError(f"No work is known for jobs of the kind “{job.kind}”.")
    return work[job.kind]


def _in_one_line(error: Exception) -> str:
    """Return what was raised and where, for the coordinator's page."""
    place = extract_tb(error.__traceback__)[-1]
    return f"{type(error).__name__}: {error} ({Path(place.filename).name}, line {place.lineno})"


def tick(now: dt.datetime | None = None) -> int:
    """Ask for the recurring work of each program whose slot has begun; return how many are new.

    A slot that began before the program was set up is left out.
    """
    schedules: Sequence[Schedule] = import_string(settings.JOB_SCHEDULES)
    at = now or timezone.now()
    return sum(_ask_for_slots(program, schedules, at) for program in Program.objects.all())


def _ask_for_slots(program: Program, schedules: Sequence[Schedule], at: dt.datetime) -> int:
    """Ask for the slots that have no job yet; one query when all have."""
    local = at.astimezone(program.zone)
    slots = {latest_slot(schedule, local): schedule.kind for schedule in schedules}
    known = Job.objects.filter(program=program, key__in=[slot.key for slot in slots])
    asked = set(known.values_list("key", flat=True))
    missing = [
        slot for slot in slots if slot.key not in asked and slot.begins_at >= program.made_at
    ]
    for slot in missing:
        actions.ask(program=program, key=slot.key, kind=slots[slot], payload={"slot": slot.key})
    return len(missing)


def run_forever(stop: Event, poll: float = POLL_SECONDS, lanes: int = LANES) -> None:
    """Run the embedded queue until `stop` is set; a job that has begun is brought to its end.

    Several lanes run beside each other, each a thread: what a person waits for doesn't wait behind
    a long search.
    """
    others = [
        Thread(target=_run_lane, args=(stop, poll), daemon=True) for _ in range(max(lanes, 1) - 1)
    ]
    for lane in others:
        lane.start()
    _run_lane(stop, poll, ticks=True)
    for lane in others:
        lane.join()


def _run_lane(stop: Event, poll: float, *, ticks: bool = False) -> None:
    work: Mapping[str, Work] = import_string(settings.JOB_WORK)
    next_tick = 0.0 if ticks else math.inf
    while not stop.is_set():
        try:
            if time.monotonic() >= next_tick:
                next_tick = time.monotonic() + TICK_SECONDS
                tick()
            ran = run_due(work, limit=1)
        except DatabaseError as error:
            # A locked or restarted database: the lease runs out, and the job is found again.
            log.warning("The queue rests: %s", type(error).__name__)
            ran = 0
        if not ran:
            close_old_connections()
            stop.wait(poll)
    connection.close()
