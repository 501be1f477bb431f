"""The coordinator's pages of imports: sending sheets, what came of it, and how sheets look."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_GET, require_POST
from django_htmx.http import HttpResponseClientRefresh

from program.importing import actions, archive, queries
from program.importing.forms import AgainForm, UploadForm
from program.importing.models import ImportRun
from program.importing.sheets import SHEETS, template
from program.importing.states import ImportState
from program.importing.tables import CountTable, ProblemTable, RunTable
from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import RoleKind
from shared.jobs.queries import how_far
from shared.tables import table_page

if TYPE_CHECKING:
    from shared.accounts.access import StaffRequest


@requires(RoleKind.COORDINATOR)
def run_list(request: StaffRequest) -> HttpResponse:
    """Show the imports and take an upload."""
    runs = ImportRun.objects.for_user(request.user).select_related("by")
    form = UploadForm(request.POST or None, request.FILES or None)
    if request.method == "POST" and form.is_valid():
        run = form.perform(actions.ask_import, by=request.user)
        if run:
            return redirect("importing:run_page", run.pk)
    response = table_page(request, RunTable, runs, "importing/run_list.html", extra={"form": form})
    if form.errors:
        response.status_code = HTTPStatus.UNPROCESSABLE_ENTITY
    return response


@require_GET
@requires(RoleKind.COORDINATOR)
def run_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show how far an import is, and then what came of it."""
    run = get_object_or_404(ImportRun.objects.for_user(request.user), pk=pk)
    if run.state == ImportState.ASKED:
        words = how_far(request.user, queries.job_key(run)) | {
            "title": run.name,
            "list_name": "Imports",
            "list_url": reverse("importing:run_list"),
            "doing": run.progress,
        }
        return htmx.answer(request, "jobs/asked.html", words, part="state")
    if htmx.wants_part(request) and request.headers.get("HX-Target") == "state":
        return HttpResponseClientRefresh()
    extra: dict[str, Any] = {"run": run}
    if run.state == ImportState.DONE:
        extra["counts"] = CountTable(queries.counts(run))
        extra["notes"], extra["written"] = queries.notes(run), queries.written(run)
        return htmx.answer(request, "importing/run_done.html", extra)
    extra["form"] = AgainForm(run=run)
    extra["may_leave_out"] = bool(run.file) and any(one.get("ref") for one in run.problems)
    return table_page(
        request, ProblemTable, list(run.problems), "importing/run_refused.html", extra=extra
    )


@require_POST
@requires(RoleKind.COORDINATOR)
def try_again(request: StaffRequest, pk: int) -> HttpResponse:
    """Ask for a refused import once more, without the rows that were ticked."""
    run = get_object_or_404(ImportRun.objects.for_user(request.user), pk=pk)
    form = AgainForm(request.POST, run=run)
    again = form.perform(actions.ask_again, run=run, by=request.user) if form.is_valid() else None
    if again:
        return redirect("importing:run_page", again.pk)
    for fault in form.faults:
        messages.error(request, fault["sentence"])
    return redirect("importing:run_page", run.pk)


@require_GET
@requires(RoleKind.COORDINATOR)
def sheet_list(request: StaffRequest) -> HttpResponse:
    """Show every sheet with its columns."""
    return htmx.answer(request, "importing/sheet_list.html", {"sheets": SHEETS.values()})


@require_GET
@requires(RoleKind.COORDINATOR)
def sheet_template(_request: StaffRequest, name: str) -> HttpResponse:
    """Hand out the template of one sheet."""
    if name not in SHEETS:
        raise Http404
    return _download(f"{name}.csv", template(SHEETS[name]).encode(), "text/csv; charset=utf-8")


@require_GET
@requires(RoleKind.COORDINATOR)
def all_templates(_request: StaffRequest) -> HttpResponse:
    """Hand out the templates of all sheets as one zip."""
    sheets = {name: template(sheet).encode() for name, sheet in SHEETS.items()}
    return _download("sheets.zip", archive.packed(sheets), "application/zip")


def _download(name: str, content: bytes, kind: str) -> HttpResponse:
    response = HttpResponse(content, content_type=kind)
    response["Content-Disposition"] = f'attachment; filename="{name}"'
    return response
