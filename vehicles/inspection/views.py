"""The sheet of a stay, and the page of one point."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.http import Http404, JsonResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_safe

from shared.accounts.access import requires
from shared.accounts.roles import SHOP
from shared.htmx import answer, go, refused, wants_part
from vehicles.inspection.actions import record_reading
from vehicles.inspection.forms import ReadingForm
from vehicles.inspection.queries import sheet_of
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest
    from vehicles.inspection.models import Reading
    from vehicles.inspection.queries import Point, Sheet

PAGE = "inspection/reading_page.html"


@require_safe
@requires(*SHOP)
def sheet(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    return answer(
        request, "inspection/sheet.html", {"stay": stay, "sheet": sheet_of(stay), "in_place": True}
    )


@require_http_methods(["GET", "HEAD", "POST"])
@requires(*SHOP)
def reading_page(
    request: StaffRequest, pk: int, criterion: str, position: str = ""
) -> HttpResponse:
    stay = _stay(request, pk)
    whole = sheet_of(stay)
    point = whole.point(criterion, position)
    if point is None:
        raise Http404
    form = ReadingForm(request.POST or None, point=point)
    if request.method != "POST":
        said = _just_read(whole, request.GET.get("after", ""))
        shown = None if stay.left_on else form
        context = _context(stay, whole, point, shown) | {"said": said}
        return answer(request, PAGE, context | _in_place(request), part="point")
    reading = _record(stay, form, request)
    whole = sheet_of(stay)
    now = whole.point(criterion, position) or point
    if _wants_json(request):
        return _as_json(whole, now, form)
    if reading is not None:
        return _recorded(request, stay, point, reading)
    form.show_again(now)
    context = _context(stay, whole, form.point, form) | _in_place(request)
    return refused(request, PAGE, context, part="point")


def _stay(request: StaffRequest, pk: int) -> Intake:
    stays = Intake.objects.for_user(request.user).select_related("vehicle")
    return get_object_or_404(stays, pk=pk)


def _record(stay: Intake, form: ReadingForm, request: StaffRequest) -> Reading | None:
    """Record what was typed, or put what stands against it into the form."""
    if not form.is_valid():
        return None
    try:
        return record_reading(intake=stay, typed=form.typed(), by=request.user)
    except ValidationError as refusal:
        form.refuse(refusal)
        return None


def _recorded(request: StaffRequest, stay: Intake, point: Point, reading: Reading) -> HttpResponse:
    """Go on to the next unread point; on the sheet, show what came out and open it in place."""
    whole = sheet_of(stay)
    following = whole.next_unread(point)
    if not wants_part(request):
        if following is None:
            return go(request, "inspection:sheet", pk=stay.pk)
        return go(request, f"{address(stay, following)}?after={reading.pk}")
    form = ReadingForm(point=following) if following else None
    context = _context(stay, whole, following, form)
    done = whole.section(point.criterion.code)
    extra = {"done": done, "just": reading, "in_place": True}
    return answer(request, PAGE, context | extra, part="recorded")


def _wants_json(request: StaffRequest) -> bool:
    """Return whether the sheet's own script asks, which sends what was read while offline."""
    return request.get_preferred_type(["text/html", "application/json"]) == "application/json"


def _as_json(whole: Sheet, now: Point, form: ReadingForm) -> JsonResponse:
    """Return what was recorded, or why not and what stands there instead."""
    count = {"left": whole.left, "read": whole.read, "total": whole.total}
    if form.is_valid():
        return JsonResponse({"recorded": now.values} | count)
    said = " ".join(fault["sentence"] for fault in form.faults)
    values = {"refused": said, "stands": now.values if now.reading else None} | count
    return JsonResponse(values, status=HTTPStatus.UNPROCESSABLE_ENTITY)


def address(stay: Intake, point: Point) -> str:
    """Return the address of the page of one point."""
    places = [point.position] if point.position else []
    return reverse("inspection:reading_page", args=[stay.pk, point.criterion.code, *places])


def _just_read(whole: Sheet, pk: str) -> Point | None:
    """Return the point whose reading the address names as the one recorded just before."""
    read = ((point, point.reading) for point in whole.points)
    return next((point for point, reading in read if reading and str(reading.pk) == pk), None)


def _in_place(request: StaffRequest) -> dict[str, Any]:
    return {"in_place": wants_part(request)}


def _context(
    stay: Intake, whole: Sheet, point: Point | None, form: ReadingForm | None
) -> dict[str, Any]:
    return {
        "stay": stay,
        "sheet": whole,
        "active": point,
        "form": form,
        "action": address(stay, point) if point else "",
        "section": whole.section(point.criterion.code) if point else None,
    }
