"""Returning a car unrepaired: read, sign, look at what it frees, and only then do it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_safe

from program.handback import actions, queries
from program.handback.forms import ReturnForm
from program.handback.pdf import notice_paper
from program.handback.sheet import in_language, notice_of, sheet_of
from shared import htmx
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import RoleKind
from vehicles.custody.values import path
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from program.cases.models import Case
    from program.handback.sheet import Words
    from vehicles.inspection.models import Finding

RETURNERS = (RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN)
READERS = (*RETURNERS, RoleKind.CASEWORKER)
PAGE = "handback/return_car.html"


@requires(*RETURNERS)
def return_car(request: StaffRequest, pk: int) -> HttpResponse:
    stay, case = _stay(request, pk)
    if stay.left_on and request.method != "POST":
        return _returned(request, stay, case)
    findings = queries.findings_of(stay)
    words = _words(request, stay, case, findings)
    left = queries.left_in(stay)
    sent = request.POST if request.method == "POST" else None
    form = ReturnForm(sent, stay=stay, case=case, words=words, left=left)
    context = _context(stay, case, words, form, findings)
    context["case_url"] = _case_url(request, case)
    if form.is_valid() and "change" not in request.POST:
        if "confirmed" not in request.POST:
            return htmx.answer(request, "handback/confirm.html", context)
        if form.perform(actions.return_unrepaired, intake=stay, draw=notice_paper, by=request.user):
            messages.success(request, "Returned unrepaired. All that was kept for it is free.")
            return redirect("handback:return_car", pk)
    if form.errors:
        form.renew()
    answer = htmx.refused if form.errors else htmx.answer
    return answer(request, PAGE, context)


@require_safe
@requires(*READERS)
def notice(request: StaffRequest, pk: int) -> HttpResponse:
    """Return the notice as it was handed out; before that, one to be signed on paper."""
    stay, case = _stay(request, pk)
    departure = getattr(stay, "departure", None)
    if departure:
        document = queries.issued(departure)
        if document is None:
            raise Http404
        number, content = document.number, bytes(document.content)
    elif stay.left_on:
        raise Http404
    else:
        words = _words(request, stay, case, queries.findings_of(stay))
        sheet = sheet_of(stay, case, words, None)
        number, content = sheet.number, notice_paper(sheet)
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="notice-{number}.pdf"'
    response["Cache-Control"] = "no-store"
    return response


def _stay(request: StaffRequest, pk: int) -> tuple[Intake, Case | None]:
    """Return a stay with its case; a tie to the household makes it look as if there were none."""
    rows = Intake.objects.for_user(request.user)
    stay = get_object_or_404(
        rows.select_related("vehicle__condition", "program", "departure", "standing"), pk=pk
    )
    case = queries.case_of(stay)
    if not queries.may_see(case, request.user):
        raise Http404
    return stay, case


def _words(
    request: StaffRequest, stay: Intake, case: Case | None, findings: list[Finding]
) -> Words:
    """Return the notice in the language that was chosen, else the household's."""
    asked = request.POST.get("language") or request.GET.get("language", "")
    language = asked if asked in dict(settings.LANGUAGES) else queries.language_of(case)
    return in_language(notice_of(stay, findings), language)


def _context(
    stay: Intake, case: Case | None, words: Words, form: ReturnForm, findings: list[Finding]
) -> dict[str, Any]:
    freed = queries.what_is_freed(stay, case)
    bad = queries.dangerous(findings)
    return {
        "stay": stay,
        "case": case,
        "words": words,
        "form": form,
        "freed": freed,
        "dangers": bad,
        "others": [row for row in findings if row not in bad],
        "obstacles": [] if stay.left_on else queries.obstacles(stay),
        "languages": settings.LANGUAGES,
    }


def _case_url(request: StaffRequest, case: Case | None) -> str:
    """Return the address of a case for those who may open it."""
    opens = case is not None and request.user.is_any_of({RoleKind.COORDINATOR})
    return reverse("desk:case_page", args=[case.number]) if case and opens else ""


def _returned(request: StaffRequest, stay: Intake, case: Case | None) -> HttpResponse:
    """Return the page of a car that went back; one that left otherwise has none."""
    departure = getattr(stay, "departure", None)
    if departure is None:
        raise Http404
    context = {
        "stay": stay,
        "case": case,
        "departure": departure,
        "case_url": _case_url(request, case),
        "language": dict(settings.LANGUAGES).get(departure.language, departure.language),
        "drawn": path(departure.strokes),
        "document": queries.issued(departure),
    }
    return htmx.answer(request, "handback/returned.html", context)
