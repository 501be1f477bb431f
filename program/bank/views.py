"""Bank statements: reading a file, and finding its lines in the books."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from program.bank import actions, gathering, keeping
from program.bank.forms import CheckForm, UploadForm, as_initial, sent_again
from program.bank.layout import check as check_layout
from program.bank.models import BankStatement
from program.bank.pairing import Sure
from program.bank.queries import cash_accounts, statements
from program.bank.statement_file import in_order, read_lines, read_table
from program.bank.tables import LineTable, PreviewTable, ReadLineTable, StatementTable
from program.ledger.access import BOOKS, program_of
from program.ledger.models import Entry
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.dates import full_date
from shared.tables import table_page

if TYPE_CHECKING:
    from django.http import HttpResponse

    from program.bank.keeping import Upload
    from program.bank.layout import Layout, Table
    from shared.forms import Form

PREVIEW = 8
REFUSED = HTTPStatus.UNPROCESSABLE_ENTITY
TYPED = ("from_on", "until_on", "opening", "closing")


@require_GET
@requires(*OFFICE)
def statement_list(request: StaffRequest) -> HttpResponse:
    """Show every statement."""
    return table_page(
        request,
        StatementTable,
        statements(program_of(request)).select_related("reconciled_by"),
        "bank/statement_list.html",
        extra={"may_read": request.user.is_any_of(BOOKS)},
    )


@require_http_methods(["GET", "POST"])
@requires(*BOOKS)
def statement_new(request: StaffRequest) -> HttpResponse:
    """Take a bank's file, and show what would be read of it."""
    form = UploadForm(request.POST or None, request.FILES or None)
    if form.is_valid():
        upload, program = form.upload(), program_of(request)
        try:
            keeping.refuse_same_file(program, upload)
            layout, known = keeping.remembered(program, upload)
        except ValidationError as refusal:
            form.add_error("file", refusal)
        except ValueError as error:
            form.add_error("file", str(error))
        else:
            form_of_file = _first(request, upload, layout, {})
            return _preview(request, form_of_file, (upload, layout), known=known)
    status = REFUSED if form.errors else HTTPStatus.OK
    return render(request, "bank/statement_new.html", {"form": form}, status=status)


@require_POST
@requires(*BOOKS)
def statement_check(request: StaffRequest) -> HttpResponse:
    """Look at a file once more with other columns, or read it."""
    carried = _carried(request)
    if carried is None:
        messages.error(request, "The file did not come along. Choose it once more.")
        return redirect("bank:statement_new")
    upload, table = carried
    form = CheckForm(request.POST, upload=upload, table=table)
    layout = form.typed_layout
    if "again" in request.POST:
        typed = {name: request.POST[name] for name in TYPED if request.POST.get(name)}
        return _preview(request, _first(request, upload, layout, typed), (upload, layout))
    written = form.is_valid() and _done(
        form,
        keeping.read_statement,
        program=program_of(request),
        upload=upload,
        layout=layout,
        given=form.given if not form.errors else None,
        by=request.user,
    )
    if not written:
        return _preview(request, form, (upload, layout))
    count, day = written.lines.count(), full_date(written.until_on)
    messages.success(request, f"Read: {count} new line{'' if count == 1 else 's'} to {day}.")
    return redirect("bank:statement_page", written.pk)


def _carried(request: StaffRequest) -> tuple[Upload, Table] | None:
    """Return the file that the form carries along; None when it isn't whole."""
    upload = sent_again(request.POST)
    try:
        return (upload, read_table(upload.content)) if upload else None
    except ValueError:
        return None


def _done(form: Form, action: Any, **given: Any) -> Any:
    """Return what an action returns; None when it refuses, with the reason in the form."""
    try:
        return action(**given)
    except ValidationError as refusal:
        form.refuse(refusal)
        return None


def _first(
    request: StaffRequest, upload: Upload, layout: Layout, typed: dict[str, Any]
) -> CheckForm:
    """Return the form of a file as it begins, with days and balances as far as they are known."""
    table = read_table(upload.content)
    start = keeping.suggested(program_of(request), upload, layout) | typed
    return CheckForm(upload=upload, table=table, initial=start | as_initial(layout, table.headings))


def _preview(
    request: StaffRequest, form: CheckForm, what: tuple[Upload, Layout], *, known: bool = False
) -> HttpResponse:
    upload, layout = what
    reading = read_lines(read_table(upload.content), layout)
    lines = in_order(reading.lines)
    context = {
        "form": form,
        "known": known,
        "wrong": check_layout(layout) or reading.faults,
        "account": cash_accounts()[upload.account],
        "name": upload.name,
        "reading": reading,
        "came": sum(line.cents for line in lines if line.cents > 0),
        "went": -sum(line.cents for line in lines if line.cents < 0),
        "table": PreviewTable(lines[:PREVIEW]),
        "more": max(len(lines) - PREVIEW, 0),
    }
    status = REFUSED if form.errors else HTTPStatus.OK
    return render(request, "bank/statement_check.html", context, status=status)


@require_GET
@requires(*OFFICE)
def statement_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show the lines of a statement, each with its entry or what is proposed."""
    statement = _statement(request, pk)
    lines = gathering.line_views(statement)
    still_open = [line for line in lines if not line.matches]
    may_match = request.user.is_any_of(BOOKS) and not statement.reconciled_at
    shown = still_open if request.GET.get("show") == "open" else lines
    extra = {
        "statement": statement,
        "account": cash_accounts().get(statement.account, ""),
        "count": len(lines),
        "open": len(still_open),
        "sure": sum(1 for line in lines if line.proposed and line.proposed.sure == Sure.SURE),
        "may_match": may_match,
    }
    table = LineTable if may_match else ReadLineTable
    return table_page(request, table, shown, "bank/statement_page.html", extra=extra)


def _statement(request: StaffRequest, pk: int) -> BankStatement:
    rows = BankStatement.objects.for_user(request.user).select_related("program", "reconciled_by")
    return get_object_or_404(rows, pk=pk)


@require_POST
@requires(*BOOKS)
def match_sure(request: StaffRequest, pk: int) -> HttpResponse:
    """Accept every proposal that is sure."""
    statement = _statement(request, pk)
    try:
        count = actions.match_sure(statement=statement, by=request.user)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        messages.success(request, f"{count} line{'' if count == 1 else 's'} accepted.")
    return redirect("bank:statement_page", pk)


@require_POST
@requires(*BOOKS)
def accept(request: StaffRequest, pk: int) -> HttpResponse:
    """Accept the proposal of one line as it was shown: `line:entry,entry`."""
    statement = _statement(request, pk)
    number, _, ids = request.POST.get("line", "").partition(":")
    line = get_object_or_404(statement.lines, pk=_whole(number))
    chosen = [_whole(part) for part in ids.split(",")]
    entries = list(Entry.objects.for_user(request.user).filter(pk__in=chosen))
    proposed = gathering.proposals(statement).get(line.pk)
    same = proposed is not None and sorted(proposed.entries) == sorted(chosen)
    reason = str(proposed.reason) if same and proposed else ""
    try:
        actions.match_line(line=line, entries=entries, by=request.user, reason=reason)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    return redirect("bank:statement_page", pk)


def _whole(text: str) -> int:
    """Return a typed id; -1, which nothing has, for anything else."""
    return int(text) if text.isascii() and text.isdigit() and len(text) <= len("9" * 18) else -1


@require_POST
@requires(*BOOKS)
def undo(request: StaffRequest, pk: int) -> HttpResponse:
    """Take back which entries one line is."""
    statement = _statement(request, pk)
    line = get_object_or_404(statement.lines, pk=_whole(request.POST.get("line", "")))
    try:
        actions.undo_match(line=line, by=request.user)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    return redirect("bank:statement_page", pk)
