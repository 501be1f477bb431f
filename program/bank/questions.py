"""What is this line? Its page: the entries it may be, and booking what only the bank knew."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST

from program.bank import actions, gathering
from program.bank.forms import BookForm, MatchForm
from program.bank.models import BankLine
from program.bank.pairing import Sure
from program.bank.queries import cash_accounts, standing_matches
from program.ledger.access import BOOKS, program_of
from program.ledger.models import Entry
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.money import dollars

if TYPE_CHECKING:
    from django.http import HttpResponse

    from program.bank.pairing import Proposed
    from shared.forms import Form

REFUSED = HTTPStatus.UNPROCESSABLE_ENTITY


@require_GET
@requires(*OFFICE)
def line_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show one line, what it may be, and how it can be booked."""
    line = _line(request, pk)
    return render(request, "bank/line_page.html", _context(request, line))


def _line(request: StaffRequest, pk: int) -> BankLine:
    lines = BankLine.objects.filter(program=program_of(request))
    return get_object_or_404(lines.select_related("statement", "program"), pk=pk)


def _context(request: StaffRequest, line: BankLine, **forms: Form) -> dict[str, Any]:
    """Return what the page of a line shows; nothing is offered for one that is decided."""
    matches = standing_matches([line]).get(line.pk, [])
    finished = bool(line.statement.reconciled_at)
    context: dict[str, Any] = {
        "line": line,
        "matches": matches,
        "finished": finished,
        "account": cash_accounts().get(line.account, ""),
    }
    if matches or finished or not request.user.is_any_of(BOOKS):
        return context | {"may_undo": bool(matches) and not finished}
    proposed = gathering.proposals(line.statement).get(line.pk)
    there = gathering.choices(line)
    start = {"what": line.words[:1].upper() + line.words[1:]}
    return context | {
        "proposed": proposed,
        "slips": [entry for entry, _ in there if proposed and entry.pk in _slip(proposed)],
        "match": MatchForm(there=there, proposed=_ids(proposed)) if there else None,
        "book": BookForm(line=line, initial=start),
        "deposits": gathering.bounced_gifts(line),
        "entry_form": _prefilled(line),
        "may_match": True,
        **forms,
    }


def _ids(proposed: Proposed | None) -> tuple[int, ...]:
    return proposed.entries if proposed and proposed.sure != Sure.SLIP else ()


def _slip(proposed: Proposed) -> tuple[int, ...]:
    return proposed.entries if proposed.sure == Sure.SLIP else ()


def _prefilled(line: BankLine) -> str:
    """Return the address of the form of entries with what the line says."""
    side = "debit" if line.cents > 0 else "credit"
    values = {
        "on": line.on.isoformat(),
        "what": str(line),
        side: line.account,
        "amount": dollars(abs(line.cents)),
    }
    return f"{reverse('ledger:entry_new')}?{urlencode(values)}"


@require_POST
@requires(*BOOKS)
def match(request: StaffRequest, pk: int) -> HttpResponse:
    """Say which entries a line is."""
    line = _line(request, pk)
    form = MatchForm(request.POST, there=gathering.choices(line), proposed=())
    if form.is_valid():
        entries = list(form.cleaned_data["entries"])
        if _done(form, actions.match_line, line=line, entries=entries, by=request.user):
            return _back(line)
    context = _context(request, line, match=form)
    return render(request, "bank/line_page.html", context, status=REFUSED)


@require_POST
@requires(*BOOKS)
def book(request: StaffRequest, pk: int) -> HttpResponse:
    """Book what only the bank knew."""
    line = _line(request, pk)
    form = BookForm(request.POST, line=line)
    if form.is_valid():
        given = {"line": line, "booking": form.booking(), "by": request.user}
        if entry := _done(form, actions.book_line, **given):
            messages.success(request, f"Booked as entry {entry.pk}, and found on its line.")
            return _back(line)
    context = _context(request, line, book=form)
    return render(request, "bank/line_page.html", context, status=REFUSED)


def _done(form: Form, action: Any, **given: Any) -> Any:
    """Return what an action returns; None when it refuses, with the reason in the form."""
    try:
        return action(**given)
    except ValidationError as refusal:
        form.refuse(refusal)
        return None


@require_POST
@requires(*BOOKS)
def bounced(request: StaffRequest, pk: int, entry: int) -> HttpResponse:
    """Book that the bank returned a deposit."""
    line = _line(request, pk)
    deposit = get_object_or_404(Entry.objects.for_user(request.user), pk=entry)
    try:
        written = actions.book_bounced(line=line, deposit=deposit, by=request.user)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
        return redirect("bank:line_page", pk)
    messages.success(request, f"Booked as entry {written.pk}: the deposit was returned.")
    return _back(line)


def _back(line: BankLine) -> HttpResponse:
    return redirect("bank:statement_page", line.statement_id)
