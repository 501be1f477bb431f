"""The budget of a year against its books; its lines; the same on paper and as a sheet."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from program.budget import actions
from program.budget.actions import YEARS
from program.budget.forms import CopyForm, LineForm, RemoveForm, ReportForm, as_typed
from program.budget.models import BudgetLine
from program.budget.pdf import budget_paper
from program.budget.pictures import year_picture
from program.budget.queries import Shown, choices_of_years, rows_of, shown, this_year, year_of
from program.budget.sheet import budget_csv
from program.budget.tables import BudgetTable, MonthTable, SumTable, month_rows, named, sum_rows
from program.budget.wording import HOW, lead, tie
from program.ledger.access import BOOKS, program_of
from program.ledger.models import Fund
from program.ledger.tables import account
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.audit.models import Event

if TYPE_CHECKING:
    from django.forms import Form

    from shared.charts import Chart

READ_AND_SEND = ("GET", "POST")


@require_GET
@requires(*OFFICE)
def page(request: StaffRequest) -> HttpResponse:
    """Show a year's budget against what happened, line by line and month by month."""
    found, form = _asked(request)
    report = found.report
    context = {
        "form": form,
        "shown": found,
        "lead": lead(report, is_over=found.is_over),
        "tie": tie(found.change, found.net),
        "how": HOW,
        "income": BudgetTable(report.income, shown=found, caption="Came in by line"),
        "expense": BudgetTable(report.expense, shown=found, caption="Went out by line"),
        "sums": SumTable(sum_rows(report)),
        "pictures": [
            ("Went out", "went-out", report.expense and _picture(found, income=False)),
            ("Came in", "came-in", report.income and _picture(found, income=True)),
        ],
        "query": request.GET.urlencode(),
        "may_book": request.user.is_any_of(BOOKS),
    }
    return render(request, "budget/page.html", context)


def _picture(found: Shown, *, income: bool) -> Chart:
    rows = found.report.income if income else found.report.expense
    return year_picture(rows, found.year, income=income)


def _asked(request: StaffRequest) -> tuple[Shown, ReportForm]:
    """Return the report that the address asks for; what it can't ask is refused on its form."""
    program = program_of(request)
    now = this_year(program)
    form = ReportForm(
        {"year": now} | request.GET.dict(),
        years=choices_of_years(program, now),
        funds=list(Fund.objects.for_user(request.user)),
    )
    asked: dict[str, Any] = form.cleaned_data if form.is_valid() else {"year": now}
    return shown(program, **asked), form


def _asked_wrong(request: StaffRequest) -> HttpResponse:
    """Return the way to the page that says what is wrong: a file of other rows would mislead."""
    return redirect(f"{reverse('budget:page')}?{request.GET.urlencode()}")


@require_GET
@requires(*OFFICE)
def report_pdf(request: StaffRequest) -> HttpResponse:
    """Return the report as a PDF."""
    found, form = _asked(request)
    if form.errors:
        return _asked_wrong(request)
    program = program_of(request)
    content = budget_paper(found, garage=program.name, day=program.today())
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="budget-{found.year.year}.pdf"'
    return response


@require_GET
@requires(*OFFICE)
def report_csv(request: StaffRequest) -> HttpResponse:
    """Return the report as CSV."""
    found, form = _asked(request)
    if form.errors:
        return _asked_wrong(request)
    response = HttpResponse(budget_csv(found), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = f'attachment; filename="budget-{found.year.year}.csv"'
    return response


@require_GET
@requires(*OFFICE)
def line_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show one line month by month."""
    line = _line(request, pk)
    year, words = year_of(program_of(request), line.year)
    row = next(row for row in rows_of(program_of(request), year) if row.line == line.pk)
    funds = {fund.code: fund for fund in Fund.objects.for_user(request.user)}
    context = {
        "line": line,
        "name": account(line.account),
        "words": words,
        "about": named(row, funds),
        "row": row,
        "months": MonthTable(month_rows(row, year, funds)),
        "log": [
            {"at": event.at, "sentence": event.what, "by": event.by}
            for event in Event.objects.about("budgetline", line.pk).select_related("by")
        ],
        "may_book": request.user.is_any_of(BOOKS),
    }
    return render(request, "budget/line_page.html", context)


def _line(request: StaffRequest, pk: int) -> BudgetLine:
    lines = BudgetLine.objects.for_user(request.user).select_related("fund")
    return get_object_or_404(lines, pk=pk)


@require_http_methods(READ_AND_SEND)
@requires(*BOOKS)
def line_new(request: StaffRequest, year: int) -> HttpResponse:
    """Add a line to a year's budget."""
    program = program_of(request)
    about, words = year_of(program, _possible(year))
    form = LineForm(request.POST or None, user=request.user, begins=about.months)
    if form.is_valid():
        fields = {"program": program, "year": year, "by": request.user}
        if made := form.perform(actions.add_line, **fields):
            messages.success(request, f"{account(made.account)} is in the budget of {words}.")
            return redirect(_report(year))
    return _form(request, "budget/line_form.html", form, words=words, year=year)


@require_http_methods(READ_AND_SEND)
@requires(*BOOKS)
def line_edit(request: StaffRequest, pk: int) -> HttpResponse:
    """Change a line."""
    line = _line(request, pk)
    about, words = year_of(program_of(request), line.year)
    form = LineForm(
        request.POST or None, user=request.user, begins=about.months, initial=as_typed(line)
    )
    if form.is_valid() and form.perform(actions.change_line, line=line, by=request.user):
        messages.success(request, f"{account(line.account)} was changed.")
        return redirect("budget:line_page", pk)
    context = {"words": words, "year": line.year, "line": line}
    return _form(request, "budget/line_form.html", form, **context)


@require_POST
@requires(*BOOKS)
def line_remove(request: StaffRequest, pk: int) -> HttpResponse:
    """Remove a line."""
    line = _line(request, pk)
    form = RemoveForm(request.POST)
    if form.is_valid():
        form.perform(actions.remove_line, line=line, by=request.user)
    if form.errors:
        messages.warning(request, " ".join(fault["sentence"] for fault in form.faults))
        return redirect("budget:line_page", pk)
    messages.success(request, f"{account(line.account)} is out of the budget.")
    return redirect(_report(line.year))


@require_http_methods(READ_AND_SEND)
@requires(*BOOKS)
def copy(request: StaffRequest, year: int) -> HttpResponse:
    """Begin a year's budget from the year before."""
    program = program_of(request)
    _about, words = year_of(program, _possible(year))
    form = CopyForm(request.POST or None)
    if form.is_valid():
        count = form.perform(actions.copy_year, program=program, year=year, by=request.user)
        if count:
            lines = "1 line was" if count == 1 else f"{count} lines were"
            messages.success(request, f"{lines} taken into the budget of {words}.")
            return redirect(_report(year))
    before = year_of(program, year - 1)[1]
    return _form(request, "budget/copy.html", form, words=words, year=year, before=before)


def _possible(year: int) -> int:
    """Return a year of an address, if a budget may be of it."""
    least, most = YEARS
    if not least <= year <= most:
        raise Http404
    return year


def _report(year: int) -> str:
    """Return the address of a year's report."""
    return f"{reverse('budget:page')}?year={year}"


def _form(request: StaffRequest, template: str, form: Form, **context: Any) -> HttpResponse:
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
    return render(request, template, {"form": form} | context, status=status)
