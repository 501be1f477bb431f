"""Bays and spaces are added, closed and opened again."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Final, TypeVar

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.dates import full_date
from vehicles.shop.keeping import locked
from vehicles.shop.models import Bay, BayClosure, Space

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shared.accounts.models import Program, User

PlaceT = TypeVar("PlaceT", Bay, Space)
MadeT = TypeVar("MadeT", Bay, Space, BayClosure)
LONGEST_CLOSURE: Final = dt.timedelta(days=366)


@transaction.atomic
def add_bay(*, program: Program, name: str, has_lift: bool, by: User) -> Bay:
    """Return a new bay.

    Raises:
        ValidationError: there is a bay or space of this name.
    """
    return _made(Bay(program=program, name=_tidy(name), has_lift=has_lift), "A bay was added.", by)


@transaction.atomic
def edit_bay(*, bay: Bay, name: str, has_lift: bool, version: int, by: User) -> Bay:
    """Change the name of a bay, and whether a lift stands in it.

    Raises:
        ValidationError: there is a bay or space of this name, or somebody else changed it.
    """
    found = locked(bay, version)
    was = (found.name, found.has_lift)
    found.name, found.has_lift = _tidy(name), has_lift
    now = (found.name, found.has_lift)
    changed = [
        field for field, old, new in zip(("name", "has_lift"), was, now, strict=True) if old != new
    ]
    return _kept(found, "The bay was changed.", by, changed)


@transaction.atomic
def close_days(
    *, bay: Bay, from_on: dt.date, until_on: dt.date, reason: str, by: User
) -> BayClosure:
    """Return new days on which a bay can't be used, the last one included.

    The same days for the same reason, sent again, are those that stand.

    Raises:
        ValidationError: the bay is closed for good, the days are over, out of order, more than a
            year, or lie in others for which it is closed already.
    """
    found = Bay.objects.select_for_update().get(pk=bay.pk)
    _refuse_closed(found)
    row = BayClosure(
        program_id=found.program_id,
        bay=found,
        from_on=from_on,
        until_on=until_on,
        reason=reason.strip(),
        made_by=by,
    )
    standing = BayClosure.objects.filter(bay=found, ended_at=None)
    same = standing.filter(from_on=from_on, until_on=until_on, reason=row.reason).first()
    if same:
        return same
    _refuse_days(row, found.program.today())
    other = standing.filter(from_on__lte=until_on, until_on__gte=from_on).first()
    if other:
        last = full_date(other.until_on)
        raise ValidationError({"from_on": f"{found} is closed already until {last}."})
    return _made(row, "A bay was closed for some days.", by, reason=row.reason)


def _refuse_days(row: BayClosure, today: dt.date) -> None:
    if not row.reason:
        raise ValidationError({"reason": "Say why it is closed."})
    if row.until_on < row.from_on:
        raise ValidationError({"until_on": "The last day closed is not before the first."})
    if row.until_on < today:
        raise ValidationError({"until_on": f"{full_date(row.until_on)}, is over."})
    if row.until_on - row.from_on > LONGEST_CLOSURE:
        raise ValidationError({"until_on": "That is more than a year. Close the bay for good."})


@transaction.atomic
def take_back(*, closure: BayClosure, by: User) -> BayClosure:
    """End days on which a bay is closed: it can be used from now on. Done twice, it stays so.

    Raises:
        ValidationError: the days are over.
    """
    found = BayClosure.objects.select_for_update().get(pk=closure.pk)
    if found.ended_at:
        return found
    if found.until_on < found.program.today():
        raise ValidationError(f"{full_date(found.until_on)}, is over.")
    found.ended_at = timezone.now()
    found.full_clean()
    found.save()
    log_event(found, "A bay can be used again.", by=by, fields=["ended_at"])
    return found


@transaction.atomic
def add_space(*, program: Program, name: str, takes_dead: bool, indoors: bool, by: User) -> Space:
    """Return a new space on the lot.

    Raises:
        ValidationError: there is a bay or space of this name.
    """
    row = Space(program=program, name=_tidy(name), takes_dead=takes_dead, indoors=indoors)
    return _made(row, "A space was added.", by)


@transaction.atomic
def close_place(*, place: PlaceT, because: str, version: int, by: User) -> PlaceT:
    """Close a bay or a space for good, from today.

    Raises:
        ValidationError: it is closed, the reason is missing, or somebody else changed it.
    """
    found = locked(place, version)
    _refuse_closed(found)
    if not because.strip():
        raise ValidationError({"because": "Say why it is closed."})
    found.closed_on = found.program.today()
    what = f"The {_kind(found)} was closed."
    return _kept(found, what, by, ["closed_on"], reason=because.strip())


@transaction.atomic
def reopen_place(*, place: PlaceT, version: int, by: User) -> PlaceT:
    """Open a bay or a space that was closed for good.

    Raises:
        ValidationError: it is open, or somebody else changed it.
    """
    found = locked(place, version)
    if found.closed_on is None:
        raise ValidationError(f"{found} is open.")
    found.closed_on = None
    return _kept(found, f"The {_kind(found)} was opened again.", by, ["closed_on"])


def _made(row: MadeT, what: str, by: User, reason: str = "") -> MadeT:
    if isinstance(row, Bay | Space):
        _refuse_taken(row)
    row.full_clean()
    row.save()
    log_event(row, what, by=by, reason=reason)
    return row


def _kept(row: PlaceT, what: str, by: User, fields: Sequence[str], reason: str = "") -> PlaceT:
    _refuse_taken(row)
    row.full_clean()
    row.save()
    log_event(row, what, by=by, reason=reason, fields=fields)
    return row


def _refuse_closed(row: Bay | Space) -> None:
    if row.closed_on:
        raise ValidationError(f"{row} is closed since {full_date(row.closed_on)}.")


def _refuse_taken(row: Bay | Space) -> None:
    """Refuse a name that another bay or space has: the place of a car is noted by its name."""
    for kind in (Bay, Space):
        others = kind._default_manager.filter(program=row.program_id, name__iexact=row.name)
        if isinstance(row, kind):
            others = others.exclude(pk=row.pk)
        if other := others.first():
            raise ValidationError({"name": f"{other} is on the list already."})


def _kind(row: Bay | Space) -> str:
    return type(row).__name__.lower()


def _tidy(name: str) -> str:
    return " ".join(name.split())
