"""The diagnoses of a stay: choosing a complaint, looking step by step, concluding, ending."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shared.accounts.access import requires
from shared.accounts.roles import SHOP
from shared.htmx import go
from vehicles.diagnosis import actions, approving, storing
from vehicles.diagnosis.access import legible
from vehicles.diagnosis.computing import complaint_rows, page_of, point_of
from vehicles.diagnosis.filters import SearchForm
from vehicles.diagnosis.forms import (
    BeginForm,
    ConcludeForm,
    EndForm,
    ObserveForm,
    OverruleForm,
    SetupForm,
    TakeCodesForm,
    VerifyForm,
    WithdrawForm,
)
from vehicles.diagnosis.gathering import session_of, told_of
from vehicles.diagnosis.kinds import Verified
from vehicles.diagnosis.models import Conclusion, Diagnosis, Observation
from vehicles.diagnosis.pictures import graph_of_faults, likelihood_bars
from vehicles.diagnosis.queries import diagnoses_of
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest
    from shared.forms import Form
    from vehicles.diagnosis.looking import Looking
    from vehicles.diagnosis.values import Session

READ = ["GET", "HEAD", "POST"]


@require_http_methods(READ)
@requires(*SHOP)
def diagnosis_list(request: StaffRequest, pk: int) -> HttpResponse:
    stay = get_object_or_404(Intake.objects.for_user(request.user), pk=pk)
    begin = BeginForm(request.POST or None)
    if begin.is_valid():
        row = begin.perform(actions.begin_diagnosis, intake=stay, by=request.user)
        if row:
            return go(request, "diagnosis:diagnosis_page", pk=pk, diagnosis=row.pk)
    words = request.GET.get("words", "")[:300]
    context = {
        "stay": stay,
        "diagnoses": diagnoses_of(stay),
        "search": SearchForm(initial={"words": words or stay.complaint}),
        "rows": complaint_rows(stay, words or stay.complaint),
        "begin": begin,
        "key": uuid4(),
    }
    return render(request, "diagnosis/diagnosis_list.html", context, status=_status(begin))


@require_safe
@requires(*SHOP)
@legible
def diagnosis_page(request: StaffRequest, pk: int, diagnosis: int) -> HttpResponse:
    return _page(request, _diagnosis(request, pk, diagnosis))


@require_POST
@requires(*SHOP)
@legible
def verify_complaint(request: StaffRequest, pk: int, diagnosis: int) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    form = VerifyForm(request.POST)
    if form.is_valid() and form.perform(actions.verify_complaint, diagnosis=row, by=request.user):
        return _back(request, row)
    return _page(request, row, verify=form)


@require_http_methods(READ)
@requires(*SHOP)
@legible
def check_page(request: StaffRequest, pk: int, diagnosis: int, check: str) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    session = session_of(row)
    found = _check(session, check)
    form = ObserveForm(
        request.POST or None, check=found, step=session.step(check), auto_id=f"{check}-%s"
    )
    if form.is_valid() and _record(request, row, form):
        return _back(request, row)
    context = {
        "stay": row.intake,
        "diagnosis": row,
        "form": form,
        "point": point_of(row, session, found),
    }
    return render(request, "diagnosis/check_page.html", context, status=_status(form))


@require_POST
@requires(*SHOP)
def take_back(request: StaffRequest, pk: int, diagnosis: int, observation: int) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    seen = get_object_or_404(Observation, diagnosis=row, pk=observation)
    return _done(request, row, lambda: actions.take_back(observation=seen, by=request.user))


@require_POST
@requires(*SHOP)
@legible
def take_codes(request: StaffRequest, pk: int, diagnosis: int) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    told = told_of(row.intake, session_of(row))
    if told is None:
        return _back(request, row)
    form = TakeCodesForm(request.POST, told=told)
    if form.is_valid():
        taken = form.perform(storing.take_codes, diagnosis=row, by=request.user)
        if taken is not None:
            return _back(request, row)
    return _page(request, row, take=form)


@require_POST
@requires(*SHOP)
def change_setup(request: StaffRequest, pk: int, diagnosis: int) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    form = SetupForm(request.POST)
    if not form.is_valid():
        raise Http404
    sent = form.cleaned_data
    return _done(request, row, lambda: actions.change_setup(diagnosis=row, by=request.user, **sent))


@require_http_methods(READ)
@requires(*SHOP)
def end_diagnosis(request: StaffRequest, pk: int, diagnosis: int) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    form = EndForm(request.POST or None)
    if form.is_valid() and form.perform(actions.end_diagnosis, diagnosis=row, by=request.user):
        return _back(request, row)
    context = {"stay": row.intake, "diagnosis": row, "form": form}
    return render(request, "diagnosis/end.html", context, status=_status(form))


@require_POST
@requires(*SHOP)
def conclude(request: StaffRequest, pk: int, diagnosis: int) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    form = ConcludeForm(request.POST)
    if not form.is_valid():
        raise Http404
    sent = form.cleaned_data
    return _done(
        request, row, lambda: approving.conclude_fault(diagnosis=row, by=request.user, **sent)
    )


@require_http_methods(READ)
@requires(*SHOP)
@legible
def overrule(request: StaffRequest, pk: int, diagnosis: int) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    session = session_of(row)
    form = OverruleForm(request.POST or None, faults=list(session.model.faults))
    if form.is_valid() and form.perform(approving.overrule, diagnosis=row, by=request.user):
        return _back(request, row)
    context = {"stay": row.intake, "diagnosis": row, "form": form}
    return render(request, "diagnosis/overrule.html", context, status=_status(form))


@require_http_methods(READ)
@requires(*SHOP)
def withdraw(request: StaffRequest, pk: int, diagnosis: int, conclusion: int) -> HttpResponse:
    row = _diagnosis(request, pk, diagnosis)
    one = get_object_or_404(Conclusion, diagnosis=row, pk=conclusion)
    form = WithdrawForm(request.POST or None)
    if form.is_valid() and form.perform(
        approving.withdraw_conclusion, conclusion=one, by=request.user
    ):
        return _back(request, row)
    context = {"stay": row.intake, "diagnosis": row, "conclusion": one, "form": form}
    return render(request, "diagnosis/withdraw.html", context, status=_status(form))


def _diagnosis(request: StaffRequest, pk: int, diagnosis: int) -> Diagnosis:
    rows = Diagnosis.objects.for_user(request.user).select_related(
        "intake__vehicle", "intake__program", "model", "program", "begun_by", "ended_by"
    )
    return get_object_or_404(rows, intake__pk=pk, pk=diagnosis)


def _check(session: Session, code: str) -> Any:
    try:
        return session.model.check(code)
    except ValueError as error:
        raise Http404 from error


def _page(
    request: StaffRequest,
    row: Diagnosis,
    verify: VerifyForm | None = None,
    take: TakeCodesForm | None = None,
) -> HttpResponse:
    context = page_of(row) | {
        "verify": verify or VerifyForm(initial={"verified": row.verified}),
        "key": uuid4(),
    }
    told = None if row.ended_at else told_of(row.intake, context["session"])
    context |= {"told": told, "take": take or (TakeCodesForm(told=told) if told else None)}
    context |= _drawn(context["session"], context["found"])
    # A form that was sent from an older page and is not on this one can't say what was refused.
    unseen: list[Form | None] = [] if told and told.open else [take]
    unseen += [verify] if row.ended_at or row.verified != Verified.NOT_YET else []
    for fault in [fault for form in unseen if form for fault in form.faults]:
        messages.error(request, fault["sentence"])
    status = _status(*[form for form in (verify, take) if form])
    return render(request, "diagnosis/diagnosis_page.html", context, status=status)


def _drawn(session: Session, found: Looking | None) -> dict[str, Any]:
    """Return the pictures of a diagnosis, and the form of the check that comes next."""
    if found is None:
        return {}
    best = found.upcoming
    form = ObserveForm(check=session.model.check(best)) if best else None
    return {
        "bars": likelihood_bars(found.bars, len(session.observed)),
        "graph": graph_of_faults(session, found),
        "form": form,
    }


def _record(request: StaffRequest, row: Diagnosis, form: ObserveForm) -> object | None:
    """Record what was seen, or put what stands against it into the form."""
    try:
        return actions.record(
            diagnosis=row,
            seen=form.seen(),
            client_key=form.cleaned_data["client_key"],
            by=request.user,
        )
    except ValidationError as refusal:
        form.refuse(refusal)
        return None


def _done(request: StaffRequest, row: Diagnosis, act: Callable[[], object]) -> HttpResponse:
    """Do one thing and show the diagnosis, with what was refused."""
    try:
        act()
    except ValidationError as refusal:
        for sentence in refusal.messages:
            messages.error(request, sentence)
    return _back(request, row)


def _back(request: StaffRequest, row: Diagnosis) -> HttpResponse:
    return go(request, "diagnosis:diagnosis_page", pk=row.intake_id, diagnosis=row.pk)


def _status(*typed: Form) -> int:
    bad = any(form.is_bound and not form.is_valid() for form in typed)
    return HTTPStatus.UNPROCESSABLE_ENTITY if bad else HTTPStatus.OK
