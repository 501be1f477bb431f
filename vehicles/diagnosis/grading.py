"""Saying whether a repair held: the only thing that teaches a fault model."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.dates import full_date
from shared.policy.queries import policies
from vehicles.diagnosis.batch import came_back, repaired_on
from vehicles.diagnosis.gathering import model_behind
from vehicles.diagnosis.learning import NOT_LISTED
from vehicles.diagnosis.models import Diagnosis, Held

if TYPE_CHECKING:
    from collections.abc import Collection

    from shared.accounts.models import User


@transaction.atomic
def record_held(
    *,
    diagnosis: Diagnosis,
    gone: bool,
    causes: Collection[str] = (),
    asked_on: dt.date,
    note: str = "",
    by: User,
) -> Held:
    """Record whether the complaint is gone, and which causes the repair proved.

    `causes` are codes of the model's faults, or "" for a cause that it does not list. They may
    differ from what was concluded. A repair that did not hold can be said on any day after it.

    Raises:
        ValidationError: nothing was concluded or repaired, it is too early or known otherwise, a
            cause is missing or not known, or it is on record already.
    """
    row = Diagnosis.objects.select_for_update(of=("self",)).get(pk=diagnosis.pk)
    repaired = _repaired(row)
    _refuse_day(row, asked_on, repaired, gone=gone)
    if gone:
        _refuse_back(row)
    _refuse_causes(row, causes, gone=gone)
    found = Held(
        program_id=row.program_id,
        diagnosis=row,
        repaired_on=repaired,
        asked_on=asked_on,
        gone=gone,
        causes=sorted(set(causes)),
        note=note.strip(),
        by=by,
    )
    found.full_clean()
    found.save()
    what = "The repair held." if gone else "The repair did not hold."
    log_event(row, what, by=by, fields=["gone", "causes"])
    return found


@transaction.atomic
def withdraw_held(*, held: Held, because: str, by: User) -> Held:
    """Take back what was said of a repair; it stays on record and teaches no more.

    Raises:
        ValidationError: no reason is given.
    """
    row = Held.objects.select_for_update(of=("self",)).get(pk=held.pk)
    if row.withdrawn_at:
        return row
    if not because.strip():
        raise ValidationError({"because": "Say why this is taken back."})
    row.withdrawn_at, row.withdrawn_because = timezone.now(), because.strip()
    row.full_clean()
    row.save()
    what = "Whether the repair held was taken back."
    log_event(row.diagnosis, what, by=by, reason=row.withdrawn_because)
    return row


def _repaired(row: Diagnosis) -> dt.date:
    if not row.conclusions.filter(withdrawn_at__isnull=True).exists():
        raise ValidationError("Nothing was concluded, so there is no repair to ask about.")
    repaired = repaired_on(row)
    if repaired is None:
        raise ValidationError("Nothing of what was concluded is repaired yet.")
    return repaired


def _refuse_day(row: Diagnosis, asked_on: dt.date, repaired: dt.date, *, gone: bool) -> None:
    today = row.program.today()
    days = policies(row.program, today)["held_after_days"]
    first = repaired + dt.timedelta(days=days)
    if asked_on > today:
        raise ValidationError({"asked_on": f"{full_date(asked_on)}, has not come yet."})
    if asked_on < repaired:
        raise ValidationError(
            {"asked_on": f"The repair was done on {full_date(repaired)}; ask after that."}
        )
    if gone and asked_on < first:
        raise ValidationError(
            {"asked_on": f"Ask on {full_date(first)}, {days} days after the repair, or later."}
        )


def _refuse_back(row: Diagnosis) -> None:
    if came_back(Diagnosis.objects.filter(pk=row.pk)).exists():
        raise ValidationError(
            {
                "gone": "The car came back with this complaint, or it was diagnosed again: "
                "this repair did not hold."
            }
        )


def _refuse_causes(row: Diagnosis, causes: Collection[str], *, gone: bool) -> None:
    known = {one.code for one in model_behind(row).faults} | {NOT_LISTED}
    unknown = sorted(set(causes) - known)
    if unknown:
        raise ValidationError({"causes": f"The fault model has no fault “{unknown[0]}”."})
    if gone and not causes:
        raise ValidationError({"causes": "Say which cause the repair proved."})
    if causes and not gone:
        raise ValidationError(
            {"causes": "A repair that did not hold proves no cause. Leave all of them empty."}
        )
