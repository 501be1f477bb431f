"""A car arrives; the papers and keys of its stay, with a small page for each thing recorded."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import translation
from django.views.decorators.http import require_POST, require_safe

from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import SHOP, RoleKind
from vehicles.custody import actions, approving, forms, keeping, queries
from vehicles.custody.acts import Act
from vehicles.custody.conditions import Step
from vehicles.custody.gathering import sheet_of_stay
from vehicles.intake import pdf
from vehicles.intake.check import VinState
from vehicles.intake.decoding import decode
from vehicles.intake.forms import ReceiveForm
from vehicles.intake.models import Intake, Vehicle
from vehicles.intake.queries import find_vin, open_stay_of

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    from django.http import QueryDict

    from shared.accounts.access import StaffRequest
    from shared.forms import Form
    from vehicles.intake.check import VinLook
    from vehicles.intake.queries import VinFound

DECIDERS = (RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN)
PAGE = "custody/form_page.html"


# ---- a car arrives ----


@require_safe
@requires(*SHOP)
def new_car(request: StaffRequest) -> HttpResponse:
    typed = request.GET.get("vin", "")
    context = {
        "typed": typed,
        "found": find_vin(typed, request.user, _today(request).year),
        "expected": queries.expected(request.user),
    }
    return htmx.answer(request, "intake/new_car.html", context, part="told")


@requires(*SHOP)
def receive_car(request: StaffRequest, vehicle: int | None = None) -> HttpResponse:
    """Receive a known vehicle, or a new one under the VIN of the address; it may have none."""
    cars = Vehicle.objects.for_user(request.user)
    row = get_object_or_404(cars, pk=vehicle) if vehicle else None
    found = find_vin(
        row.vin if row else request.GET.get("vin", ""), request.user, _today(request).year
    )
    elsewhere = _elsewhere(row, found)
    if elsewhere and request.method != "POST":  # sending a form twice is answered once more
        return elsewhere
    form = _receiving(request, row, found.look)
    stay = form.is_valid() and form.perform(actions.receive_vehicle, vehicle=row, by=request.user)
    if stay:
        messages.success(request, "Recorded: the car is here.")
        return redirect("intake:vehicle_page", pk=stay.pk)
    answer = htmx.refused if form.errors else htmx.answer
    context = {"form": form, "vehicle": row, "look": found.look}
    return answer(request, "intake/receive_car.html", context)


def _receiving(request: StaffRequest, row: Vehicle | None, look: VinLook) -> ReceiveForm:
    today = _today(request)
    return ReceiveForm(
        _sent(request),
        vehicle=row,
        suggested=decode(look.vin, today.year),
        first={"vin": look.vin, "year": look.year, "arrived_on": today},
    )


def _elsewhere(row: Vehicle | None, found: VinFound) -> HttpResponse | None:
    """Return where to go on with a car that is here, is known, or has a wrong VIN."""
    if row:
        stay = open_stay_of(row)
        return redirect("intake:vehicle_page", pk=stay.pk) if stay else None
    if found.vehicle:
        return redirect("intake:receive_car", found.vehicle.pk)
    if found.barred or found.look.state is VinState.WRONG:
        return redirect(reverse("intake:new_car", query={"vin": found.look.vin}))
    return None


def _today(request: StaffRequest) -> dt.date:
    if request.user.program is None:
        raise PermissionDenied
    return request.user.program.today()


@require_safe
@requires(*SHOP)
def intake_sheet(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    url = settings.SITE_URL + reverse("desk:stay_case", args=[stay.pk])
    content = pdf.intake_sheet(sheet_of_stay(stay, url))
    name = f'inline; filename="intake-{stay.pk}.pdf"'
    headers = {"Content-Disposition": name, "Cache-Control": "no-store"}
    return HttpResponse(content, content_type="application/pdf", headers=headers)


# ---- papers and keys ----


@require_safe
@requires(*SHOP)
def custody_page(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    condition = getattr(stay.vehicle, "condition", None)
    tag = getattr(stay, "key_tag", None)
    standing = getattr(stay, "standing", None)
    found = queries.authority(stay, stay.program.today())
    may_decide = request.user.is_any_of(DECIDERS) and not stay.left_on
    context = {
        "stay": stay,
        "acts": queries.act_rows(stay, found),
        "against": queries.against(found),
        "standing": standing,
        "may_decide": may_decide,
        "to_decide": may_decide and standing and actions.is_to_decide(standing),
        "owners": queries.owners(stay),
        "may_sign": queries.may_sign(stay),
        "tag": tag,
        "key_moves": tag.moves.select_related("by")[:10] if tag else [],
        "contents": queries.contents(stay),
        "tows": stay.tows.all(),
        "condition": condition,
        "beside": queries.beside(condition, request.user),
        "move": forms.MoveForm(condition=condition) if condition and not stay.left_on else None,
    }
    return render(request, "custody/custody_page.html", context)


@require_POST
@requires(*SHOP)
def move_vehicle(request: StaffRequest, pk: int) -> HttpResponse:
    stays = Intake.objects.for_user(request.user).open()
    stay = get_object_or_404(stays.select_related("vehicle__condition"), pk=pk)
    form = forms.MoveForm(request.POST, condition=stay.vehicle.condition)
    moved = None
    if form.is_valid():
        moved = form.perform(keeping.move_vehicle, vehicle=stay.vehicle, by=request.user)
    if moved:
        messages.success(request, f"Recorded: the car is “{Step(moved.step).label}”.")
    for other in queries.beside(moved, request.user):
        messages.warning(request, f"There stands also: {other}.")
    for fault in form.faults:
        messages.error(request, fault["sentence"])
    return redirect("intake:vehicle_page", pk=stay.pk)


@requires(*SHOP)
def record_standing(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = forms.StandingForm(_sent(request), standing=getattr(stay, "standing", None))
    return _answer(request, stay, form, actions.record_standing, intake=stay)


@requires(*DECIDERS)
def decide_standing(request: StaffRequest, pk: int) -> HttpResponse:
    stay = get_object_or_404(_stays(request).filter(standing__isnull=False), pk=pk)
    form = forms.DecideForm(_sent(request), initial={"version": stay.standing.version})
    about = queries.stops(stay)
    return _answer(
        request, stay, form, actions.decide_standing, about=about, standing=stay.standing
    )


@requires(*SHOP)
def name_owner(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = forms.OwnerForm(_sent(request), today=stay.program.today())
    return _answer(request, stay, form, actions.name_owner, intake=stay)


@requires(*SHOP)
def end_owner(request: StaffRequest, pk: int, owner: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(stay.vehicle.owners, pk=owner)
    form = forms.EndOwnerForm(_sent(request))
    return _answer(request, stay, form, actions.end_owner, about=row.name, intake=stay, owner=row)


@requires(*SHOP)
def give_consents(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    asked = request.POST.get("language") or request.GET.get("language", "en")
    language = asked if translation.check_for_language(asked) else "en"
    act = request.GET.get("act", "")
    form = forms.ConsentForm(
        _sent(request), stay=stay, language=language, act=act if act in set(Act) else ""
    )
    return _answer(
        request, stay, form, approving.give_consents, page="custody/consent.html", intake=stay
    )


@requires(*SHOP)
def withdraw_consent(request: StaffRequest, pk: int, consent: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(stay.consents.select_related("owner"), pk=consent)
    about = f"{row.owner.name}: {Act(row.act).label.lower()}"
    form = forms.WithdrawForm(_sent(request))
    return _answer(request, stay, form, approving.withdraw_consent, about=about, consent=row)


@requires(*SHOP)
def keep_keys(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = forms.KeysForm(_sent(request), tag=getattr(stay, "key_tag", None))
    return _answer(request, stay, form, actions.keep_keys, intake=stay)


@requires(*SHOP)
def return_keys(request: StaffRequest, pk: int) -> HttpResponse:
    stay = get_object_or_404(_stays(request).filter(key_tag__isnull=False), pk=pk)
    form = forms.ReturnKeysForm(_sent(request), today=stay.program.today())
    about = f"Tag {stay.key_tag.tag}"
    return _answer(request, stay, form, keeping.return_keys, about=about, tag=stay.key_tag)


@requires(*SHOP)
def list_content(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    return _answer(
        request, stay, forms.ContentForm(_sent(request)), actions.list_content, intake=stay
    )


@requires(*SHOP)
def return_content(request: StaffRequest, pk: int, content: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(stay.contents, pk=content)
    form = forms.ReturnContentForm(_sent(request), today=stay.program.today())
    return _answer(request, stay, form, keeping.return_content, about=row.what, content=row)


@requires(*DECIDERS)
def decide_content(request: StaffRequest, pk: int, content: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(stay.contents, pk=content)
    form = forms.DecideContentForm(_sent(request))
    return _answer(request, stay, form, actions.decide_content, about=row.what, content=row)


@requires(*SHOP)
def order_tow(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = forms.TowForm(_sent(request), today=stay.program.today())
    return _answer(request, stay, form, keeping.order_tow, intake=stay)


def _stays(request: StaffRequest) -> Any:
    rows = Intake.objects.for_user(request.user)
    return rows.select_related("vehicle__condition", "program", "key_tag", "standing")


def _stay(request: StaffRequest, pk: int) -> Intake:
    found: Intake = get_object_or_404(_stays(request), pk=pk)
    return found


def _sent(request: StaffRequest) -> QueryDict | None:
    return request.POST if request.method == "POST" else None


def _answer(  # what each small page has of its own
    request: StaffRequest,
    stay: Intake,
    form: Form,
    action: Callable[..., Any],
    *,
    about: str = "",
    page: str = PAGE,
    **others: Any,
) -> HttpResponse:
    """Do what was sent and return to the papers and keys, or show the form of one step."""
    if form.is_valid() and form.perform(action, by=request.user, **others):
        messages.success(request, "Recorded.")
        return redirect("custody:custody_page", pk=stay.pk)
    answer = htmx.refused if form.errors else htmx.answer
    return answer(request, page, {"stay": stay, "form": form, "about": about})
