"""Keeping units for needs: by matching, by a plan, by a person. No unit is kept twice."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.accounts.models import Program
from shared.audit.actions import log_event
from sponsors.matching.matching import rematch
from sponsors.matching.models import Reservation
from sponsors.matching.queries import (
    MATCHING,
    barrier,
    is_loose,
    need_line,
    refused_pairs,
    standing_reservations,
    supply_line,
    usable_supplies,
)
from sponsors.matching.states import Freed
from sponsors.pledges.models import Supply
from sponsors.pledges.states import SupplyState
from vehicles.repairs.models import Need
from vehicles.repairs.states import NeedState

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Iterable, Sequence

    from shared.accounts.models import User
    from sponsors.matching.compatibility import NeedLine
    from sponsors.matching.matching import Match

LONGEST_REASON = 300


@transaction.atomic
def match_open(*, program: Program, today: dt.date) -> int:
    """Match what no plan and no person has settled, and return how many new pairs there are.

    Pairs that matching made before and nobody confirmed move only where that serves a more urgent
    need. A pair that a person took apart is not made again.
    """
    _lock(program)
    _free_stale(program, today)
    standing = standing_reservations(program)
    loose = {(row.need_id, row.supply_id): row for row in standing if is_loose(row)}
    needs, supplies = _unsettled(program, [row for row in standing if not is_loose(row)], today)
    answer = rematch(needs, [supply_line(supply) for supply in supplies], held=list(loose))
    wanted = {(row.need_id, row.supply_id): row for row in answer.matches}
    _free([row for pair, row in loose.items() if pair not in wanted], Freed.MOVED)
    known = loose.keys() | refused_pairs(program)
    new = [_matched(program, row) for pair, row in wanted.items() if pair not in known]
    Reservation.objects.bulk_create(new)
    return len(new)


@transaction.atomic
def note_fitted(*, program: Program) -> None:
    """Mark a unit on the shelf as fitted once the work it is kept for is done.

    It stays kept for its need. Work that is opened again puts it back on the shelf.
    """
    _lock(program)


def match_due(_payload: dict[str, object], program: Program) -> None:
    """Match the open needs of a program today: what a job of the kind `MATCH` does."""
    match_open(program=program, today=program.today())


@transaction.atomic
def reserve(
    *, supply: Supply, need: Need, made_for: str, because: str, by: User | None
) -> Reservation:
    """Keep one unit for one need.

    Raises:
        ValidationError: the unit is kept already or can't serve the need, or no more is needed.
    """
    _lock(need.program)
    row = _kept(supply, Need.objects.get(pk=need.pk), made_for, because)
    log_event(row, "A unit was kept for a need.", by=by)
    return row


@transaction.atomic
def free(*, reservation: Reservation, because: str, by: User | None) -> Reservation:
    """Keep a unit for its need no more. Matching will not make the same pair again.

    Raises:
        ValidationError: it is free already, or the reason is missing.
    """
    _lock(reservation.program)
    row = _standing(reservation)
    if not because.strip():
        raise ValidationError({"because": "Say why the part is kept no more."})
    _free([row], because.strip())
    log_event(row, "A unit was freed.", by=by, reason=because.strip(), fields=["freed_at"])
    row.refresh_from_db()
    return row


@transaction.atomic
def confirm(*, reservation: Reservation, by: User) -> Reservation:
    """Settle a match, so that no later matching moves it. Confirming twice changes nothing.

    Raises:
        ValidationError: the unit was freed meanwhile.
    """
    _lock(reservation.program)
    row = _standing(reservation)
    if row.confirmed_at is None:
        row.confirmed_at = timezone.now()
        row.save(update_fields=["confirmed_at"])
        log_event(row, "A match was confirmed.", by=by, fields=["confirmed_at"])
    return row


@transaction.atomic
def reserve_for_plan(
    *,
    program: Program,
    pairs: Sequence[tuple[int, int, str]],
    made_for: str,
    by: User | None,
) -> list[Reservation]:
    """Keep units for needs as a plan says: `pairs` are supply id, need id and reason.

    Matches that nobody confirmed give way. A pair that stands settled already stays as it is.

    Raises:
        ValidationError: a unit is settled for another need or given twice, or it can't serve.
    """
    _lock(program)
    supplies = Supply.objects.select_related("pledge").in_bulk([pair[0] for pair in pairs])
    needs = Need.objects.select_related("program").in_bulk([pair[1] for pair in pairs])
    standing = standing_reservations(program)
    loose = [row for row in standing if is_loose(row)]
    _free(
        [row for row in loose if row.supply_id in supplies or row.need_id in needs], Freed.PLANNED
    )
    settled = {(row.supply_id, row.need_id) for row in standing if not is_loose(row)}
    made = [
        _kept(supplies[unit], needs[need], made_for, because)
        for unit, need, because in pairs
        if (unit, need) not in settled
    ]
    log_event(program, f"{len(made)} units were kept for {made_for}.", by=by)
    return made


@transaction.atomic
def free_all(*, program: Program, made_for: str, because: str, by: User | None) -> int:
    """Free what was kept for one plan and no person confirmed, and return how many units."""
    _lock(program)
    standing = [row for row in standing_reservations(program) if row.made_for == made_for]
    loose = [row for row in standing if row.confirmed_at is None]
    rows = [row for row in loose if row.supply.state != SupplyState.FITTED]
    _free(rows, because)
    log_event(program, f"{len(rows)} units kept for {made_for} were freed.", by=by, reason=because)
    return len(rows)


@transaction.atomic
def free_needs(
    *, program: Program, needs: Collection[int], because: str, by: User | None
) -> list[Reservation]:
    """Free every unit kept for needs, by id, whoever settled it; return what was freed.

    What is fitted stays fitted.
    """
    _lock(program)
    rows = list(Reservation.objects.waiting_for(needs))
    _free(rows, because)
    for row in rows:
        log_event(row, "A unit was freed.", by=by, reason=because, fields=["freed_at"])
    return rows


def _lock(program: Program) -> None:
    """Lock the program's row, so that what is kept is decided by one after the other.

    Work that was done or opened again meanwhile counts first: a part on a car is not given away.
    """
    Program.objects.select_for_update(no_key=True).get(pk=program.pk)
    _move(program, NeedState.FILLED, SupplyState.ON_SHELF, SupplyState.FITTED)
    _move(program, NeedState.OPEN, SupplyState.FITTED, SupplyState.ON_SHELF)


def _move(program: Program, need: NeedState, before: SupplyState, after: SupplyState) -> None:
    """Move the units that are kept for needs in one state; a unit only promised is never fitted."""
    kept = Reservation.objects.standing().filter(program=program, need__state=need)
    rows = list(kept.filter(supply__state=before))
    moved = Supply.objects.filter(pk__in=[row.supply_id for row in rows])
    moved.update(state=after, since_at=timezone.now())
    for row in rows:
        what = "The unit was fitted." if after is SupplyState.FITTED else "The unit is not fitted."
        log_event(row, what, by=None, fields=["supply"])


def _standing(reservation: Reservation) -> Reservation:
    row = Reservation.objects.get(pk=reservation.pk)
    if row.freed_at is not None:
        raise ValidationError("This unit is kept for the need no more.")
    return row


def _kept(supply: Supply, need: Need, made_for: str, because: str) -> Reservation:
    """Write one reservation, or refuse with the first thing that stands against it."""
    row = Reservation(
        program_id=need.program_id,
        supply=supply,
        need=need,
        made_for=made_for,
        because=because[:LONGEST_REASON],
    )
    row.full_clean()
    if need.state != NeedState.OPEN:
        raise ValidationError("This need is not open any more.")
    if Reservation.objects.standing().filter(need=need).count() >= need.quantity:
        raise ValidationError("All that this need asks for is kept already.")
    obstacle = barrier(supply, need, need.program.today())
    if obstacle is not None:
        raise ValidationError(str(obstacle))
    row.save()
    return row


def _free(rows: Iterable[Reservation], because: str) -> None:
    keys = [row.pk for row in rows]
    Reservation.objects.filter(pk__in=keys).update(freed_at=timezone.now(), freed_because=because)


def _free_stale(program: Program, today: dt.date) -> None:
    """Free what is kept for a need that closed, and what can't be had any more."""
    usable = {supply.pk for supply in usable_supplies(program, today)}
    waiting = [
        row for row in standing_reservations(program) if row.supply.state != SupplyState.FITTED
    ]
    closed = [row for row in waiting if row.need.state != NeedState.OPEN]
    _free(closed, Freed.NEED_CLOSED)
    _free([row for row in waiting if row.supply_id not in usable], Freed.UNIT_GONE)


def _unsettled(
    program: Program, settled: Sequence[Reservation], today: dt.date
) -> tuple[list[NeedLine], list[Supply]]:
    """Return the needs with the units they still lack, and the supplies that are still free."""
    kept = Counter(row.need_id for row in settled)
    taken = {row.supply_id for row in settled}
    lines = []
    for need in Need.objects.open().filter(program=program):
        lacking = need.quantity - kept[need.pk]
        if lacking > 0:
            lines.append(replace(need_line(need, today), quantity=lacking))
    return lines, [row for row in usable_supplies(program, today) if row.pk not in taken]


def _matched(program: Program, found: Match) -> Reservation:
    return Reservation(
        program=program,
        supply_id=found.supply_id,
        need_id=found.need_id,
        made_for=MATCHING,
        because=str(found.reason)[:LONGEST_REASON],
    )
