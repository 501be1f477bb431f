"""The journal; booking an entry, reversing it, and agreeing to one that needs two people."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from program.ledger.access import BOOKS, program_of
from program.ledger.actions import (
    agree,
    book,
    decline,
    lines_of,
    reverse_by_hand,
    take_back,
)
from program.ledger.chart import Side, load
from program.ledger.filters import TransferFilter
from program.ledger.forms import AgreeForm, DeclineForm, EntryForm, ReverseForm, TakeBackForm
from program.ledger.models import Entry, Proposal, Transfer
from program.ledger.owners import cause_of, owner_of
from program.ledger.queries import held, shut_on
from program.ledger.states import ProposalState
from program.ledger.tables import (
    AccountTable,
    EntryTable,
    LineTable,
    ProposalTable,
    TransferTable,
    journal_sheet,
)
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.audit.models import Event
from shared.tables import table_page

if TYPE_CHECKING:
    from django.http import HttpResponse, StreamingHttpResponse

    from program.ledger.actions import Line
    from shared.forms import Form


@require_GET
@requires(*OFFICE)
def entry_list(request: StaffRequest) -> HttpResponse | StreamingHttpResponse:
    """Show the journal, and what waits for a second person; or send all of it as CSV."""
    program = program_of(request)
    # The program is asked of the entry alone, so that a database follows the index of the entries'
    # days and stops after one page, in place of sorting every transfer.
    rows = Transfer.objects.filter(entry__program=program)
    rows = rows.select_related("entry", "fund", "case")
    ordered = rows.order_by("-entry__on", "-entry_id", "pk")
    narrowed = TransferFilter(request.GET, queryset=ordered, request=request)
    if request.GET.get("export") == "csv":
        return journal_sheet(narrowed.qs, request.GET.getlist("sort"))
    totals = narrowed.totals(program.pk)
    return table_page(
        request,
        type("Journal", (TransferTable,), {"totals": totals}),
        ordered,
        "ledger/entry_list.html",
        filterset=TransferFilter,
        extra={"may_book": request.user.is_any_of(BOOKS), "waiting": _waiting(request)},
    )


def _waiting(request: StaffRequest) -> ProposalTable | None:
    """Return what waits for a second person, or None where nothing does."""
    rows = Proposal.objects.filter(
        program=request.user.program_id, state=ProposalState.WAITING
    ).select_related("by")
    found = [
        {
            "pk": row.pk,
            "on": row.on,
            "what": row.what,
            "by": row.by,
            "why": row.why,
            "cents": sum(line["cents"] for line in row.lines),
        }
        for row in rows
    ]
    return ProposalTable(found) if found else None


@require_GET
@requires(*OFFICE)
def account_list(request: StaffRequest) -> HttpResponse:
    """Show the chart of accounts with what each holds now."""
    sums = held(program_of(request)).accounts()
    rows = [
        {
            "code": one.code,
            "name": one.name,
            "kind": one.kind.replace("_", " "),
            "side": one.normal,
            "function": one.function,
            "cents": sums.get(one.code, 0) * (1 if one.normal == Side.DEBIT else -1),
        }
        for one in load().values()
    ]
    return render(request, "ledger/account_list.html", {"accounts": AccountTable(rows)})


@require_GET
@requires(*OFFICE)
def entry_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show one entry with its transfers, what caused it, and what reversed it."""
    entry = _entry(request, pk)
    today = program_of(request).today()
    open_day = today if shut_on(entry.program, entry.on) else entry.on
    form = ReverseForm(today=today, initial={"on": open_day})
    return render(request, "ledger/entry_page.html", _entry_context(request, entry, form))


def _entry(request: StaffRequest, pk: int) -> Entry:
    entries = Entry.objects.for_user(request.user)
    return get_object_or_404(
        entries.select_related("by", "second", "reverses", "reversed_by"), pk=pk
    )


def _entry_context(request: StaffRequest, entry: Entry, form: ReverseForm) -> dict[str, object]:
    reversed_by = getattr(entry, "reversed_by", None)
    words, address = cause_of(entry)
    owner = None if reversed_by else owner_of(entry)
    return {
        "entry": entry,
        "reversed_by": reversed_by,
        "cause": words,
        "cause_address": address,
        "people": (f", by {entry.by}" if entry.by else "")
        + (f", agreed by {entry.second}" if entry.second else ""),
        "transfers": EntryTable(entry.transfers.select_related("fund", "case", "item")),
        "papers": entry.papers.select_related("by"),
        "log": Event.objects.about("entry", entry.pk).select_related("by"),
        "form": form,
        "owner": owner,
        "may_reverse": not reversed_by and not owner and request.user.is_any_of(BOOKS),
    }


@require_POST
@requires(*BOOKS)
def entry_reverse(request: StaffRequest, pk: int) -> HttpResponse:
    """Book the opposite of an entry."""
    entry = _entry(request, pk)
    form = ReverseForm(request.POST, today=program_of(request).today())
    if form.is_valid() and (written := form.perform(reverse_by_hand, entry=entry, by=request.user)):
        messages.success(request, f"Entry {entry.pk} is reversed by entry {written.pk}.")
        return redirect("ledger:entry_page", written.pk)
    context = _entry_context(request, entry, form)
    return render(request, "ledger/entry_page.html", context, status=422)


@require_http_methods(["GET", "POST"])
@requires(*BOOKS)
def entry_new(request: StaffRequest) -> HttpResponse:
    """Book an entry, or ask a second person for it where a rule wants two."""
    start = {"on": program_of(request).today()} | {
        f"{part}_1": request.GET.get(part, "") for part in ("debit", "credit", "fund", "case")
    }
    form = EntryForm(request.POST or None, user=request.user, initial=start)
    if form.is_valid() and (made := form.perform(book, by=request.user)):
        if isinstance(made, Proposal):
            messages.info(request, "Waits for a second person. Nothing is booked yet.")
            return redirect("ledger:proposal_page", made.pk)
        messages.success(request, f"Booked as entry {made.pk}.")
        return redirect("ledger:entry_page", made.pk)
    status = 422 if form.errors else 200
    return render(request, "ledger/entry_new.html", {"form": form}, status=status)


@require_GET
@requires(*OFFICE)
def proposal_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show a spend that needs two people, as its entry would look."""
    return _proposal_answer(request, _proposal(request, pk), DeclineForm())


def _proposal(request: StaffRequest, pk: int) -> Proposal:
    rows = Proposal.objects.filter(program=request.user.program_id)
    return get_object_or_404(rows.select_related("by", "decided_by", "entry"), pk=pk)


def _proposal_answer(
    request: StaffRequest, proposal: Proposal, form: Form, status: int = 200
) -> HttpResponse:
    waits = proposal.state == ProposalState.WAITING and request.user.is_any_of(BOOKS)
    context = {
        "proposal": proposal,
        "lines": LineTable([_seen(line) for line in lines_of(proposal)]),
        "form": form if isinstance(form, DeclineForm) else DeclineForm(),
        "back": form if isinstance(form, TakeBackForm) else TakeBackForm(),
        "faults": form,
        "may_decide": waits and proposal.by != request.user,
        "asked_it": waits and proposal.by == request.user,
    }
    return render(request, "ledger/proposal_page.html", context, status=status)


def _seen(line: Line) -> Transfer:
    """Return a line as a transfer that isn't written, for a table to show."""
    return Transfer(
        debit=line.debit,
        credit=line.credit,
        cents=line.cents,
        fund=line.fund,
        case=line.case,
        item=line.item,
        function=line.function,
        memo=line.memo,
    )


@require_POST
@requires(*BOOKS)
def proposal_agree(request: StaffRequest, pk: int) -> HttpResponse:
    """Book what another person asked for."""
    proposal, form = _proposal(request, pk), AgreeForm(request.POST)
    if form.is_valid() and (entry := form.perform(agree, proposal=proposal, by=request.user)):
        messages.success(request, f"Booked as entry {entry.pk}.")
        return redirect("ledger:entry_page", entry.pk)
    return _proposal_answer(request, proposal, form, status=422)


@require_POST
@requires(*BOOKS)
def proposal_decline(request: StaffRequest, pk: int) -> HttpResponse:
    """Decline what another person asked for, with a reason."""
    proposal, form = _proposal(request, pk), DeclineForm(request.POST)
    if form.is_valid() and form.perform(decline, proposal=proposal, by=request.user):
        messages.success(request, "Declined. Nothing was booked.")
        return redirect("ledger:proposal_page", proposal.pk)
    return _proposal_answer(request, proposal, form, status=422)


@require_POST
@requires(*BOOKS)
def proposal_take_back(request: StaffRequest, pk: int) -> HttpResponse:
    """Take back what the reader asked for, while nobody has answered."""
    proposal, form = _proposal(request, pk), TakeBackForm(request.POST)
    if form.is_valid() and form.perform(take_back, proposal=proposal, by=request.user):
        messages.success(request, "Taken back. Nothing was booked.")
        return redirect("ledger:proposal_page", proposal.pk)
    return _proposal_answer(request, proposal, form, status=422)
