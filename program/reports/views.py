"""The file of the books: asking for one, how far it is, handing it out."""

from __future__ import annotations

from django.http import FileResponse, Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.views.decorators.http import require_GET
from django_htmx.http import HttpResponseClientRefresh

from program.closing.models import YearFile
from program.ledger.access import BOOKS, program_of
from program.reports.actions import ask_year_file, job_key
from program.reports.forms import YearFileForm
from program.reports.queries import stored
from program.reports.tables import YearFileTable, days_of
from shared import htmx
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.audit.actions import log_event
from shared.jobs.queries import how_far
from shared.tables import table_page


@requires(*OFFICE)
def file_list(request: StaffRequest) -> HttpResponse:
    """Show the files that were made, and ask for another."""
    program = program_of(request)
    may_ask = request.user.is_any_of(BOOKS)
    form = YearFileForm(request.POST or None, program=program)
    if request.method == "POST" and not may_ask:
        raise Http404
    if form.is_bound and form.is_valid() and (file := form.perform(ask_year_file, by=request.user)):
        return redirect("reports:file", file.pk)
    files = YearFile.objects.for_user(request.user).select_related("asked_by")
    extra = {"form": form, "may_ask": may_ask}
    response = table_page(request, YearFileTable, files, "reports/file_list.html", extra=extra)
    if form.errors:
        response.status_code = 422
    return response


@require_GET
@requires(*OFFICE)
def file(request: StaffRequest, pk: int) -> HttpResponse:
    """Show how far a file is, and then what is in it."""
    found = _file(request, pk)
    if not found.made_at:
        words = how_far(request.user, job_key(found)) | {
            "title": days_of(found),
            "list_name": "The books as a file",
            "list_url": reverse("reports:file_list"),
        }
        return htmx.answer(request, "jobs/asked.html", words, part="state")
    if htmx.wants_part(request):
        return HttpResponseClientRefresh()
    return htmx.answer(request, "reports/file_made.html", {"file": found, "days": days_of(found)})


@require_GET
@requires(*OFFICE)
def download(request: StaffRequest, pk: int) -> FileResponse:
    """Hand out the zip, and note who took it."""
    found = _file(request, pk)
    if not found.made_at:
        raise Http404
    name = f"books-{found.from_on}-to-{found.until_on}.zip"
    log_event(found, "The file of the books was taken.", by=request.user)
    return FileResponse(
        stored(found.path), as_attachment=True, filename=name, content_type="application/zip"
    )


def _file(request: StaffRequest, pk: int) -> YearFile:
    files = YearFile.objects.for_user(request.user).select_related("program", "asked_by")
    return get_object_or_404(files, pk=pk)
