"""Authorizing a car's estimate, and the supplements to it with both their answers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_POST, require_safe

from program.decisions import actions, forms, gathering, keeping
from program.decisions.access import ASKERS, BUDGET, READERS, case_of, supplement_of, work_of
from program.decisions.pdf import supplement_paper as paper_of
from program.decisions.queries import (
    case_of_stay,
    decide_by,
    open_supplements,
    works,
)
from program.decisions.sheet import in_language, more_of, number_of, sheet_of
from program.decisions.states import SupplementState
from program.decisions.tables import LineTable, SupplementTable, waits_for
from shared import htmx
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE, SHOP
from shared.tables import table_page
from vehicles.custody.queries import may_sign
from vehicles.intake.models import Intake
from vehicles.repairs.queries import latest_estimate

if TYPE_CHECKING:
    from django.http import QueryDict

    from program.cases.models import Case
    from program.decisions.models import Supplement
    from program.decisions.sheet import Words
    from shared.forms import Form
    from vehicles.repairs.models import Estimate

MOST_PHOTOS = 24


@require_safe
@requires(*READERS)
def supplement_list(request: StaffRequest) -> HttpResponse:
    rows = open_supplements(request.user)
    return table_page(request, SupplementTable, rows, "decisions/supplement_list.html")


@require_safe
@requires(*READERS)
def stay_decisions(request: StaffRequest, pk: int) -> HttpResponse:
    """Go from a stay to what was decided on its case; a car without a case has none."""
    stay = get_object_or_404(Intake.objects.for_user(request.user), pk=pk)
    case = case_of_stay(stay, request.user)
    if case is None:
        if not request.user.is_any_of(SHOP):
            raise Http404
        messages.warning(request, "No case joins this car and a household yet.")
        return redirect("intake:vehicle_page", stay.pk)
    return redirect("decisions:case_decisions", case.number)


@require_safe
@requires(*READERS)
def case_decisions(request: StaffRequest, number: str) -> HttpResponse:
    return _page(request, *case_of(request.user, number))


@require_POST
@requires(*BUDGET)
def authorize(request: StaffRequest, number: str) -> HttpResponse:
    case, stay = case_of(request.user, number)
    form = forms.AuthorizeForm(request.POST, estimate=None)
    done = form.is_valid() and form.perform(
        actions.authorize, case=case, intake=stay, by=request.user
    )
    if not done and works([stay.pk]):  # a second press: the page has no such form any more
        for fault in form.faults:
            messages.error(request, fault["sentence"])
        return redirect("decisions:case_decisions", number)
    if not done:
        return _page(request, case, stay, authorizing=form)
    messages.success(request, f"Authorized. Estimate {done.estimate.number} is frozen.")
    return redirect("decisions:case_decisions", number)


@requires(*BUDGET)
def end_authorization(request: StaffRequest, number: str) -> HttpResponse:
    """End an authorization on a page of its own, since a new one needs all its parts again."""
    case, stay = case_of(request.user, number)
    work = work_of(stay)
    form = forms.EndForm(_sent(request))
    done = form.is_valid() and form.perform(
        actions.end_authorization, authorization=work.authorization, by=request.user
    )
    if done:
        messages.success(request, "Ended: the authorization. Its estimate stays frozen.")
        return redirect("decisions:case_decisions", number)
    context = {"case": case, "stay": stay, "work": work, "form": form}
    return _answer(request, "decisions/end.html", context, form)


@requires(*ASKERS)
def ask_supplement(request: StaffRequest, number: str) -> HttpResponse:
    case, stay = case_of(request.user, number)
    work, counted = work_of(stay), gathering.counted_items(stay)
    photos = list(stay.photos.kept().order_by("-at", "-pk")[:MOST_PHOTOS])
    items = gathering.choosable(stay, counted)
    form = forms.SupplementForm(
        _sent(request), work=work, items=items, photos=photos, counted=counted
    )
    if form.is_valid():
        row = form.perform(actions.ask_supplement, intake=stay, by=request.user)
        if row:
            messages.success(request, f"Asked: supplement {row.number}. Two people answer now.")
            return redirect("decisions:supplement_page", number, row.pk)
    if form.errors:
        form.renew(seen=form["seen"].initial)
    context = {"case": case, "stay": stay, "work": work, "form": form}
    return _answer(request, "decisions/ask.html", context, form)


@require_safe
@requires(*READERS)
def supplement_page(request: StaffRequest, number: str, pk: int) -> HttpResponse:
    return _supplement(request, supplement_of(request.user, number, pk))


@requires(*ASKERS)
def answer_owner(request: StaffRequest, number: str, pk: int) -> HttpResponse:
    row = supplement_of(request.user, number, pk)
    if row.state != SupplementState.ASKED or row.owner_at:
        messages.warning(request, "The owner has answered already.")
        return redirect("decisions:supplement_page", number, pk)
    stay, words = row.authorization.intake, _words(request, row)
    form = forms.OwnerForm(_sent(request), supplement=row, words=words, signers=may_sign(stay))
    if form.is_valid():
        done = form.perform(actions.answer_owner, supplement=row, draw=paper_of, by=request.user)
        if done:
            return _said(request, done)
    if form.errors:
        form.renew(version=row.version, read=words.digest)
    context = _about(row) | {"words": words, "form": form, "languages": settings.LANGUAGES}
    return _answer(request, "decisions/owner.html", context, form)


@require_POST
@requires(*BUDGET)
def answer_budget(request: StaffRequest, number: str, pk: int) -> HttpResponse:
    row = supplement_of(request.user, number, pk)
    form = forms.BudgetForm(request.POST, supplement=row)
    done = form.is_valid() and form.perform(actions.answer_budget, supplement=row, by=request.user)
    return _said(request, done) if done else _refused(request, row, budget=form)


@require_POST
@requires(*ASKERS)
def withdraw_supplement(request: StaffRequest, number: str, pk: int) -> HttpResponse:
    row = supplement_of(request.user, number, pk)
    form = forms.WithdrawForm(request.POST, supplement=row)
    done = form.is_valid() and form.perform(
        actions.withdraw_supplement, supplement=row, by=request.user
    )
    return _said(request, done) if done else _refused(request, row, withdraw=form)


@require_safe
@requires(*READERS)
def supplement_paper(request: StaffRequest, number: str, pk: int) -> HttpResponse:
    """Return the paper as the owner signed it; before that, one to be signed by hand."""
    row = supplement_of(request.user, number, pk)
    document = gathering.issued(row)
    if document:
        content = bytes(document.content)
    else:
        signers = may_sign(row.authorization.intake)
        content = paper_of(sheet_of(row, _words(request, row), signers))
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="supplement-{number_of(row)}.pdf"'
    response["Cache-Control"] = "no-store"
    return response


# ---- what these pages have in common ----


def _sent(request: StaffRequest) -> QueryDict | None:
    return request.POST if request.method == "POST" else None


def _words(request: StaffRequest, row: Supplement) -> Words:
    """Return the words in the language that was chosen, else the household's."""
    asked = request.POST.get("language") or request.GET.get("language", "")
    usual = gathering.language_of(row.authorization.case)
    return in_language(more_of(row), asked if asked in dict(settings.LANGUAGES) else usual)


def _answer(
    request: StaffRequest, page: str, context: dict[str, Any], *sent: Form | None
) -> HttpResponse:
    refused = any(form is not None and form.errors for form in sent)
    return (htmx.refused if refused else htmx.answer)(request, page, context)


def _said(request: StaffRequest, row: Supplement) -> HttpResponse:
    """Say what became of a supplement, and show it."""
    waiting = waits_for(row) if row.state == SupplementState.ASKED else ""
    messages.success(
        request,
        f"Recorded. It waits for {waiting}."
        if waiting
        else f"Supplement {row.number}: {row.state}.",
    )
    return redirect("decisions:supplement_page", row.authorization.case.number, row.pk)


def _page(
    request: StaffRequest, case: Case, stay: Intake, *, authorizing: Form | None = None
) -> HttpResponse:
    """Return what was authorized for a case, or what may be."""
    work, estimate = works([stay.pk]).get(stay.pk), latest_estimate(stay)
    is_here, user = not stay.left_on, request.user
    free = is_here and work is not None and not work.waiting
    context: dict[str, Any] = {
        "case": case,
        "stay": stay,
        "work": work,
        "estimate": estimate,
        "advice": gathering.advice_of(stay, work, estimate),
        "ends": free and user.is_any_of(BUDGET),
        "asks": free and user.is_any_of(ASKERS),
        "case_url": _case_url(request, case),
        "works": user.is_any_of(SHOP),
        "lines": _lines(work.authorization.estimate if work else estimate),
    }
    if work is None:
        form = authorizing or forms.AuthorizeForm(estimate=estimate)
        context["form"] = form if is_here and user.is_any_of(BUDGET) else None
        context |= gathering.before(stay, estimate)
    return _answer(request, "decisions/case.html", context, authorizing)


def _lines(estimate: Estimate | None) -> LineTable:
    rows = estimate.lines.select_related("item").order_by("pk") if estimate else []
    return LineTable(list(rows))


def _case_url(request: StaffRequest, case: Case) -> str:
    """Return the address of a case for those who may open it."""
    return reverse("desk:case_page", args=[case.number]) if request.user.is_any_of(OFFICE) else ""


def _about(row: Supplement) -> dict[str, Any]:
    granted = row.authorization
    return {"row": row, "case": granted.case, "stay": granted.intake}


def _refused(request: StaffRequest, row: Supplement, **typed: forms.Renewed) -> HttpResponse:
    """Return the page with the refused form, or with what it was refused for once it is closed."""
    row.refresh_from_db()
    for form in typed.values():
        if row.state == SupplementState.ASKED:
            form.renew(version=row.version)
            return _supplement(request, row, **typed)
        for fault in form.faults:
            messages.error(request, fault["sentence"])
    return redirect("decisions:supplement_page", row.authorization.case.number, row.pk)


def _supplement(request: StaffRequest, row: Supplement, **typed: forms.Renewed) -> HttpResponse:
    """Return the page of one supplement; a form that was refused stands on it as it was typed."""
    granted, user = row.authorization, request.user
    work = works([granted.intake_id]).get(granted.intake_id)
    is_open = row.state == SupplementState.ASKED and not granted.intake.left_on
    budget = is_open and not row.budget_at and user.is_any_of(BUDGET) and user.pk != row.asked_by_id
    mine = is_open and user.pk == row.asked_by_id
    context = _about(row) | {
        "work": work,
        "items": row.items.order_by("pk"),
        "by_on": decide_by(row) if is_open else None,
        "waits_for": waits_for(row),
        "advice": gathering.advice_of(granted.intake, work, None),
        "asks_owner": is_open and not row.owner_at and user.is_any_of(ASKERS),
        "budget": forms.BudgetForm(supplement=row) if budget else None,
        "withdraw": forms.WithdrawForm(supplement=row) if mine else None,
        "document": gathering.issued(row),
        "money": keeping.money_in_words(row, latest_estimate(granted.intake)),
        "languages": settings.LANGUAGES,
    }
    return _answer(request, "decisions/supplement.html", context | typed, *typed.values())
