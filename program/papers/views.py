"""The papers behind entries, and the spends that lack one."""

from __future__ import annotations

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods, require_safe

from program.ledger.access import BOOKS, program_of
from program.ledger.models import Entry
from program.papers.actions import add_paper
from program.papers.filters import EntryFilter
from program.papers.forms import PaperForm
from program.papers.models import Paper
from program.papers.queries import entries_without_paper, open_paper
from program.papers.reading import PaperKind
from program.papers.tables import PaperTable, WithoutPaperTable
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.htmx import answer, go, refused
from shared.tables import table_page

READ = ("GET", "HEAD", "POST")


@require_safe
@requires(*OFFICE)
def missing_list(request: StaffRequest) -> HttpResponse:
    """Show the spends that nobody put a paper behind."""
    rows = entries_without_paper(program_of(request)).select_related("by")
    return table_page(
        request, WithoutPaperTable, rows, "papers/missing_list.html", filterset=EntryFilter
    )


@require_http_methods(READ)
@requires(*OFFICE)
def entry_papers(request: StaffRequest, pk: int) -> HttpResponse:
    """Show the papers behind an entry; who keeps the books adds one."""
    entry = get_object_or_404(Entry.objects.for_user(request.user), pk=pk)
    may_add = request.user.is_any_of(BOOKS)
    if request.method == "POST" and not may_add:
        raise PermissionDenied
    form = PaperForm(request.POST, request.FILES) if request.method == "POST" else PaperForm()
    if form.is_valid() and (row := form.perform(add_paper, entry=entry, by=request.user)):
        messages.success(request, f"Kept behind entry {entry.pk}: {row.name}.")
        return go(request, "papers:entry_papers", pk=entry.pk)
    context = {
        "entry": entry,
        "papers": PaperTable(entry.papers.select_related("by")),
        "form": form if may_add else None,
    }
    return (refused if form.errors else answer)(request, "papers/entry_papers.html", context)


@require_safe
@requires(*OFFICE)
def paper_file(request: StaffRequest, pk: int) -> HttpResponse:
    """Hand out the file: a photo to look at, a PDF to keep; nothing in it may run."""
    row = get_object_or_404(Paper.objects.for_user(request.user), pk=pk)
    try:
        data = open_paper(row)
    except FileNotFoundError as gone:
        raise Http404 from gone
    kind = PaperKind(row.kind)
    how = "inline" if kind is PaperKind.JPEG else "attachment"
    name = f"paper-{row.entry_id}-{row.pk}.{kind.ending}"
    return HttpResponse(
        data,
        content_type=kind.value,
        headers={
            "Cache-Control": "private, no-store",
            "Content-Disposition": f'{how}; filename="{name}"',
            "Content-Security-Policy": "default-src 'none'; sandbox",
            "X-Content-Type-Options": "nosniff",
        },
    )
