"""The estimate of a car, prices of its parts, what jobs took, and how estimates came out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import Q
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shared.accounts.access import requires
from shared.accounts.roles import SHOP, RoleKind
from shared.htmx import answer, go, refused
from shared.policy.actions import set_policies
from shared.policy.queries import policies
from shared.tables import table_page
from vehicles.estimates import actions
from vehicles.estimates.actuals import Kind
from vehicles.estimates.computing import estimate_of, missing, outlook, paper_of, record_of
from vehicles.estimates.forms import (
    ActualsForm,
    CorrectionForm,
    FinishForm,
    QuoteForm,
    WithdrawQuoteForm,
)
from vehicles.estimates.models import Quote
from vehicles.estimates.pdf import estimate_paper
from vehicles.estimates.pictures import plot
from vehicles.estimates.queries import (
    cash_job,
    conditions_of,
    is_open,
    labor_job,
    may_be_used,
    prices_of,
)
from vehicles.estimates.tables import EstimateTable, JobRow, JobTable, PriceTable, estimate_rows
from vehicles.intake.models import Intake
from vehicles.repairs.actions import mark_done, rank_now
from vehicles.repairs.models import Need, RepairItem
from vehicles.repairs.queries import asks_cost
from vehicles.repairs.states import ItemState

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shared.accounts.access import StaffRequest

READ = ["GET", "HEAD", "POST"]
RECORD = (RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN, RoleKind.TREASURER)
LANGUAGES = ("en", "es")
PRICES = "estimates/prices.html"
CORRECTIONS = ("labor_correction_percent", "parts_correction_percent")


@require_safe
@requires(*SHOP)
def estimate_page(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    estimate = estimate_of(stay)
    table = EstimateTable(estimate_rows(estimate, stay))
    may = request.user.is_any_of(set(RECORD))
    context = {"stay": stay, "estimate": estimate, "lines": table, "may_see_record": may}
    return answer(request, "estimates/estimate_page.html", context)


@require_safe
@requires(*SHOP)
def estimate_file(request: StaffRequest, pk: int, language: str) -> HttpResponse:
    stay = _stay(request, pk)
    paper = paper_of(stay) if language in LANGUAGES else None
    if paper is None:
        raise Http404
    name = f"estimate-{stay.pk}-{language}.pdf"
    return _file(estimate_paper(paper, language), "application/pdf", name)


@require_http_methods(READ)
@requires(*SHOP)
def need_prices(request: StaffRequest, pk: int, need: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(Need, item__intake=stay, pk=need)
    return _prices(request, stay, row)


@require_http_methods(READ)
@requires(*SHOP)
def item_prices(request: StaffRequest, pk: int, item: int) -> HttpResponse:
    stay = _stay(request, pk)
    return _prices(request, stay, get_object_or_404(stay.items, pk=item))


@require_POST
@requires(*SHOP)
def choose_quote(request: StaffRequest, pk: int, quote: int) -> HttpResponse:
    row = _quote(request, pk, quote)
    try:
        actions.choose_quote(quote=row, by=request.user)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
    else:
        messages.success(request, f"The estimate counts with the price of {row.supplier} now.")
    return go(request, _about_url(row))


@require_POST
@requires(*SHOP)
def withdraw_quote(request: StaffRequest, pk: int, quote: int) -> HttpResponse:
    row, form = _quote(request, pk, quote), WithdrawQuoteForm(request.POST)
    if form.is_valid() and form.perform(actions.withdraw_quote, quote=row, by=request.user):
        messages.success(request, f"Withdrawn: the price of {row.supplier}.")
    else:
        messages.error(request, " ".join(fault["sentence"] for fault in form.faults))
    return go(request, _about_url(row))


@require_safe
@requires(*SHOP)
def quote_file(request: StaffRequest, pk: int, quote: int) -> HttpResponse:
    row = _quote(request, pk, quote)
    if row.paper is None:
        raise Http404
    end = "pdf" if row.paper_type == "application/pdf" else "jpg"
    return _file(bytes(row.paper), row.paper_type, f"price-{row.pk}.{end}")


@require_http_methods(READ)
@requires(*SHOP)
def finish_item(request: StaffRequest, pk: int, item: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(stay.items.prefetch_related("needs"), pk=item, state=ItemState.OPEN)
    form = FinishForm(request.POST or None)
    today = stay.program.today()
    if form.is_valid() and form.perform(mark_done, item=row, on=today, by=request.user):
        rank_now(stay)
        messages.success(request, f"Done: {row.title}.")
        return go(request, "repairs:item_list", pk=stay.pk)
    context = {"stay": stay, "item": row, "form": form, "asks_cost": asks_cost(row)}
    return (refused if form.errors else answer)(request, "estimates/finish_item.html", context)


@require_http_methods(READ)
@requires(*SHOP)
def record_actuals(request: StaffRequest, pk: int, item: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(stay.items.prefetch_related("needs"), pk=item, state=ItemState.DONE)
    form = ActualsForm(request.POST or None, item=row)
    if form.is_valid() and form.perform(actions.record_actuals, item=row, by=request.user):
        messages.success(request, f"Recorded: what “{row.title}” took.")
        return go(request, "repairs:item_list", pk=stay.pk)
    context = {"stay": stay, "item": row, "form": form, "missing": missing(row)}
    return (refused if form.errors else answer)(request, "estimates/record_actuals.html", context)


@require_safe
@requires(*RECORD)
def record(request: StaffRequest) -> HttpResponse:
    found, items = record_of(_program(request))
    labor = [job for item in items if (job := labor_job(item))]
    extra = {
        "record": found,
        "count": len(items),
        "plot": plot(labor, Kind.LABOR) if found.labor else None,
        "labor": found.labor and found.labor.sentence(Kind.LABOR),
        "cash": found.cash and found.cash.sentence(Kind.CASH),
        "now": policies(_program(request), _program(request).today()),
    }
    rows = _job_rows(request, items)
    return table_page(request, JobTable, rows, "estimates/record.html", extra=extra)


@require_http_methods(READ)
@requires(*RECORD)
def correct(request: StaffRequest) -> HttpResponse:
    program = _program(request)
    found, _ = record_of(program)
    now = policies(program, program.today())
    form = CorrectionForm(request.POST or None, initial={name: now[name] for name in CORRECTIONS})
    if form.is_valid():
        values = {name: form.cleaned_data[name] for name in CORRECTIONS}
        because = form.cleaned_data["because"]
        if form.perform(_set, program=program, values=values, reason=because, by=request.user):
            messages.success(request, "Set. Estimates count with it from now on.")
            return go(request, "estimates:record")
    context = {"form": form, "record": found, "outlook": outlook(program, found), "now": now}
    return (refused if form.errors else answer)(request, "estimates/correct.html", context)


def _set(*, program: Any, values: dict[str, int], reason: str, by: Any, **_typed: Any) -> object:
    return set_policies(program=program, values=values, because=reason, by=by)


def _prices(request: StaffRequest, stay: Intake, about: Need | RepairItem) -> HttpResponse:
    """Return the prices of a need or an item's work elsewhere, and record one more."""
    today, need = stay.program.today(), about if isinstance(about, Need) else None
    said = conditions_of(need) if need else None
    sent, taken = (request.POST or None, request.FILES or None), said.taken if said else ()
    form = QuoteForm(*sent, today=today, need=need, taken=taken)
    row = form.is_valid() and form.perform(actions.record_quote, about=about, by=request.user)
    if row:
        why = may_be_used(row, form.cleaned_data["worn"])
        messages.success(request, f"Recorded: a price of {row.supplier}. {why or ''}".strip())
        return go(request, request.path)
    may_change = is_open(about)
    context = {
        "stay": stay,
        "about": about,
        "need": need,
        "item": need.item if need else about,
        "prices": PriceTable(prices_of(about, today), stay=stay, may_change=may_change),
        "said": said,
        "form": form if may_change else None,
    }
    return (refused if form.errors else answer)(request, PRICES, context)


def _job_rows(request: StaffRequest, items: Iterable[RepairItem]) -> list[JobRow]:
    shop = request.user.is_any_of(set(SHOP))
    seen = set(Intake.objects.for_user(request.user).values_list("pk", flat=True) if shop else ())
    return [_job_row(item, linked=item.intake_id in seen) for item in items]


def _job_row(item: RepairItem, *, linked: bool) -> JobRow:
    labor, cash = labor_job(item), cash_job(item)
    return JobRow(
        title=item.title,
        system=item.get_system_display(),
        done_on=item.done_on,
        likely_minutes=item.labor_likely_minutes,
        took_minutes=item.took_minutes,
        likely_cents=(cash.likely or None) if cash else None,
        cost_cents=item.cost_cents,
        ratio=labor.ratio if labor and labor.counts else None,
        url=reverse("estimates:record_actuals", args=[item.intake_id, item.pk]) if linked else "",
    )


def _program(request: StaffRequest) -> Any:
    return request.user.program


def _stay(request: StaffRequest, pk: int) -> Intake:
    stays = Intake.objects.for_user(request.user).select_related("vehicle", "program")
    return get_object_or_404(stays, pk=pk)


def _quote(request: StaffRequest, pk: int, quote: int) -> Quote:
    stay = _stay(request, pk)
    rows = Quote.objects.filter(Q(need__item__intake=stay) | Q(item__intake=stay))
    return get_object_or_404(rows.select_related("need__item", "item"), pk=quote)


def _about_url(quote: Quote) -> str:
    if quote.need:
        return reverse("estimates:need_prices", args=[quote.need.item.intake_id, quote.need_id])
    return reverse("estimates:item_prices", args=[quote.item.intake_id, quote.item_id])  # type: ignore[union-attr]


def _file(data: bytes, kind: str, name: str) -> HttpResponse:
    """Return a private file; a browser neither keeps it nor takes it for something else."""
    return HttpResponse(
        data,
        content_type=kind,
        headers={
            "Cache-Control": "private, no-store",
            "Content-Disposition": f'attachment; filename="{name}"',
            "X-Content-Type-Options": "nosniff",
        },
    )
