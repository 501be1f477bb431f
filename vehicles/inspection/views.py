"""The sheet of a stay, the page of one point, classes that people set, and local limits."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any
from uuid import uuid4

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, JsonResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shared.accounts.access import requires
from shared.accounts.roles import SHOP, RoleKind
from shared.htmx import answer, go, refused
from vehicles.inspection import grading, keeping
from vehicles.inspection.actions import record_good, record_not_read, record_reading
from vehicles.inspection.criteria import Group
from vehicles.inspection.depths import Depth
from vehicles.inspection.forms import (
    AnswerForm,
    BeginForm,
    EndLimitForm,
    GoodForm,
    LimitForm,
    NotReadForm,
    ReadingForm,
    RegradeForm,
    forms_of,
    starts_of,
)
from vehicles.inspection.gathering import bare_point, sheet_of, sheet_with_point
from vehicles.inspection.models import Inspection, LocalLimit, Reading, Regrade
from vehicles.inspection.queries import all_limits, barriers
from vehicles.inspection.tables import LimitTable
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest
    from vehicles.inspection.points import Point
    from vehicles.inspection.sheet import Sheet

PAGE = "inspection/reading_page.html"
READ = ["GET", "HEAD", "POST"]
LIMITS = (RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN)


@require_safe
@requires(*SHOP)
def sheet(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    return answer(request, "inspection/sheet.html", _sheet_context(request, stay))


@require_POST
@requires(*SHOP)
def begin_inspection(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = BeginForm(request.POST)
    if form.is_valid() and form.perform(keeping.begin_inspection, intake=stay, by=request.user):
        return go(request, "inspection:sheet", pk=stay.pk)
    return refused(request, "inspection/sheet.html", _sheet_context(request, stay, form))


@require_http_methods(READ)
@requires(*SHOP)
def end_inspection(request: StaffRequest, pk: int, inspection: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(Inspection, intake=stay, pk=inspection)
    if request.method == "POST":
        return _done(request, stay, lambda: keeping.end_inspection(inspection=row, by=request.user))
    if row.ended_at:
        return go(request, "inspection:sheet", pk=stay.pk)
    context = {"stay": stay, "inspection": row, "sheet": sheet_of(stay, Depth(row.depth))}
    return answer(request, "inspection/end.html", context)


@require_POST
@requires(*SHOP)
def take_over(request: StaffRequest, pk: int, inspection: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(Inspection, intake=stay, pk=inspection)
    return _done(request, stay, lambda: keeping.take_over(inspection=row, by=request.user))


@require_http_methods(READ)
@requires(*SHOP)
def reading_page(
    request: StaffRequest, pk: int, criterion: str, position: str = ""
) -> HttpResponse:
    stay = _stay(request, pk)
    if request.method != "POST":
        whole, point = _found(stay, criterion, position, final=None)
        said = whole.just_read(request.GET.get("after", ""))
        forms = {} if stay.left_on else forms_of(whole, point)
        return answer(request, PAGE, _context(stay, whole, point, forms) | {"said": said})
    form = _sent(request, stay, criterion, position)
    done = _record(stay, form, request)
    whole, now = _found(stay, criterion, position, final=bool(request.POST.get("final")))
    if _wants_json(request):
        return _as_json(request, stay, whole, now, form)
    if done is not None:
        return _recorded(request, stay, whole, now)
    if isinstance(form, ReadingForm):
        form.show_again(now)
    context = _context(stay, whole, now, forms_of(whole, now) | {form.kind: form})
    return refused(request, PAGE, context)


@require_POST
@requires(*SHOP)
def rest_good(request: StaffRequest, pk: int, criterion: str) -> HttpResponse:
    stay = _stay(request, pk)
    final, position = bool(request.POST.get("final")), request.POST.get("places", "")
    whole, point = _found(stay, criterion, position, final=final)
    form = GoodForm(request.POST, section=whole.section_of(point))
    if form.is_valid():
        stands = form.perform(record_good, intake=stay, criterion=criterion, by=request.user)
        for one in stands or ():
            messages.error(request, f"{one.title}: {one.stands}")
    for fault in form.faults:
        messages.error(request, fault["sentence"])
    if form.errors:
        return go(request, address(stay, point))
    return _recorded(request, stay, *_found(stay, criterion, position, final=final))


@require_http_methods(READ)
@requires(*SHOP)
def regrade_page(request: StaffRequest, pk: int, reading: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(Reading, intake=stay, pk=reading, replaced_at__isnull=True)
    whole, point = _found(stay, row.criterion, row.position, final=row.final)
    form = RegradeForm(request.POST or None)
    others = {"reading": row, "title": point.title, "by": request.user}
    if form.is_valid() and form.perform(grading.regrade, **others):
        return go(request, address(stay, point))
    context = {"stay": stay, "sheet": whole, "point": point, "form": form, "answer": AnswerForm()}
    show = refused if request.method == "POST" else answer
    return show(request, "inspection/regrade_page.html", context)


@require_POST
@requires(*SHOP)
def answer_regrade(request: StaffRequest, pk: int, regrade: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(Regrade, finding__intake=stay, pk=regrade)
    form = AnswerForm(request.POST)
    if form.is_valid() and form.perform(grading.answer, regrade=row, by=request.user):
        return go(request, "inspection:sheet", pk=stay.pk)
    for fault in form.faults:
        messages.error(request, fault["sentence"])
    return go(request, "inspection:sheet", pk=stay.pk)


@require_http_methods(READ)
@requires(*LIMITS)
def limit_list(request: StaffRequest) -> HttpResponse:
    form = LimitForm(request.POST or None)
    if form.is_valid() and form.perform(keeping.set_limit, by=request.user):
        return go(request, "inspection:limit_list")
    context = {"limits": LimitTable(all_limits(request.user.program)), "form": form}
    show = refused if request.method == "POST" else answer
    return show(request, "inspection/limit_list.html", context)


@require_http_methods(READ)
@requires(*LIMITS)
def end_limit(request: StaffRequest, limit: int) -> HttpResponse:
    row = get_object_or_404(LocalLimit, program=request.user.program, pk=limit)
    form = EndLimitForm(request.POST or None)
    if form.is_valid() and form.perform(keeping.end_limit, limit=row, by=request.user):
        return go(request, "inspection:limit_list")
    show = refused if request.method == "POST" else answer
    return show(request, "inspection/end_limit.html", {"limit": row, "form": form})


def _stay(request: StaffRequest, pk: int) -> Intake:
    stays = Intake.objects.for_user(request.user).select_related("vehicle", "program")
    return get_object_or_404(stays, pk=pk)


def _found(
    stay: Intake, criterion: str, position: str, *, final: bool | None
) -> tuple[Sheet, Point]:
    found = sheet_with_point(stay, (criterion, position), final=final)
    if found is None:
        raise Http404
    return found


def _sheet_context(
    request: StaffRequest, stay: Intake, sent: BeginForm | None = None
) -> dict[str, Any]:
    """Return what the page of the sheet shows: one group at a time, or what may be begun."""
    wanted = request.GET.get("depth", "")
    whole = sheet_of(stay, Depth(wanted) if wanted in list(Depth) else None)
    at = request.GET.get("at", "")
    todo = next((group for group, left, _ in whole.groups if left), Group.WALK_ROUND)
    return {
        "stay": stay,
        "sheet": whole,
        "at": Group(at) if at in list(Group) else todo,
        "starts": starts_of(stay, whole, sent),
        "barred": barriers(stay, request.user, stay.program.today()),
        "may_set_limits": request.user.is_any_of(LIMITS),
    }


def _sent(
    request: StaffRequest, stay: Intake, criterion: str, position: str
) -> ReadingForm | NotReadForm:
    """Return the form that was sent for a point of this car; the sheet itself is not needed."""
    point = bare_point(stay, criterion, position)
    if point is None:
        raise Http404
    kind = NotReadForm if "because" in request.POST else ReadingForm
    return kind(request.POST, point=point)


def _record(stay: Intake, form: ReadingForm | NotReadForm, request: StaffRequest) -> object | None:
    """Record what was typed, or put what stands against it into the form."""
    if not form.is_valid():
        return None
    try:
        if isinstance(form, ReadingForm):
            return record_reading(intake=stay, typed=form.typed(), by=request.user)
        return record_not_read(intake=stay, missed=form.missed(), by=request.user)
    except ValidationError as refusal:
        form.refuse(refusal)
        return None


def _done(request: StaffRequest, stay: Intake, act: Callable[[], object]) -> HttpResponse:
    """Do one thing to the sheet and show it, with what was refused."""
    try:
        act()
    except ValidationError as refusal:
        for sentence in refusal.messages:
            messages.error(request, sentence)
    return go(request, "inspection:sheet", pk=stay.pk)


def _recorded(request: StaffRequest, stay: Intake, whole: Sheet, point: Point) -> HttpResponse:
    """Go on to the next unread point, and show there what came out."""
    following = whole.next_unread(point)
    if following is None:
        return go(request, "inspection:sheet", pk=stay.pk)
    after = f"?after={point.reading.pk}" if point.reading else ""
    return go(request, f"{address(stay, following)}{after}")


def _wants_json(request: StaffRequest) -> bool:
    """Return whether the sheet's own script asks, which sends what was read while offline."""
    return request.get_preferred_type(["text/html", "application/json"]) == "application/json"


def _as_json(
    request: StaffRequest, stay: Intake, whole: Sheet, now: Point, form: ReadingForm | NotReadForm
) -> JsonResponse:
    """Return what was recorded, or why not and what stands there, and the parts it changed."""
    section = whole.section(now.criterion.code)
    shown = {"stay": stay, "sheet": whole, "section": section, "at": now.criterion.group}
    parts = render(request, f"{PAGE}#parts", shown | {"just": now}).content.decode()
    values = {"parts": parts, "left": whole.left, "read": whole.read, "total": whole.total}
    if form.is_valid():
        return JsonResponse({"recorded": now.values} | values)
    said = " ".join(fault["sentence"] for fault in form.faults)
    values |= {"refused": said, "stands": now.values if now.seen_id else None}
    return JsonResponse(values, status=HTTPStatus.UNPROCESSABLE_ENTITY)


def address(stay: Intake, point: Point) -> str:
    """Return the address of the page of one point."""
    places = [point.position] if point.position else []
    return reverse("inspection:reading_page", args=[stay.pk, point.criterion.code, *places])


def _context(
    stay: Intake, whole: Sheet, point: Point | None, forms: dict[str, Any]
) -> dict[str, Any]:
    return {
        "stay": stay,
        "sheet": whole,
        "active": point,
        "form": forms.get("form"),
        "cant": forms.get("cant"),
        "rest": forms.get("rest"),
        "good_key": uuid4(),
        "at": point.criterion.group if point else "",
        "action": address(stay, point) if point else "",
        "section": whole.section(point.criterion.code) if point else None,
    }
