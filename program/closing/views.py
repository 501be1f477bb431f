"""Months with their closing lists, and the duties of the year on one page."""

from __future__ import annotations

import datetime as dt
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from program.closing import actions, queries
from program.closing.duties import Standing, load
from program.closing.forms import DutyForm, OpenForm, TickForm, UndoForm
from program.closing.gathering import step_rows
from program.closing.kinds import StepKind
from program.closing.pdf import duties_sheet
from program.closing.steps import TITLES, MonthState, named
from program.closing.tables import MonthTable
from program.ledger.access import BOOKS, program_of
from program.ledger.fiscal import MONTHS, first_of, last_of
from program.papers.queries import without_paper_between
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE, RoleKind
from shared.dates import YEARS
from shared.forms import Form
from shared.htmx import answer, go, refused

READ = ("GET", "HEAD", "POST")
NEXT = (Standing.SOON, Standing.AHEAD)


# ---- months ----


@require_safe
@requires(*OFFICE)
def month_list(request: StaffRequest) -> HttpResponse:
    """Show the months of a fiscal year, each shut, ready or open."""
    program = program_of(request)
    today = program.today()
    year = _year(request, queries.year_at(program, today))
    rows = queries.month_rows(program, year, today)
    context = {
        "year": year,
        "span": queries.span_of(program, year, today),
        "rows": rows,
        "next": next(iter(queries.open_before(program, first_of(today))), None),
        "all_shut": all(row.state is MonthState.SHUT for row in rows),
        "table": MonthTable(rows),
    }
    return render(request, "closing/month_list.html", context)


@require_safe
@requires(*OFFICE)
def month_page(request: StaffRequest, year: int, number: int) -> HttpResponse:
    """Show a month with its list, what the books say to each line, and its history."""
    return _month_page(request, _month(year, number))


@require_POST
@requires(*BOOKS)
def step_tick(request: StaffRequest, year: int, number: int, kind: str) -> HttpResponse:
    """Tick a line of the list."""
    month, step = _month(year, number), _kind(kind)
    form = TickForm(request.POST, prefix=step)
    if form.is_valid() and form.perform(
        actions.tick_step, program=program_of(request), month=month, kind=step, by=request.user
    ):
        messages.success(request, f"Ticked: {TITLES[step].lower()}, {named(month)}.")
        return go(request, "closing:month_page", year=year, number=number)
    return _month_page(request, month, **{step: form})


@require_http_methods(READ)
@requires(*BOOKS)
def step_undo(request: StaffRequest, year: int, number: int, kind: str) -> HttpResponse:
    """Take a tick back, with the reason."""
    month, step, program = _month(year, number), _kind(kind), program_of(request)
    tick = queries.ticks(program, month).get(step)
    if tick is None and request.method != "POST":
        return go(request, "closing:month_page", year=year, number=number)
    form = UndoForm(request.POST if request.method == "POST" else None)
    if form.is_valid() and form.perform(
        actions.undo_step, program=program, month=month, kind=step, by=request.user
    ):
        messages.success(request, f"Taken back: {TITLES[step].lower()}, {named(month)}.")
        return go(request, "closing:month_page", year=year, number=number)
    context = {"month": month, "name": named(month), "title": TITLES[step], "tick": tick}
    page = refused if form.errors else answer
    return page(request, "closing/step_undo.html", context | {"form": form})


@require_POST
@requires(*BOOKS)
def month_shut(request: StaffRequest, year: int, number: int) -> HttpResponse:
    """Shut a month."""
    month, program, form = _month(year, number), program_of(request), Form(request.POST)
    if form.is_valid() and form.perform(
        actions.shut_month, program=program, month=month, by=request.user
    ):
        messages.success(request, f"Shut: {named(month)}. Nothing more is booked in it.")
        return go(request, "closing:month_page", year=year, number=number)
    return _month_page(request, month, shut=form)


@require_http_methods(READ)
@requires(RoleKind.TREASURER)
def month_open(request: StaffRequest, year: int, number: int) -> HttpResponse:
    """Open a shut month again, with the reason."""
    month, program = _month(year, number), program_of(request)
    form = OpenForm(request.POST if request.method == "POST" else None)
    if form.is_valid() and form.perform(
        actions.open_month, program=program, month=month, by=request.user
    ):
        messages.success(request, f"Open again: {named(month)}.")
        return go(request, "closing:month_page", year=year, number=number)
    page = refused if form.errors else answer
    context = {"month": month, "name": named(month), "form": form}
    return page(request, "closing/month_open.html", context)


def _month_page(request: StaffRequest, month: dt.date, **forms: Form) -> HttpResponse:
    """Return the page of a month; `forms` are those that were refused, by line or as `shut`."""
    program = program_of(request)
    today = program.today()
    rows = step_rows(program, month)
    shut = queries.shut_months(program).get(month)
    for row in rows:
        forms.setdefault(row.kind, TickForm(prefix=row.kind))
    last = queries.span_of(program, queries.year_at(program, month), today)[1]
    context: dict[str, Any] = {
        "month": month,
        "last": last_of(month),
        "name": named(month),
        "lines": [(row, forms[row.kind]) for row in rows],
        "shut": shut,
        "ends_year": last == last_of(month),
        "against": queries.what_stands_against(program, month, today),
        "history": queries.history(program, month),
        "form": forms.get("shut"),
        "missing_papers": without_paper_between(program, month, last_of(month)),
        "may": request.user.is_any_of(BOOKS),
        "may_open": request.user.is_any_of({RoleKind.TREASURER}),
    }
    bad = any(form.errors for form in forms.values())
    return (refused if bad else answer)(request, "closing/month_page.html", context)


# ---- duties ----


@require_safe
@requires(*OFFICE)
def duties(request: StaffRequest) -> HttpResponse:
    """Show the year's duties, month by month, on one sheet for the wall."""
    program = program_of(request)
    today = program.today()
    year = _year(request, today.year)
    rows = queries.duty_rows(program, year, today)
    first = next((row for row in rows if row.standing in NEXT), None)
    context = {
        "year": year,
        "today": today,
        "first": first,
        "overdue": sum(row.standing is Standing.OVERDUE for row in rows),
        "months": [
            (
                dt.date(year, number, 1),
                [row for row in rows if row.month and row.month.month == number],
            )
            for number in range(1, MONTHS + 1)
        ],
        "undated": [row for row in rows if row.month is None],
        "may": request.user.is_any_of(BOOKS),
    }
    return render(request, "closing/duties.html", context)


@require_safe
@requires(*OFFICE)
def duties_file(request: StaffRequest, year: int) -> HttpResponse:
    """Return the year's duties as one sheet for the wall."""
    if year not in YEARS:
        raise Http404
    program = program_of(request)
    today = program.today()
    rows = queries.duty_rows(program, year, today)
    content = duties_sheet(rows, year=year, garage=program.name, day=today)
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="duties-{year}.pdf"'
    response["Cache-Control"] = "no-store"
    return response


@require_http_methods(READ)
@requires(*BOOKS)
def duty_record(request: StaffRequest, year: int, code: str) -> HttpResponse:
    """Say that a duty was done, or does not apply."""
    duty = next((one for one in load() if one.code == code), None)
    if duty is None or year not in YEARS:
        raise Http404
    today = program_of(request).today()
    form = DutyForm(request.POST if request.method == "POST" else None, today=today)
    if form.is_valid() and form.perform(actions.record_duty, year=year, code=code, by=request.user):
        messages.success(request, f"Recorded for {year}: {duty.title}.")
        return go(request, "closing:duties")
    page = refused if form.errors else answer
    return page(request, "closing/duty_record.html", {"duty": duty, "year": year, "form": form})


@require_POST
@requires(*BOOKS)
def duty_undo(request: StaffRequest, year: int, code: str) -> HttpResponse:
    """Take back what was said of a duty."""
    form = Form(request.POST)
    if form.is_valid() and form.perform(
        actions.undo_duty, program=program_of(request), year=year, code=code, by=request.user
    ):
        messages.success(request, "Taken back.")
    for fault in form.faults:
        messages.error(request, fault["sentence"])
    return go(request, "closing:duties")


# ---- what an address names ----


def _month(year: int, number: int) -> dt.date:
    try:
        month = dt.date(year, number, 1)
    except (ValueError, OverflowError) as wrong:
        raise Http404 from wrong
    if month.year not in YEARS:
        raise Http404
    return month


def _kind(kind: str) -> StepKind:
    try:
        return StepKind(kind)
    except ValueError as wrong:
        raise Http404 from wrong


def _year(request: StaffRequest, usual: int) -> int:
    """Return the year that the address asks for, or the usual one."""
    asked = request.GET.get("year", "")
    return int(asked) if asked.isascii() and asked.isdigit() and int(asked[:5]) in YEARS else usual
