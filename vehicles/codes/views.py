"""The trouble codes of a stay: reading them, clearing them, withdrawing a reading."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods

from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import SHOP
from vehicles.codes import actions
from vehicles.codes.computing import codes_page
from vehicles.codes.forms import ClearForm, ScanForm, WithdrawForm
from vehicles.codes.models import CodeScan
from vehicles.codes.tables import CodeTable
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse, QueryDict

    from shared.accounts.access import StaffRequest
    from shared.forms import Form
    from vehicles.codes.computing import ScanRow

READ = ["GET", "HEAD", "POST"]


@require_http_methods(READ)
@requires(*SHOP)
def code_list(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = ScanForm(_sent(request), stay=stay)
    if form.is_valid() and form.perform(actions.record_scan, intake=stay, by=request.user):
        messages.success(request, "Recorded.")
        return redirect("codes:code_list", pk=pk)
    page = codes_page(stay)
    if stay.left_on:  # then the page has no form that could say it
        for fault in form.faults:
            messages.error(request, fault["sentence"])
    context = {
        "stay": stay,
        "form": None if stay.left_on else form,
        "page": page,
        "counting": _listed(page.counting),
        "earlier": _listed(page.earlier),
    }
    answer = htmx.refused if form.errors else htmx.answer
    return answer(request, "codes/code_list.html", context)


@require_http_methods(READ)
@requires(*SHOP)
def clear_codes(request: StaffRequest, pk: int, scan: int) -> HttpResponse:
    row = _scan(request, pk, scan)
    form = ClearForm(_sent(request))
    return _answer(request, "codes/clear.html", row, form, actions.record_clearing)


@require_http_methods(READ)
@requires(*SHOP)
def withdraw_scan(request: StaffRequest, pk: int, scan: int) -> HttpResponse:
    row = _scan(request, pk, scan)
    form = WithdrawForm(_sent(request))
    return _answer(request, "codes/withdraw.html", row, form, actions.withdraw_scan)


def _answer(
    request: StaffRequest, page: str, row: CodeScan, form: Form, action: Callable[..., Any]
) -> HttpResponse:
    """Do what was sent and return to the list, or show the page of one step."""
    if form.is_valid() and form.perform(action, scan=row, by=request.user):
        messages.success(request, "Recorded.")
        return redirect("codes:code_list", pk=row.intake_id)
    answer = htmx.refused if form.errors else htmx.answer
    return answer(request, page, {"stay": row.intake, "scan": row, "form": form})


def _sent(request: StaffRequest) -> QueryDict | None:
    return request.POST if request.method == "POST" else None


def _listed(rows: tuple[ScanRow, ...]) -> list[tuple[ScanRow, CodeTable]]:
    return [(row, CodeTable(row)) for row in rows]


def _stay(request: StaffRequest, pk: int) -> Intake:
    rows = Intake.objects.for_user(request.user).select_related("vehicle", "program")
    return get_object_or_404(rows, pk=pk)


def _scan(request: StaffRequest, pk: int, scan: int) -> CodeScan:
    rows = CodeScan.objects.select_related("intake__vehicle", "intake__program")
    return get_object_or_404(rows, intake=_stay(request, pk), pk=scan)
