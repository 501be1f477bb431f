"""A stay as it began: what was told, the walk-round, its paper, and its photos.

Photos are sent in pieces, in the spirit of the IETF draft “Resumable Uploads for HTTP” (its header
names and the media type `application/partial-upload`): POST announces a photo and answers with a
Location, HEAD says how far it is, PATCH appends a piece. GET answers with the thumbnail once it is
kept.
"""

from __future__ import annotations

from http import HTTPStatus
from secrets import token_hex
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.template.loader import render_to_string
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shared.accounts.access import requires
from shared.accounts.roles import SHOP
from vehicles.intake import actions, keeping, pdf, storing, writing
from vehicles.intake.forms import (
    BeginForm,
    CaptionForm,
    ChangeArrivalForm,
    MarkForm,
    PhotosForm,
    VoidForm,
)
from vehicles.intake.images import MOST_BYTES
from vehicles.intake.kinds import PhotoAbout
from vehicles.intake.models import Intake, Photo, Upload
from vehicles.intake.queries import (
    around,
    mark_rows,
    offset_of,
    photo_groups,
    photos_of,
    refused_uploads,
    unfinished,
)
from vehicles.intake.walk_round import DRAWING, VIEWS, MarkKind, touched

if TYPE_CHECKING:
    from uuid import UUID

    from shared.accounts.access import StaffRequest
    from shared.forms import Form

PIECE = "application/partial-upload"
HOUR = 60 * 60


# ---- arrival and walk-round ----


@requires(*SHOP)
def change_arrival(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    if stay.left_on:
        raise Http404
    form = ChangeArrivalForm(request.POST if request.method == "POST" else None, stay=stay)
    if form.is_valid() and form.perform(actions.change_arrival, intake=stay, by=request.user):
        messages.success(request, "Recorded: what was told.")
        return redirect("intake:vehicle_page", pk=stay.pk)
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
    return render(
        request, "intake/change_arrival.html", {"stay": stay, "form": form}, status=status
    )


@requires(*SHOP)
def walk_round(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = MarkForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        mark = form.perform(writing.place_mark, intake=stay, by=request.user)
        if mark:
            messages.success(request, f"Marked: {MarkKind(mark.kind).label.lower()}, {mark.area}.")
            return redirect("intake:walk_round", pk=stay.pk)
    photos = photos_of(stay, PhotoAbout.WALK_ROUND)
    rows = mark_rows(stay, photos)
    seen = {row.key for row in rows}
    context = {
        "stay": stay,
        "form": form,
        "rows": rows,
        "photos": [one for key, some in photos.items() if key not in seen for one in some],
        "drawing": DRAWING,
        "views": VIEWS,
        "areas": touched(),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form.errors else HTTPStatus.OK
    return render(request, "intake/walk_round.html", context, status=status)


@require_POST
@requires(*SHOP)
def void_mark(request: StaffRequest, pk: int, mark: int) -> HttpResponse:
    row = get_object_or_404(_stay(request, pk).marks, pk=mark)
    try:
        writing.void_mark(mark=row, by=request.user)
    except ValidationError as refusal:
        messages.error(request, refusal.messages[0])
    else:
        messages.success(request, f"Taken away: {row.area}.")
    return redirect("intake:walk_round", pk=pk)


# ---- paper ----


@require_safe
@requires(*SHOP)
def paper_form(request: StaffRequest) -> HttpResponse:
    """Return the empty form; each print has a number of its own."""
    program = request.user.program
    if program is None:
        raise PermissionDenied
    today = program.today()
    number = f"P{today:%y%m%d}-{token_hex(2).upper()}"
    content = pdf.paper_form(garage=program.name, number=number, day=today)
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="intake-{number}.pdf"'
    return response


# ---- photos ----


@require_http_methods(["GET", "HEAD", "POST"])
@requires(*SHOP)
def photo_list(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = PhotosForm(request.POST, request.FILES) if request.method == "POST" else None
    if form and form.is_valid():
        sent = form.perform(keeping.receive_photos, intake=stay, by=request.user)
        if sent:
            messages.success(request, f"Here: {len(sent)}. They are prepared in a moment.")
            return redirect("intake:photo_list", pk=stay.pk)
    context = {
        "stay": stay,
        "groups": photo_groups(stay),
        "coming": unfinished(stay).count(),
        "refused": refused_uploads(stay, request.user),
        "faults": form.faults if form else [],
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if form else HTTPStatus.OK
    return render(request, "intake/photo_list.html", context, status=status)


@require_POST
@requires(*SHOP)
def begin_upload(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = BeginForm(request.POST)
    begun = None
    if form.is_valid():
        begun = form.perform(keeping.begin_upload, intake=stay, by=request.user)
    if begun is None:
        return _refusal(form.faults[0]["sentence"])
    response = _progress(begun, HTTPStatus.CREATED)
    response["Location"] = reverse("intake:upload", args=[stay.pk, begun.client_key])
    return response


@require_http_methods(["GET", "HEAD", "PATCH"])
@requires(*SHOP)
def upload(request: StaffRequest, pk: int, client_key: UUID) -> HttpResponse:
    own = Upload.objects.filter(by=request.user, intake=_stay(request, pk))
    found = get_object_or_404(own.select_related("photo"), client_key=client_key)
    if request.method == "PATCH":
        try:
            return _append(request, found)
        except ValidationError as refusal:
            return _refusal(refusal.messages[0])
    return _state(found)


def _state(found: Upload) -> HttpResponse:
    """Answer how far a photo is, and with its thumbnail once it is kept."""
    if found.refused_because:
        return _refusal(found.refused_because)
    if found.photo is None:
        whole = found.received == found.size
        return _progress(found, HTTPStatus.ACCEPTED if whole else HTTPStatus.NO_CONTENT)
    if found.photo.voided_at:
        return _refusal("This photo was taken away.")
    html = render_to_string("intake/photo.html", {"photo": found.photo})
    return _progress(found, HTTPStatus.OK, JsonResponse({"html": html}))


def _append(request: StaffRequest, found: Upload) -> HttpResponse:
    """Append one piece, if it is one and begins where the bytes so far end."""
    offset = request.headers.get("Upload-Offset", "")
    if request.content_type != PIECE:
        return _refusal(f"A piece is sent as {PIECE}.", HTTPStatus.UNSUPPORTED_MEDIA_TYPE)
    if not offset.isascii() or not offset.isdigit():
        return _refusal("Upload-Offset says where a piece begins.", HTTPStatus.BAD_REQUEST)
    if len(request.body) > keeping.MOST_OF_A_PIECE:
        return _refusal("A piece holds 1 MB at most.", HTTPStatus.REQUEST_ENTITY_TOO_LARGE)
    try:
        found = keeping.append_piece(upload=found, offset=int(offset), piece=request.body)
    except keeping.WrongOffsetError:
        found.refresh_from_db()
        return _progress(found, HTTPStatus.CONFLICT)
    return _progress(found, HTTPStatus.NO_CONTENT)


def _progress(
    found: Upload, status: HTTPStatus, response: HttpResponse | None = None
) -> HttpResponse:
    response = response or HttpResponse(status=status)
    offset = offset_of(found)
    response["Upload-Offset"] = str(offset)
    response["Upload-Complete"] = "?1" if offset == found.size else "?0"
    response["Upload-Limit"] = f"max-size={MOST_BYTES}"
    response["Cache-Control"] = "no-store"
    return response


def _refusal(sentence: str, status: HTTPStatus = HTTPStatus.UNPROCESSABLE_ENTITY) -> HttpResponse:
    return HttpResponse(sentence, status=status, content_type="text/plain; charset=utf-8")


@require_http_methods(["GET", "HEAD", "POST"])
@requires(*SHOP)
def photo_page(request: StaffRequest, pk: int, photo: int) -> HttpResponse:
    row = _photo(request, pk, photo)
    describe = CaptionForm(request.POST or None, initial={"caption": row.caption})
    if describe.is_valid() and describe.perform(storing.describe_photo, photo=row, by=request.user):
        messages.success(request, "Recorded: the caption.")
        return redirect("intake:photo_page", pk=pk, photo=photo)
    return _shown(request, row, describe=describe)


@require_POST
@requires(*SHOP)
def void_photo(request: StaffRequest, pk: int, photo: int) -> HttpResponse:
    row = _photo(request, pk, photo)
    form = VoidForm(request.POST)
    if form.is_valid() and form.perform(storing.void_photo, photo=row, by=request.user):
        messages.success(request, "Deleted: the photo. Its reason is in the log.")
        return redirect("intake:photo_list", pk=pk)
    return _shown(request, row, void=form)


@require_safe
@requires(*SHOP)
def photo_file(request: StaffRequest, pk: int, photo: int) -> HttpResponse:
    row = _photo(request, pk, photo)
    if row.voided_at:
        raise Http404
    try:
        data = storing.open_photo(row, thumb=request.GET.get("size") == "thumb")
    except FileNotFoundError as gone:
        raise Http404 from gone
    return HttpResponse(
        data,
        content_type="image/jpeg",
        headers={
            "Cache-Control": f"private, max-age={HOUR}",
            "Content-Disposition": f'inline; filename="photo-{row.pk}.jpg"',
            "X-Content-Type-Options": "nosniff",
        },
    )


def _shown(request: StaffRequest, row: Photo, **forms: Form) -> HttpResponse:
    before, after = around(row)
    bad = any(form.errors for form in forms.values())
    context: dict[str, Any] = {
        "stay": row.intake,
        "photo": row,
        "name": row.caption or f"Photo {row.pk}",
        "before": before,
        "after": after,
        "describe": CaptionForm(initial={"caption": row.caption}),
        "void": VoidForm(),
    }
    status = HTTPStatus.UNPROCESSABLE_ENTITY if bad else HTTPStatus.OK
    return render(request, "intake/photo_page.html", context | forms, status=status)


def _photo(request: StaffRequest, pk: int, photo: int) -> Photo:
    photos = Photo.objects.for_user(request.user).filter(intake=_stay(request, pk))
    return get_object_or_404(photos.select_related("intake__vehicle", "by"), pk=photo)


def _stay(request: StaffRequest, pk: int) -> Intake:
    stays = Intake.objects.for_user(request.user)
    return get_object_or_404(stays.select_related("vehicle", "program"), pk=pk)
