"""The books: funds, the journal, statements; booking an entry and reversing it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from program.ledger.actions import book, reverse_entry
from program.ledger.chart import load
from program.ledger.filters import TransferFilter
from program.ledger.forms import EntryForm, ReverseForm, SpanForm
from program.ledger.models import Entry, Fund, Transfer
from program.ledger.queries import (
    fund_flags,
    fund_rows,
    held,
    limits_in_words,
    money_lines,
    standing_commitments,
    statements_of,
)
from program.ledger.tables import (
    ActivityTable,
    CommitmentTable,
    EntryTable,
    FundBookTable,
    FundLineTable,
    FundTable,
    TransferTable,
    TrialTable,
)
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE, RoleKind
from shared.audit.models import Event
from shared.charts import FundBar, fund_bars
from shared.tables import table_page
from vehicles.repairs.models import RepairItem

if TYPE_CHECKING:
    from program.ledger.ledger import Activities, ActivityLine, Balances, Statements
    from shared.accounts.models import Program

BOOKS = frozenset({RoleKind.COORDINATOR, RoleKind.TREASURER})


def _program(request: StaffRequest) -> Program:
    """Return the reader's program; without one there are no books."""
    if request.user.program is None:
        raise Http404
    return request.user.program


@require_GET
@requires(*OFFICE)
def fund_list(request: StaffRequest) -> HttpResponse:
    """Show what each fund holds, and that the books balance."""
    balances = held(_program(request))
    rows = fund_rows(_program(request), balances)
    bars = [FundBar(name=r.name, set_aside=r.set_aside, this_plan=0, left=r.free) for r in rows]
    context = {
        "funds": FundTable(rows),
        "flags": fund_flags(_program(request), balances),
        "count": len(rows),
        "there": sum(row.there for row in rows),
        "picture": fund_bars(bars) if bars else None,
        "debits": _debits(balances),
        "credits": -_debits(balances, sign=-1),
        "count_of_transfers": Transfer.objects.for_user(request.user).count(),
        "may_book": request.user.is_any_of(BOOKS),
    }
    return render(request, "ledger/fund_list.html", context)


def _debits(balances: Balances, sign: int = 1) -> int:
    """Return the sum of the accounts that stand on one side."""
    return sum(cents for cents in balances.accounts().values() if cents * sign > 0)


@require_GET
@requires(*OFFICE)
def fund_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show one fund: what it may pay for, what is set aside, every transfer."""
    fund = get_object_or_404(Fund.objects.for_user(request.user), pk=pk)
    lines = money_lines(fund)
    standing = list(standing_commitments(_program(request)).filter(fund=fund))
    items = RepairItem.objects.filter(pk__in=[row.item_id for row in standing])
    extra = {
        "fund": fund,
        "limits": limits_in_words(fund),
        "free": lines[0].free if lines else 0,
        "set_aside": sum(row.cents for row in standing),
        "commitments": CommitmentTable(standing, titles={row.pk: row.title for row in items}),
    }
    return table_page(request, FundBookTable, lines, "ledger/fund_page.html", extra=extra)


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
    today = _program(request).today()
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
    start = {"on": _program(request).today()}
    form = EntryForm(request.POST or None, user=request.user, initial=start)
    if form.is_valid() and (entry := form.perform(book, by=request.user)):
        messages.success(request, f"Booked as entry {entry.pk}.")
        return redirect("ledger:entry_page", entry.pk)
    status = 422 if form.errors else 200
    return render(request, "ledger/entry_new.html", {"form": form}, status=status)


@require_GET
@requires(*OFFICE)
def statements(request: StaffRequest) -> HttpResponse:
    """Show the trial balance, the activities and the funds of a span, and that they tie."""
    program = _program(request)
    today = program.today()
    days = {"from_on": today.replace(month=1, day=1), "until_on": today}
    form = SpanForm(request.GET or None, initial=days)
    if form.is_bound and form.is_valid():
        days = {name: form.cleaned_data[name] for name in days}
    found = statements_of(program, **days)
    return render(
        request, "ledger/statements.html", {"form": form, **days, **_shown(found, program)}
    )


def _shown(found: Statements, program: Program) -> dict[str, object]:
    names = dict(Fund.objects.filter(program=program).values_list("code", "name"))
    closing = found.activities.closing
    in_funds = sum(line.closing for line in found.funds)
    return {
        "trial": TrialTable(found.trial_balance),
        "activities": ActivityTable(list(_activity_rows(found.activities))),
        "funds": FundLineTable(found.funds, names=names),
        "sum": found.total_debits,
        "net_assets": closing.without + closing.with_,
        "ties": found.total_debits == found.total_credits
        and closing.without + closing.with_ == in_funds,
    }


@dataclass(frozen=True, kw_only=True)
class _ActivityRow:
    name: str
    without: int
    with_: int

    @property
    def total(self) -> int:
        return self.without + self.with_


def _activity_rows(activities: Activities) -> list[_ActivityRow]:
    """Return the statement's lines between the net assets at its start and at its end."""

    def row(name: str, line: ActivityLine) -> _ActivityRow:
        return _ActivityRow(name=name, without=line.without, with_=line.with_)

    chart = load()
    return [
        row("Net assets at the start", activities.opening),
        *(row(f"{one.account} {chart[one.account].name}", one) for one in activities.lines),
        row("Change", activities.change),
        row("Net assets at the end", activities.closing),
    ]
