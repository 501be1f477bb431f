"""The journal; booking an entry and reversing it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from program.ledger.access import BOOKS, program_of
from program.ledger.actions import book, reverse_entry
from program.ledger.filters import TransferFilter
from program.ledger.forms import EntryForm, ReverseForm
from program.ledger.models import Entry, Transfer
from program.ledger.tables import EntryTable, TransferTable
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.audit.models import Event
from shared.tables import table_page

if TYPE_CHECKING:
    from django.http import HttpResponse


@require_GET
@requires(*OFFICE)
def entry_list(request: StaffRequest) -> HttpResponse:
    """Show the journal."""
    rows = Transfer.objects.for_user(request.user).select_related("entry", "fund", "case")
    return table_page(
        request,
        TransferTable,
        rows.order_by("-entry__on", "-entry_id", "pk"),
        "ledger/entry_list.html",
        filterset=TransferFilter,
        extra={"may_book": request.user.is_any_of(BOOKS)},
    )


@require_GET
@requires(*OFFICE)
def entry_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show one entry with its transfers, what caused it, and what reversed it."""
    entry = _entry(request, pk)
    return render(request, "ledger/entry_page.html", _entry_context(request, entry, ReverseForm()))


def _entry(request: StaffRequest, pk: int) -> Entry:
    entries = Entry.objects.for_user(request.user).select_related("by", "reverses", "reversed_by")
    return get_object_or_404(entries, pk=pk)


def _entry_context(request: StaffRequest, entry: Entry, form: ReverseForm) -> dict[str, object]:
    reversed_by = getattr(entry, "reversed_by", None)
    plans = entry.commitments.exists() or entry.released.exists()
    return {
        "entry": entry,
        "reversed_by": reversed_by,
        "cause": _cause(entry),
        "transfers": EntryTable(entry.transfers.select_related("fund", "case")),
        "log": Event.objects.about("entry", entry.pk).select_related("by"),
        "form": form,
        "by_plan": plans,
        "may_reverse": not reversed_by and not plans and request.user.is_any_of(BOOKS),
    }


CAUSES = {
    "plan": "An approved plan",
    "reversal": "The reversal of another entry",
    "import": "An import of sheets",
    "opening": "An opening balance, imported",
    "form": "Booked by hand",
}


def _cause(entry: Entry) -> str:
    """Return what caused an entry, in words."""
    kind, _, _rest = entry.key.partition(":")
    return CAUSES.get(kind, entry.key)


@require_POST
@requires(*BOOKS)
def entry_reverse(request: StaffRequest, pk: int) -> HttpResponse:
    """Book the opposite of an entry."""
    entry = _entry(request, pk)
    form = ReverseForm(request.POST)
    today = program_of(request).today()
    if form.is_valid() and (
        written := form.perform(reverse_entry, entry=entry, on=today, by=request.user)
    ):
        messages.success(request, f"Entry {entry.pk} is reversed by entry {written.pk}.")
        return redirect("ledger:entry_page", written.pk)
    context = _entry_context(request, entry, form)
    return render(request, "ledger/entry_page.html", context, status=422)


@require_http_methods(["GET", "POST"])
@requires(*BOOKS)
def entry_new(request: StaffRequest) -> HttpResponse:
    """Book an entry."""
    start = {"on": program_of(request).today()}
    form = EntryForm(request.POST or None, user=request.user, initial=start)
    if form.is_valid() and (entry := form.perform(book, by=request.user)):
        messages.success(request, f"Booked as entry {entry.pk}.")
        return redirect("ledger:entry_page", entry.pk)
    status = 422 if form.errors else 200
    return render(request, "ledger/entry_new.html", {"form": form}, status=status)
