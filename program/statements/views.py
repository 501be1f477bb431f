"""The statements of a span: on a page, on paper, as CSV."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_GET

from program.ledger.access import program_of
from program.ledger.models import Fund
from program.statements.forms import SpanForm
from program.statements.pdf import Printed, paper
from program.statements.queries import TITLES, Report
from program.statements.rows import as_csv
from program.statements.spans import offered
from program.statements.tables import SheetTable
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.htmx import answer
from shared.policy.queries import policies
from shared.tables import turn_to_page

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from program.statements.rows import Sheet


@require_GET
@requires(*OFFICE)
def page(request: StaffRequest) -> HttpResponse:
    """Show that the statements of a span tie, and the way to each of them."""
    report, shown = _asked(request)
    shown |= {"sheets": report.sheets}
    return render(request, "statements/page.html", shown)


@require_GET
@requires(*OFFICE)
def statement(request: StaffRequest, name: str) -> HttpResponse:
    """Show one statement; each figure leads to its transfers."""
    report, shown = _asked(request, cases=name == "cases")
    sheet = _sheet(report, name)
    funds = {fund.code: fund for fund in Fund.objects.for_user(request.user)}
    table = SheetTable(sheet, funds)
    if sheet.below:
        turn_to_page(table, request)
    shown |= {"sheet": sheet, "table": table, "titles": TITLES.items()}
    return answer(request, "statements/statement.html", shown, part="rows")


@require_GET
@requires(*OFFICE)
def all_pdf(request: StaffRequest) -> HttpResponse:
    """Return all statements of a span in one file."""
    report, shown = _asked(request)
    return _other_days(request, shown) or _pdf(request, report, report.sheets, "statements")


@require_GET
@requires(*OFFICE)
def statement_pdf(request: StaffRequest, name: str) -> HttpResponse:
    """Return one statement as PDF."""
    report, shown = _asked(request, cases=name == "cases")
    sheet = _sheet(report, name)
    return _other_days(request, shown) or _pdf(request, report, [sheet], name)


@require_GET
@requires(*OFFICE)
def statement_csv(request: StaffRequest, name: str) -> HttpResponse:
    """Return one statement as CSV, amounts as plain decimals."""
    report, shown = _asked(request)
    sheet = _sheet(report, name)
    return _other_days(request, shown) or _file(
        as_csv(sheet).encode(), "text/csv; charset=utf-8", f"{_file_name(report, name)}.csv"
    )


def _asked(request: StaffRequest, *, cases: bool = True) -> tuple[Report, dict[str, Any]]:
    """Return the report of the days asked for, or of the year to date, and what pages show."""
    program = program_of(request)
    today = program.today()
    spans = offered(today, first_month=policies(program, today)["fiscal_year_month"])
    usual = dict(zip(("from_on", "until_on"), spans["This year"], strict=True))
    asked = request.GET if usual.keys() & request.GET.keys() else None
    form = SpanForm(asked, initial=usual)
    days = usual
    if form.is_bound and form.is_valid():
        days = {name: form.cleaned_data[name] for name in usual}
    report = Report(request.user, program, **days, cases=cases)
    links = [(name, _query(*span), span) for name, span in spans.items()]
    shown = {
        "form": form,
        "report": report,
        "days": _query(**days),
        "spans": links,
        "at": tuple(days.values()),
    }
    return report, shown


def _other_days(request: StaffRequest, shown: dict[str, Any]) -> HttpResponse | None:
    """Return the way to the page that says what is wrong with the days asked for, if anything is.

    A file of other days than those would be taken for them.
    """
    if not shown["form"].errors:
        return None
    return redirect(f"{reverse('statements:page')}?{request.GET.urlencode()}")


def _query(from_on: dt.date, until_on: dt.date) -> str:
    return urlencode({"from_on": from_on.isoformat(), "until_on": until_on.isoformat()})


def _sheet(report: Report, name: str) -> Sheet:
    if name not in TITLES:
        raise Http404
    return report.sheet(name)


def _pdf(request: StaffRequest, report: Report, sheets: Sequence[Sheet], name: str) -> HttpResponse:
    printed = Printed(
        garage=report.program.name,
        sheets=tuple(sheets),
        ties=tuple(report.ties),
        from_on=report.from_on,
        until_on=report.until_on,
        reserve=report.reserve,
        by=str(request.user),
        at=timezone.localtime(),
    )
    return _file(paper(printed), "application/pdf", f"{_file_name(report, name)}.pdf")


def _file_name(report: Report, name: str) -> str:
    return f"{name}-{report.from_on}-to-{report.until_on}"


def _file(content: bytes, kind: str, name: str) -> HttpResponse:
    inline = "inline" if name.endswith(".pdf") else "attachment"
    headers = {
        "Content-Disposition": f'{inline}; filename="{name}"',
        "Cache-Control": "no-store",
    }
    return HttpResponse(content, content_type=kind, headers=headers)
