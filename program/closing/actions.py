"""Ticking the list of a month, shutting and opening it; what was done of the year's duties."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from program.closing import duties
from program.closing.gathering import looks
from program.closing.models import CloseStep, DutyDone
from program.closing.queries import shut_months, ticks, what_stands_against
from program.closing.steps import TITLES, Looks, named
from program.ledger.models import ShutMonth
from shared.accounts.models import Program
from shared.accounts.roles import RoleKind
from shared.audit.actions import log_event
from shared.dates import full_date

if TYPE_CHECKING:
    import datetime as dt

    from program.closing.kinds import StepKind
    from shared.accounts.models import User


def _lock_books(program: Program) -> None:
    """Lock the books as `post_entry` does: nobody books, ticks or shuts beside another."""
    Program.objects.select_for_update(no_key=True).get(pk=program.pk)


# ---- months ----


@transaction.atomic
def tick_step(
    *, program: Program, month: dt.date, kind: StepKind, note: str = "", by: User
) -> CloseStep:
    """Return the line of a month's list, ticked by a person.

    Raises:
        ValidationError: the month is shut, the line is ticked already, or the books say that
            something stands open and the note doesn't say why it may.
    """
    _lock_books(program)
    _refuse_shut(program, month)
    if kind in ticks(program, month):
        raise ValidationError("This line of the list is done already.")
    if not note.strip() and looks(program, month)[kind].looks is Looks.WRONG:
        raise ValidationError({"note": "The books don’t agree. Say why it may stand as it is."})
    row = CloseStep(program=program, month=month, kind=kind, note=note.strip(), by=by)
    row.full_clean()
    row.save()
    log_event(row, f"Ticked: {TITLES[kind].lower()}, {named(month)}.", by=by)
    return row


@transaction.atomic
def undo_step(
    *, program: Program, month: dt.date, kind: StepKind, because: str, by: User
) -> CloseStep:
    """Return a tick that was taken back, with the reason; it stays on record.

    Raises:
        ValidationError: the month is shut, the line isn't ticked, or there is no reason.
    """
    _lock_books(program)
    _refuse_shut(program, month)
    if not because.strip():
        raise ValidationError({"because": "Say why the tick is taken back."})
    row = ticks(program, month).get(kind)
    if row is None:
        raise ValidationError("This line of the list is not ticked.")
    row.undone_at, row.undone_because = timezone.now(), because.strip()
    row.full_clean()
    row.save(update_fields=["undone_at", "undone_because"])
    what = f"Tick taken back: {TITLES[kind].lower()}, {named(month)}."
    log_event(row, what, by=by, reason=row.undone_because)
    return row


def _refuse_shut(program: Program, month: dt.date) -> None:
    if month in shut_months(program):
        raise ValidationError(f"{named(month)} is shut. Open it first, with a reason.")


@transaction.atomic
def shut_month(*, program: Program, month: dt.date, by: User) -> ShutMonth:
    """Shut a month: nothing is booked in it until it is opened again.

    Raises:
        ValidationError: the month is shut or not over, an earlier one is open, or a line of its
            list is not ticked.
    """
    _lock_books(program)
    if month in shut_months(program):
        raise ValidationError("This month is shut already.")
    problems = what_stands_against(program, month, program.today())
    if problems:
        raise ValidationError([str(problem.sentence) for problem in problems])
    row = ShutMonth(program=program, month=month, shut_by=by)
    row.full_clean()
    row.save()
    log_event(row, f"{named(month)} was shut.", by=by)
    return row


@transaction.atomic
def open_month(*, program: Program, month: dt.date, reason: str, by: User) -> ShutMonth:
    """Open a shut month again. Its ticks stay; what is booked in it is booked after them.

    A later month that is shut stands in the way: it would carry other balances than it was shut
    with.

    Raises:
        ValidationError: somebody other than a treasurer asks, there is no reason, the month isn't
            shut, or a later one is.
    """
    if not by.is_any_of({RoleKind.TREASURER}):
        raise ValidationError("Only a treasurer opens a month again.")
    if not reason.strip():
        raise ValidationError({"reason": "Say why the month is opened again."})
    _lock_books(program)
    shut = shut_months(program)
    row = shut.get(month)
    if row is None:
        raise ValidationError(f"{named(month)} is not shut.")
    later = [one for one in shut if one > month]
    if later:
        raise ValidationError(
            f"{named(max(later))} is shut after it. Open the later months first, the newest first."
        )
    row.opened_at, row.opened_by, row.reason = timezone.now(), by, reason.strip()
    row.full_clean()
    row.save(update_fields=["opened_at", "opened_by", "reason"])
    log_event(row, f"{named(month)} was opened again.", by=by, reason=row.reason)
    return row


# ---- duties ----


@transaction.atomic
def record_duty(
    *, year: int, code: str, on: dt.date, note: str, applies: bool, by: User
) -> DutyDone:
    """Write down that a duty of a year was done on a day, or does not apply, with the reason.

    Raises:
        ValidationError: there is no such duty, the day has not come or lies before the year before,
            the duty is done already, or the reason is missing.
    """
    program = by.program
    if program is None:
        raise ValidationError("Only somebody of a program can say this.")
    _lock_books(program)
    if code not in {duty.code for duty in duties.load()}:
        raise ValidationError("There is no such duty.")
    if on > program.today():
        raise ValidationError({"on": f"{full_date(on)}, has not come yet."})
    if on.year < year - 1:
        raise ValidationError(
            {"on": f"{full_date(on)}, is too early for {year}: {year - 1} is the earliest."}
        )
    row = DutyDone(
        program=program, year=year, code=code, on=on, applies=applies, note=note.strip(), by=by
    )
    row.full_clean()
    row.save()
    log_event(row, f"Duty {'done' if applies else 'set aside'}: {code}, {year}.", by=by)
    return row


@transaction.atomic
def undo_duty(*, program: Program, year: int, code: str, by: User) -> DutyDone:
    """Return what was said of a duty, taken back. Raises ValidationError when nothing was."""
    _lock_books(program)
    row = DutyDone.objects.filter(program=program, year=year, code=code, undone_at=None).first()
    if row is None:
        raise ValidationError("Nothing is on record of this duty.")
    row.undone_at = timezone.now()
    row.save(update_fields=["undone_at"])
    log_event(row, f"Taken back of a duty: {code}, {year}.", by=by)
    return row
