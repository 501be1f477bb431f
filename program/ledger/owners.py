"""Whose an entry is: what caused it, and whether only the room that booked it takes it back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.apps import apps
from django.urls import NoReverseMatch, reverse

from program.ledger.labels import CAUSES, Cause, id_of, kind_of

if TYPE_CHECKING:
    from django.db.models import QuerySet

    from program.ledger.models import Entry


@dataclass(frozen=True, kw_only=True)
class Owner:
    """Who takes an entry back, in a sentence, and the address of its page, empty without one."""

    name: str
    undo: str
    address: str

    @property
    def sentence(self) -> str:
        """Why the journal does not reverse it."""
        return f"This was booked for {self.name}: {self.undo}"


def cause_of(entry: Entry) -> tuple[str, str]:
    """Return what caused an entry in words, and the address of its page, empty without one."""
    cause = CAUSES.get(kind_of(entry.key))
    return (cause.words, _page_of(cause, entry)) if cause else (entry.key, "")


def owner_of(entry: Entry) -> Owner | None:
    """Return who takes an entry back, or None where the journal may reverse it.

    A reversal belongs to whom its first entry belongs to: turned round, it would stand again. What
    was booked from a line of the bank is the journal's once the line is no longer found in it.
    """
    first = entry
    while kind_of(first.key) == "reversal" and first.reverses:
        first = first.reverses
    kind = kind_of(first.key)
    cause = CAUSES.get(kind)
    if cause is None or not cause.undo:
        return None
    if kind == "bank" and not first.bank_matches.filter(undone_at=None).exists():
        return None
    row = _rows(cause, first).first() if cause.named else None
    name = cause.named.format(row=row) if row else cause.words[:1].lower() + cause.words[1:]
    return Owner(name=name, undo=cause.undo, address=_page_of(cause, first))


def _rows(cause: Cause, entry: Entry) -> QuerySet[Any]:
    """Return the row that the key of an entry names, as a queryset of one or none."""
    named = id_of(entry.key)
    manager = apps.get_model(cause.model)._default_manager
    rows: QuerySet[Any] = manager.filter(program=entry.program_id)
    return rows.filter(pk=named) if named.isdigit() else rows.none()


def _page_of(cause: Cause, entry: Entry) -> str:
    """Return the address of the page of what caused an entry; empty where there is none."""
    args: tuple[object, ...] | None = ()
    if cause.model:
        args = _rows(cause, entry).values_list(*cause.fields).first()
    if not cause.url or args is None:
        return ""
    try:
        return reverse(cause.url, args=args)
    except NoReverseMatch:
        return ""
