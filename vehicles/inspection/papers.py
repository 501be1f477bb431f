"""The reports of a stay: which can be issued, which were, and each as it was handed out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods, require_safe

from shared.accounts.access import requires
from shared.accounts.roles import OFFICE, SHOP
from shared.htmx import answer, go, refused
from vehicles.inspection.computing import report_of
from vehicles.inspection.pdf import report_paper
from vehicles.inspection.values import Issue
from vehicles.inspection.writing import issue_report, issued, next_number
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from shared.accounts.access import StaffRequest

PAGE = "inspection/report.html"


@require_http_methods(["GET", "HEAD", "POST"])
@requires(*SHOP, *OFFICE)
def report(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    if request.method != "POST":
        return answer(request, PAGE, _context(request, stay))
    try:
        kind = Issue(request.POST.get("paper", ""))
    except ValueError:
        return refused(
            request, PAGE, _context(request, stay) | {"fault": "Choose one of the papers below."}
        )
    try:
        document = issue_report(
            intake=stay,
            kind=kind,
            number=request.POST.get("number", ""),
            compose=lambda stay, number: report_paper(report_of(stay, number), kind),
            by=request.user,
        )
    except ValidationError as refusal:
        return refused(
            request, PAGE, _context(request, stay) | {"fault": " ".join(refusal.messages)}
        )
    return go(request, "inspection:report_file", pk=stay.pk, number=document.number)


@require_safe
@requires(*SHOP, *OFFICE)
def report_file(request: StaffRequest, pk: int, number: str) -> HttpResponse:
    stay = _stay(request, pk)
    document = get_object_or_404(issued(stay).defer(None), number=number)
    response = HttpResponse(bytes(document.content), content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="report-{document.number}.pdf"'
    response["Cache-Control"] = "no-store"
    return response


def _stay(request: StaffRequest, pk: int) -> Intake:
    stays = Intake.objects.for_user(request.user).select_related("vehicle", "program")
    return get_object_or_404(stays, pk=pk)


def _context(request: StaffRequest, stay: Intake) -> dict[str, object]:
    return {
        "stay": stay,
        "in_shop": request.user.is_any_of(SHOP),
        "issued": issued(stay),
        "number": next_number(stay),
    }
