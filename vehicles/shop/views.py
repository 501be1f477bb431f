"""What is done to bays, spaces and equipment: each a form on a page of its own.

The pages that show them stand in the last room, which knows the cars and the cautions.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_http_methods, require_safe

from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import SHOP, RoleKind
from shared.people.queries import KEEPERS
from vehicles.shop import actions, forms, keeping
from vehicles.shop.models import Bay, BayClosure, Equipment, Space
from vehicles.shop.pdf import tag
from vehicles.shop.queries import as_typed, piece
from vehicles.shop.tables import dated

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import QueryDict

    from shared.accounts.access import StaffRequest
    from shared.accounts.models import Program
    from shared.forms import Form

RowT = TypeVar("RowT", Bay, BayClosure, Space, Equipment)
READ = ["GET", "HEAD", "POST"]
TECHNICIANS = SHOP - {RoleKind.VOLUNTEER}


@require_http_methods(READ)
@requires(*KEEPERS)
def bay_add(request: StaffRequest) -> HttpResponse:
    form = forms.BayForm(_sent(request))
    context = {"heading": "Add a bay", "button": "Add this bay"}
    return _form(request, form, actions.add_bay, context, program=_program(request))


@require_http_methods(READ)
@requires(*KEEPERS)
def bay_edit(request: StaffRequest, pk: int) -> HttpResponse:
    bay = _of(request, Bay, pk)
    initial = {"name": bay.name, "has_lift": bay.has_lift, "version": bay.version}
    form = forms.BayEditForm(_sent(request), initial=initial)
    context = {"heading": f"Change {bay}", "button": "Record the change"}
    return _form(request, form, actions.edit_bay, context, bay=bay)


@require_http_methods(READ)
@requires(*KEEPERS)
def bay_close_days(request: StaffRequest, pk: int) -> HttpResponse:
    bay = _of(request, Bay, pk)
    form = forms.CloseDaysForm(_sent(request), today=_program(request).today())
    context = {
        "heading": f"Close {bay} for some days",
        "button": "Close it on these days",
        "note": "The next plan counts without it on these days. A plan that is approved is not "
        "changed by this; plan the week again.",
    }
    return _form(request, form, actions.close_days, context, bay=bay)


@require_http_methods(READ)
@requires(*KEEPERS)
def closure_take_back(request: StaffRequest, pk: int) -> HttpResponse:
    closure = _of(request, BayClosure, pk)
    form = forms.NothingForm(_sent(request))
    context = {
        "heading": f"{closure.bay} can be used again",
        "button": "Take the days back",
        "note": f"It is closed from {dated(closure.from_on)} to {dated(closure.until_on)}: "
        f"{closure.reason}. The next plan counts it on these days.",
    }
    return _form(request, form, actions.take_back, context, closure=closure)


@require_http_methods(READ)
@requires(*KEEPERS)
def bay_close(request: StaffRequest, pk: int) -> HttpResponse:
    bay = _of(request, Bay, pk)
    note = "No plan counts it from today. Its record stays, and it can be opened again."
    return _close(request, bay, f"Close {bay} for good", note)


@require_http_methods(READ)
@requires(*KEEPERS)
def bay_reopen(request: StaffRequest, pk: int) -> HttpResponse:
    return _reopen(request, _of(request, Bay, pk), "The next plan counts it from today.")


@require_http_methods(READ)
@requires(*KEEPERS)
def space_add(request: StaffRequest) -> HttpResponse:
    form = forms.SpaceForm(_sent(request))
    context = {"heading": "Add a space", "button": "Add this space"}
    return _form(request, form, actions.add_space, context, program=_program(request))


@require_http_methods(READ)
@requires(*KEEPERS)
def space_close(request: StaffRequest, pk: int) -> HttpResponse:
    space = _of(request, Space, pk)
    note = "A car that stands there is told on the page of the shop until it is moved."
    return _close(request, space, f"Close {space}", note)


@require_http_methods(READ)
@requires(*KEEPERS)
def space_reopen(request: StaffRequest, pk: int) -> HttpResponse:
    return _reopen(request, _of(request, Space, pk), "Cars may stand there from today.")


@require_http_methods(READ)
@requires(*KEEPERS)
def equipment_add(request: StaffRequest) -> HttpResponse:
    form = forms.EquipmentForm(_sent(request), program=_program(request))
    context = {
        "heading": "Add a piece of equipment",
        "button": "Add this piece",
        "note": "Without the day of its last inspection, let somebody qualified look at it first.",
    }
    return _form(request, form, keeping.add_equipment, context, program=_program(request))


@require_http_methods(READ)
@requires(*KEEPERS)
def equipment_edit(request: StaffRequest, pk: int) -> HttpResponse:
    row = _of(request, Equipment, pk)
    form = forms.EquipmentEditForm(_sent(request), program=_program(request), initial=as_typed(row))
    context = {
        "piece": row,
        "heading": f"Change {row}",
        "button": "Record the change",
        "note": "When it is due next follows from its inspections.",
    }
    return _form(request, form, keeping.edit_equipment, context, equipment=row)


@require_http_methods(READ)
@requires(*TECHNICIANS)
def equipment_inspect(request: StaffRequest, pk: int) -> HttpResponse:
    row = _of(request, Equipment, pk)
    form = forms.InspectionForm(_sent(request), today=_program(request).today())
    context = {
        "piece": row,
        "heading": f"An inspection of {row}",
        "button": "Record this inspection",
        "note": f"Inspected every {row.interval_months} months. Record what the paper says, not "
        "what you were told.",
    }
    return _form(request, form, keeping.record_inspection, context, equipment=row)


@require_http_methods(READ)
@requires(*SHOP)
def equipment_tag_out(request: StaffRequest, pk: int) -> HttpResponse:
    row = _of(request, Equipment, pk)
    form = forms.TagOutForm(_sent(request))
    context = {
        "piece": row,
        "heading": f"Tag out {row}",
        "button": "Tag it out now",
        "note": "If in doubt, tag it out. From this moment nobody uses it, and the bay that it "
        "stops is out of the plan.",
    }
    return _form(request, form, keeping.tag_out, context, equipment=row)


@require_safe
@requires(*SHOP)
def equipment_tag(request: StaffRequest, pk: int) -> HttpResponse:
    row = _of(request, Equipment, pk)
    if not row.tagged_out:
        raise Http404
    program = _program(request)
    by = str(row.tagged_out_by or "")
    content = tag(piece(row), by=by, garage=program.name, day=program.today())
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="do-not-use-{row.pk}.pdf"'
    response["Cache-Control"] = "no-store"
    return response


@require_http_methods(READ)
@requires(*KEEPERS)
def equipment_back(request: StaffRequest, pk: int) -> HttpResponse:
    row = _of(request, Equipment, pk)
    form = forms.BackForm(_sent(request), initial={"version": row.version})
    context = {
        "piece": row,
        "heading": f"{row} goes back into use",
        "button": "Put it back into use",
        "note": "By your name you say that it is safe to use. Take the tag off yourself.",
    }
    return _form(request, form, keeping.put_back, context, equipment=row)


@require_http_methods(READ)
@requires(*KEEPERS)
def equipment_retire(request: StaffRequest, pk: int) -> HttpResponse:
    row = _of(request, Equipment, pk)
    form = forms.CloseForm(_sent(request), initial={"version": row.version})
    context = {
        "piece": row,
        "heading": f"Retire {row}",
        "button": "Retire it from today",
        "note": "It can’t be taken back. What is unsafe is made unusable before it is thrown away.",
    }
    return _form(request, form, keeping.retire, context, equipment=row)


def _close(request: StaffRequest, place: Bay | Space, heading: str, note: str) -> HttpResponse:
    form = forms.CloseForm(_sent(request), initial={"version": place.version})
    context = {"heading": heading, "button": "Close it from today", "note": note}
    return _form(request, form, actions.close_place, context, place=place)


def _reopen(request: StaffRequest, place: Bay | Space, note: str) -> HttpResponse:
    form = forms.VersionForm(_sent(request), initial={"version": place.version})
    context = {"heading": f"Open {place} again", "button": "Open it again", "note": note}
    return _form(request, form, actions.reopen_place, context, place=place)


def _form(
    request: StaffRequest,
    form: Form,
    action: Callable[..., Any],
    context: dict[str, Any],
    **target: Any,
) -> HttpResponse:
    """Show the form of one action, or do it and go to the page that shows what came of it."""
    if request.method == "POST" and form.is_valid():
        done = form.perform(action, by=request.user, **target)
        if done:
            messages.success(request, "Recorded.")
            row = done if isinstance(done, Equipment) else target.get("equipment")
            if row:
                return htmx.go(request, "shop:equipment_page", row.pk)
            return htmx.go(request, "shop:shop_page")
    show = htmx.refused if request.method == "POST" else htmx.answer
    return show(request, "shop/form.html", context | {"form": form})


def _sent(request: StaffRequest) -> QueryDict | None:
    return request.POST if request.method == "POST" else None


def _program(request: StaffRequest) -> Program:
    """Return the user's program; without one nobody holds a role that opens a page."""
    if request.user.program is None:
        raise PermissionDenied
    return request.user.program


def _of(request: StaffRequest, model: type[RowT], pk: int) -> RowT:
    return get_object_or_404(model._default_manager.filter(program=request.user.program_id), pk=pk)
