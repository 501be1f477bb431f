"""The hours that a person gives in a week: by shifts, or so many on any day.

Where shifts are given they are the one truth: the minutes of the week are their sum.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from django.core.exceptions import ValidationError
from django.db import transaction

from shared.audit.actions import log_event
from shared.dates import add_weeks, full_date, week_start
from shared.people.hours import from_rows, in_order, total
from shared.people.models import Person, WeekHours
from shared.people.queries import as_seen

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from shared.accounts.models import User
    from shared.people.hours import Shift

CHANGED: Final = "Somebody else changed these hours meanwhile. Look at them again, then decide."
FAR: Final = 52  # weeks ahead: whoever signs up for more has typed a wrong year


@transaction.atomic
def set_hours(
    *,
    person: Person,
    week_on: dt.date,
    shifts: Sequence[Shift],
    minutes: int | None,
    seen: str,
    by: User,
) -> WeekHours:
    """Write when a person comes in a week; no shift and no minutes mean not at all.

    `minutes` count only without shifts, for hours on any day. `seen` is the week as it was shown.

    Raises:
        ValidationError: the week is over, too far ahead or no week, the person has left by then,
            shifts overlap, the minutes are not their sum, or somebody else changed the week.
    """
    found = Person.objects.select_for_update(of=("self",)).get(pk=person.pk)
    _refuse_week(found, week_on)
    row = found.weeks.filter(week_on=week_on).first()
    wanted = _in_order(shifts)
    summed = total(wanted)
    if wanted and minutes is not None and minutes != summed:
        raise ValidationError({"hours": "The times make another sum. Leave this empty."})
    rows = [list(shift.row) for shift in wanted]
    given = summed if wanted else minutes or 0
    if row and (row.shifts, row.minutes) == (rows, given):
        return row
    if as_seen(row) != seen:
        raise ValidationError(CHANGED)
    row = row or WeekHours(program_id=found.program_id, person=found, week_on=week_on)
    row.shifts, row.minutes = rows, given
    row.full_clean()
    row.save()
    log_event(found, "The hours of a week were written.", by=by, fields=["weeks"])
    return row


@transaction.atomic
def same_as_last_week(*, person: Person, week_on: dt.date, seen: str, by: User) -> WeekHours:
    """Write for a week what is written for the week before.

    Raises:
        ValidationError: nothing is written for it, or `set_hours` refuses.
    """
    last = person.weeks.filter(week_on=add_weeks(week_on, -1)).first()
    if last is None:
        raise ValidationError("No hours are written for the week before.")
    return set_hours(
        person=person,
        week_on=week_on,
        shifts=from_rows(last.shifts),
        minutes=None if last.shifts else last.minutes,
        seen=seen,
        by=by,
    )


def _in_order(shifts: Sequence[Shift]) -> tuple[Shift, ...]:
    try:
        return in_order(shifts)
    except ValueError as error:
        raise ValidationError(str(error)) from error


def _refuse_week(person: Person, week_on: dt.date) -> None:
    this = week_start(person.program.today())
    if week_start(week_on) != week_on:
        raise ValidationError(f"{full_date(week_on)}, is no Monday.")
    if week_on < this:
        raise ValidationError("This week is over; its hours stay as they are.")
    if week_on > add_weeks(this, FAR):
        raise ValidationError(f"{full_date(week_on)}, is more than a year ahead.")
    if person.left_on and person.left_on < week_on:
        raise ValidationError(f"{person} works here until {full_date(person.left_on)}.")
