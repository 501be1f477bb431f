"""The reconciliation of a statement: its page, its paper, finishing it and opening it again."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_POST

from program.bank import actions, gathering
from program.bank.forms import FinishForm, ReopenForm
from program.bank.models import BankStatement
from program.bank.pdf import Sheet, reconciliation_paper
from program.bank.queries import cash_accounts
from program.bank.tables import ItemTable
from program.ledger.access import BOOKS, program_of
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.audit.models import Event
from shared.dates import full_date

if TYPE_CHECKING:
    from program.bank.reconciling import Reconciliation

REFUSED = HTTPStatus.UNPROCESSABLE_ENTITY
PAGE = "bank/reconciliation.html"


def _statement(request: StaffRequest, pk: int) -> BankStatement:
    rows = BankStatement.objects.for_user(request.user).select_related("program", "reconciled_by")
    return get_object_or_404(rows, pk=pk)


@require_GET
@requires(*OFFICE)
def reconciliation(request: StaffRequest, pk: int) -> HttpResponse:
    """Show how books and bank stand at the statement's last day."""
    statement = _statement(request, pk)
    found = gathering.reconciliation(statement)
    return render(request, PAGE, _context(request, statement, found))


def _context(
    request: StaffRequest, statement: BankStatement, found: Reconciliation
) -> dict[str, Any]:
    facts, lists = found.facts, []
    for caption, address, rows in (
        ("Deposits in transit", "ledger:entry_page", found.deposits),
        ("Checks and payments outstanding", "ledger:entry_page", found.checks),
        ("On the statement, without an entry", "bank:line_page", facts.unbooked),
        ("On the statement, booked on a later day", "ledger:entry_page", facts.late),
    ):
        if rows:
            table = ItemTable(rows, caption=caption, address=address, on=facts.on)
            lists.append((caption, table))
    done = statement.reconciled_at
    return {
        "statement": statement,
        "account": cash_accounts().get(statement.account, ""),
        "found": found,
        "lists": lists,
        "log": Event.objects.about("bankstatement", statement.pk).select_related("by"),
        "may_decide": request.user.is_any_of(BOOKS),
        "form": ReopenForm(statement=statement)
        if done
        else FinishForm(statement=statement, ready=found.ready),
    }


@require_POST
@requires(*BOOKS)
def finish(request: StaffRequest, pk: int) -> HttpResponse:
    """Finish a statement."""
    statement = _statement(request, pk)
    found = gathering.reconciliation(statement)
    form = FinishForm(request.POST, statement=statement, ready=found.ready)
    given = {"statement": statement, "by": request.user}
    if form.is_valid() and form.perform(actions.finish, **given):
        messages.success(request, f"Reconciled to {full_date(statement.until_on)}.")
        return redirect("bank:reconciliation", pk)
    context = _context(request, statement, found) | {"form": form}
    return render(request, PAGE, context, status=REFUSED)


@require_POST
@requires(*BOOKS)
def reopen(request: StaffRequest, pk: int) -> HttpResponse:
    """Open a finished statement again."""
    statement = _statement(request, pk)
    form = ReopenForm(request.POST, statement=statement)
    given = {"statement": statement, "by": request.user}
    if form.is_valid() and form.perform(actions.reopen, **given):
        messages.success(request, "Opened again.")
        return redirect("bank:reconciliation", pk)
    found = gathering.reconciliation(statement)
    context = _context(request, statement, found) | {"form": form}
    return render(request, PAGE, context, status=REFUSED)


@require_GET
@requires(*OFFICE)
def reconciliation_file(request: StaffRequest, pk: int) -> HttpResponse:
    """Hand out the reconciliation as a PDF."""
    statement = _statement(request, pk)
    program = program_of(request)
    done = statement.reconciled_at
    sheet = Sheet(
        garage=program.name,
        account=f"{statement.account} {cash_accounts().get(statement.account, '')}",
        number=f"Statement {statement.pk}",
        made_on=program.today(),
        found=gathering.reconciliation(statement),
        finished=f"Finished by {statement.reconciled_by} on {full_date(timezone.localdate(done))}."
        if done
        else "",
        note=statement.note,
    )
    response = HttpResponse(reconciliation_paper(sheet), content_type="application/pdf")
    name = f"reconciliation-{statement.account}-{statement.until_on}.pdf"
    response["Content-Disposition"] = f'inline; filename="{name}"'
    return response
