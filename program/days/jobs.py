"""What a worker does for the days: it lays them out anew, for a person to accept."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING, Any

from django.utils import timezone

from program.days.actions import keep_proposal, keep_refusal
from program.days.changes import booked_ready, broken_promises, changes, dropped, other_days
from program.days.day_board import lay_out
from program.days.gathering import facts_now
from program.days.revision import Revision
from shared.jobs.progress import Progress

if TYPE_CHECKING:
    import datetime as dt

    from program.days.gathering import Facts
    from program.days.solving import Watch
    from shared.accounts.models import Program
    from shared.jobs.runner import Write


def replan(payload: dict[str, Any], program: Program) -> Write:
    """Lay out the days from now on; what is done or goes on stays, and little else moves.

    Who stops it early gets the best days found so far, or is told that there are none.
    """
    now, key = timezone.now(), payload["key"]
    watch = Progress(program, key)
    watch.tell(1, "Reading what is booked")
    try:
        found = revise(facts_now(program, now), now, watch)
    except ValueError as error:
        return partial(keep_refusal, program=program, key=key, because=str(error))
    return partial(keep_proposal, program=program, key=key, proposal=found.to_json())


def revise(facts: Facts, now: dt.datetime, watch: Watch | None = None) -> Revision:
    """Return the days laid out anew, with what they change in sentences.

    A car that was promised for no day is wanted on the day it is booked to be ready, for a plan has
    told its household so.
    """
    booked = booked_ready(facts.standing, facts.jobs)
    board = lay_out(
        [replace(car, promised_on=car.promised_on or booked.get(car.id)) for car in facts.cars],
        facts.jobs,
        facts.shop,
        standing=facts.standing,
        day_moves=facts.day_moves,
        watch=watch,
    )
    moved = changes(board, facts.standing, facts.shop)
    return Revision(
        laid_out_at=now,
        fingerprint=facts.fingerprint,
        slots=board.slots,
        changes=tuple(str(change.sentence) for change in moved),
        ready=tuple(str(said) for said in other_days(board, facts.standing, facts.jobs)),
        dropped=dropped(board, facts.standing, facts.jobs),
        broken=tuple(str(said) for said in broken_promises(board, facts.cars)),
        problems=tuple(
            f"{problem.sentence} {problem.remedy}" for problem in (*board.problems, *facts.notes)
        ),
        value=board.value,
        bound=board.bound,
    )
