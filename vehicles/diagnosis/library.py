"""The fault models of a program: read, change, send to another program, take from one."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any, Final

from django.contrib import messages
from django.core import signing
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods, require_safe

from shared.accounts.access import requires
from shared.accounts.roles import SHOP, RoleKind
from shared.htmx import go
from shared.tables import table_page
from vehicles.diagnosis.archive import MOST_UPLOAD_BYTES, file_name, packed, unpacked
from vehicles.diagnosis.complaints import text_of
from vehicles.diagnosis.computing import models_of
from vehicles.diagnosis.forms import (
    ModelTextForm,
    ModelUploadForm,
    TakeOverForm,
    WithdrawForm,
)
from vehicles.diagnosis.gathering import is_readable, model_of
from vehicles.diagnosis.keeping import add_model, compared, save_model, take_over, use_shipped
from vehicles.diagnosis.modelfile import problems
from vehicles.diagnosis.models import Diagnosis, KeptModel
from vehicles.diagnosis.outline import START, checks_of
from vehicles.diagnosis.pictures import effect_bars, graph_of_model, shipped_bars
from vehicles.diagnosis.queries import own_texts, text_in_use
from vehicles.diagnosis.revision import changes
from vehicles.diagnosis.shelf import compared_with_last, history, model_lines
from vehicles.diagnosis.tables import ModelTable

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shared.accounts.access import StaffRequest
    from shared.accounts.models import Program
    from shared.forms import Form
    from vehicles.diagnosis.keeping import Incoming

READ = ["GET", "HEAD", "POST"]
KEEPERS = (RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN)
SALT: Final = "vehicles.diagnosis.parcel"
A_DAY: Final = 24 * 60 * 60  # seconds in which what was shown may be taken over


@require_safe
@requires(*SHOP)
def model_list(request: StaffRequest) -> HttpResponse:
    lines = model_lines(_program(request))
    extra = {"may_change": request.user.is_any_of(KEEPERS)}
    return table_page(request, ModelTable, lines, "diagnosis/model_list.html", extra=extra)


@require_safe
@requires(*SHOP)
def model_page(request: StaffRequest, complaint: str) -> HttpResponse:
    program = _program(request)
    text, own = _in_force(program, complaint)
    shipped = _shipped(complaint)
    context: dict[str, Any] = {
        "complaint": complaint,
        "own": own,
        "has_shipped": bool(shipped),
        "history": history(program, complaint),
        "learns": complaint in models_of(program),
        "may_change": request.user.is_any_of(KEEPERS),
        "mistakes": [],
    }
    if not is_readable(text):
        context |= {"title": own.title if own else complaint, "mistakes": problems(text)}
        return render(request, "diagnosis/model_page.html", context)
    model = model_of(text)
    context |= {
        "model": model,
        "title": model.title,
        "checks": checks_of(model),
        "bars": shipped_bars(model),
        "graph": graph_of_model(model),
    }
    return render(request, "diagnosis/model_page.html", context)


@require_safe
@requires(*SHOP)
def model_text(request: StaffRequest, complaint: str, number: int) -> HttpResponse:
    rows = KeptModel.objects.for_user(request.user).select_related("by", "program")
    row = get_object_or_404(rows, complaint=complaint, number=number)
    shipped = "" if row.origin == "shipped" else _shipped(complaint)
    context = {"row": row, "compared": compared_with_last(row, shipped)}
    return render(request, "diagnosis/model_text.html", context)


@require_http_methods(READ)
@requires(*KEEPERS)
def edit_model(request: StaffRequest, complaint: str) -> HttpResponse:
    program = _program(request)
    text, own = _in_force(program, complaint)
    initial = {"text": text, "seen_number": own.number if own else 0}
    form = ModelTextForm(request.POST or None, initial=initial)
    tried = None
    if form.is_valid() and "check" in request.POST:
        tried = _effect(program, complaint, text, form)
    elif form.is_valid():
        row = form.perform(save_model, program=program, complaint=complaint, by=request.user)
        if row:
            return go(request, "diagnosis:model_text", complaint=complaint, number=row.number)
    title = model_of(text).title if is_readable(text) else complaint
    context = {"form": form, "complaint": complaint, "title": title, "tried": tried}
    return render(request, "diagnosis/model_edit.html", context, status=_status(form))


@require_http_methods(READ)
@requires(*KEEPERS)
def new_model(request: StaffRequest) -> HttpResponse:
    program = _program(request)
    form = ModelTextForm(request.POST or None, initial={"text": START})
    del form.fields["seen_number"]
    tried = None
    if form.is_valid() and "check" in request.POST:
        tried = _effect(program, "", "", form)
    elif form.is_valid():
        row = form.perform(add_model, program=program, by=request.user)
        if row:
            return go(request, "diagnosis:model_page", complaint=row.complaint)
    context = {"form": form, "complaint": "", "title": "", "tried": tried}
    return render(request, "diagnosis/model_edit.html", context, status=_status(form))


@require_http_methods(READ)
@requires(*KEEPERS)
def shipped_model(request: StaffRequest, complaint: str) -> HttpResponse:
    program = _program(request)
    _, own = _in_force(program, complaint)
    if own is None or not _shipped(complaint):
        raise Http404
    form = WithdrawForm(request.POST or None)
    if form.is_valid():
        form.perform(use_shipped, program=program, complaint=complaint, by=request.user)
        if not form.errors:
            return go(request, "diagnosis:model_page", complaint=complaint)
    context = {"own": own, "form": form}
    return render(request, "diagnosis/model_shipped.html", context, status=_status(form))


@require_safe
@requires(*SHOP)
def model_file(request: StaffRequest, complaint: str) -> HttpResponse:
    text, own = _in_force(_program(request), complaint)
    version = model_of(text).version if is_readable(text) else own.version if own else ""
    return _download(text.encode(), "text/plain; charset=utf-8", file_name(complaint, version))


@require_safe
@requires(*SHOP)
def all_models(request: StaffRequest) -> HttpResponse:
    program = _program(request)
    own = own_texts(program)
    texts = {
        file_name(code, model.version): own.get(code) or text_of(code)
        for code, model in sorted(models_of(program).items())
    }
    return _download(packed(texts), "application/zip", "fault-models.zip")


@require_http_methods(READ)
@requires(*KEEPERS)
def take_models(request: StaffRequest) -> HttpResponse:
    program = _program(request)
    sending = "parcel" not in request.POST
    upload = ModelUploadForm(request.POST or None, request.FILES or None) if sending else None
    take = None if sending else TakeOverForm(request.POST)
    found: Sequence[Incoming] = ()
    if upload and upload.is_valid():
        found = _opened(program, upload)
        take = _offer(program, found)
    elif take and take.is_valid():
        rows = take.perform(_take, program=program, by=request.user)
        if rows:
            titles = ", ".join(row.title for row in rows)
            messages.success(request, f"Taken over: {titles}.")
            return go(request, "diagnosis:model_list")
    bad = any(one.mistakes for one in found)
    shown: dict[str, Any] = {"upload": upload or ModelUploadForm(), "take": take, "found": found}
    status = _status(upload, None if sending else take, bad=bad)
    shown["has_mistakes"] = bad
    return render(request, "diagnosis/model_take.html", shown, status=status)


def _program(request: StaffRequest) -> Program:
    if request.user.program is None:
        raise Http404
    return request.user.program


def _in_force(program: Program, complaint: str) -> tuple[str, KeptModel | None]:
    try:
        return text_in_use(program, complaint)
    except ValidationError as error:
        raise Http404 from error


def _shipped(complaint: str) -> str:
    """Return the shipped text of a complaint; empty where it is the program's own."""
    try:
        return text_of(complaint)
    except ValueError:
        return ""


def _effect(program: Program, complaint: str, text: str, form: Form) -> dict[str, Any]:
    """Return what a text would change, without saving it."""
    model = model_of(form.cleaned_data["text"])
    before = model_of(text) if text and is_readable(text) else None
    going_on = Diagnosis.objects.open().filter(program=program, complaint=complaint)
    return {
        "other": model.code if complaint and model.code != complaint else "",
        "is_same": form.cleaned_data["text"] == text,
        "changes": changes(before, model) if before else None,
        "bars": effect_bars(before, model) if before else shipped_bars(model),
        "going_on": going_on.count(),
    }


def _opened(program: Program, upload: Form) -> Sequence[Incoming]:
    """Return what was sent against what is here; what can't be opened is said in the form."""
    file = upload.cleaned_data["file"]
    try:
        return compared(program, unpacked(file.name, file.read(MOST_UPLOAD_BYTES + 1)))
    except ValueError as error:
        upload.add_error("file", str(error))
        return ()


def _offer(program: Program, found: Sequence[Incoming]) -> TakeOverForm | None:
    """Return the form that takes over what differs; None where nothing does or a file is wrong."""
    texts = {
        one.model.code: (one.file.text, one.number)
        for one in found
        if one.model and not one.is_same
    }
    if not texts or any(one.mistakes for one in found):
        return None
    parcel = signing.dumps({"program": program.pk, "texts": texts}, salt=SALT, compress=True)
    return TakeOverForm(initial={"parcel": parcel})


def _take(*, program: Program, parcel: str, because: str, by: Any) -> list[KeptModel]:
    """Take over what was shown.

    Raises:
        ValidationError: it is not what was shown, or was shown too long ago; or an action refuses.
    """
    try:
        held = signing.loads(parcel, salt=SALT, max_age=A_DAY)
    except signing.BadSignature:
        held = {}
    if held.get("program") != program.pk:
        raise ValidationError("What was shown can’t be taken over any more. Send the file again.")
    texts = {code: (text, number) for code, (text, number) in held["texts"].items()}
    return take_over(program=program, texts=texts, because=because, by=by)


def _download(content: bytes, kind: str, name: str) -> HttpResponse:
    response = HttpResponse(content, content_type=kind)
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    response["Cache-Control"] = "no-store"
    return response


def _status(*typed: Form | None, bad: bool = False) -> int:
    wrong = any(form is not None and form.is_bound and not form.is_valid() for form in typed)
    return HTTPStatus.UNPROCESSABLE_ENTITY if wrong or bad else HTTPStatus.OK
