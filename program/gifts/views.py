"""Gifts with a purpose: entered, tested, accepted or refused, booked."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from program.funds.views import RulePage
from program.gifts import actions, forms
from program.gifts.earmarks import preference
from program.gifts.models import Offer
from program.gifts.queries import DECIDERS, against, fund_of, may_not_decide, next_steps
from program.gifts.sheet import tested
from program.gifts.states import OfferState
from program.gifts.tables import OfferTable
from program.ledger.access import BOOKS, program_of
from program.ledger.tables import capital
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.audit.models import Event
from shared.tables import table_page

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse

    from shared.forms import Form

FIELDS = (
    "giver",
    "sponsor",
    "cents",
    "income",
    "on",
    "terms",
    "fund",
    "fund_name",
    "lapses_on",
    "barrier",
    "returns",
    "arrived",
    "version",
)


@require_GET
@requires(*OFFICE)
def offer_list(request: StaffRequest) -> HttpResponse:
    """Show every gift with a purpose."""
    rows = Offer.objects.for_user(request.user).select_related("fund")
    extra = {
        "may_enter": request.user.is_any_of(BOOKS),
        "waiting": rows.filter(state=OfferState.OFFERED).count(),
    }
    return table_page(request, OfferTable, rows, "gifts/offer_list.html", extra=extra)


@require_http_methods(["GET", "POST"])
@requires(*BOOKS)
def offer_new(request: StaffRequest) -> HttpResponse:
    """Write down a gift that somebody offers."""
    program, today = program_of(request), program_of(request).today()
    given: dict[str, Any] = {"user": request.user, "today": today, "initial": {"on": today}}
    form = forms.NewOfferForm(request.POST or None, **given)
    if form.is_valid() and (
        offer := form.perform(actions.enter_offer, program=program, by=request.user)
    ):
        messages.success(request, "Entered. Below is what it would do.")
        return redirect("gifts:offer_page", offer.pk)
    return _form_page(request, form, title="Enter a gift with a purpose", button="Enter this gift")


def _form_page(request: StaffRequest, form: Form, **context: object) -> HttpResponse:
    status = 422 if form.errors else 200
    return render(request, "gifts/form_page.html", {"form": form} | context, status=status)


@require_http_methods(["GET", "POST"])
@requires(*BOOKS)
def offer_edit(request: StaffRequest, pk: int) -> HttpResponse:
    """Change a gift before it is decided; with `?prefer` its terms are offered as a preference."""
    offer = _offer(request, pk)
    initial = {name: getattr(offer, name) for name in FIELDS}
    if "prefer" in request.GET:
        initial["terms"] = str(preference())
    given: dict[str, Any] = {"user": request.user, "today": offer.program.today()}
    form = forms.EditOfferForm(request.POST or None, initial=initial, **given)
    if form.is_valid() and form.perform(actions.change_offer, offer=offer, by=request.user):
        messages.success(request, "Recorded.")
        return redirect("gifts:offer_page", offer.pk)
    return _form_page(request, form, title=f"Change the {offer}", button="Keep this", offer=offer)


@require_http_methods(["GET", "POST"])
@requires(*BOOKS)
def offer_rule(request: StaffRequest, pk: int) -> HttpResponse:
    """Try what the new fund of a gift may pay for, and keep it."""
    offer = _offer(request, pk)
    page = RulePage(request, offer.program, fund_of(offer), version=offer.version, is_new=True)
    if page.save.is_valid() and page.save.perform(
        actions.set_offer_rule, offer=offer, by=request.user
    ):
        messages.success(request, "The rule of the gift is kept.")
        return redirect("gifts:offer_page", offer.pk)
    back = reverse("gifts:offer_page", args=[offer.pk])
    return page.answer(owner=capital(str(offer)), back=back, in_force="", needs_donor=False)


@require_GET
@requires(*OFFICE)
def offer_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show a gift, what it would do, and what is to be decided."""
    return _page(request, _offer(request, pk))


def _offer(request: StaffRequest, pk: int) -> Offer:
    rows = Offer.objects.for_user(request.user)
    beside = ("program", "fund", "sponsor", "by", "decided_by", "entry", "met_entry")
    return get_object_or_404(rows.select_related(*beside), pk=pk)


FORMS: dict[str, type[Form]] = {
    "accept": forms.AcceptForm,
    "refuse": forms.RefuseForm,
    "receive": forms.ReceiveForm,
    "meet": forms.MeetForm,
    "take_back": forms.TakeBackForm,
}


def _page(request: StaffRequest, offer: Offer, sent: dict[str, Form] | None = None) -> HttpResponse:
    steps = next_steps(offer)
    context = {
        "offer": offer,
        "fund": fund_of(offer),
        "steps": steps,
        "test": tested(offer) if steps.decide else None,
        "not_you": may_not_decide(offer, request.user) if steps.decide else None,
        "may_enter": request.user.is_any_of(BOOKS),
        "log": Event.objects.about("offer", offer.pk).select_related("by"),
        "forms": {name: _form(name, offer) for name in FORMS} | (sent or {}),
    }
    return render(request, "gifts/offer_page.html", context, status=422 if sent else 200)


def _form(name: str, offer: Offer, typed: Any = None) -> Form:
    today = offer.program.today()
    given: dict[str, Any] = {} if name in {"refuse", "take_back"} else {"today": today}
    initial = {"on": today, "version": offer.version}
    return FORMS[name](typed, initial=initial, auto_id=f"{name}_%s", **given)


def _step(
    request: StaffRequest, pk: int, name: str, act: Callable[..., Offer], said: str
) -> HttpResponse:
    """Do one step of a gift, or show the page with what stands against it."""
    offer = _offer(request, pk)
    form = _form(name, offer, request.POST)
    if form.is_valid() and form.perform(act, offer=offer, by=request.user):
        messages.success(request, said)
        return redirect("gifts:offer_page", offer.pk)
    if _is_open(name, offer):
        return _page(request, offer, {name: form})
    for fault in form.faults:
        messages.error(request, fault["sentence"])
    return redirect("gifts:offer_page", offer.pk)


def _is_open(name: str, offer: Offer) -> bool:
    """Return whether the page of a gift still has the form of this step."""
    steps = next_steps(offer)
    decide = steps.decide and not (name == "accept" and against(offer))
    shown = {"receive": steps.arrive, "meet": steps.meet, "take_back": bool(steps.undo)}
    return shown.get(name, decide)


@require_POST
@requires(*DECIDERS)
def offer_accept(request: StaffRequest, pk: int) -> HttpResponse:
    """Accept a gift and book it."""
    return _step(request, pk, "accept", actions.accept_offer, "Accepted.")


@require_POST
@requires(*DECIDERS)
def offer_refuse(request: StaffRequest, pk: int) -> HttpResponse:
    """Refuse a gift, with a reason."""
    return _step(request, pk, "refuse", actions.refuse_offer, "Refused. Nothing was booked.")


@require_POST
@requires(*BOOKS)
def offer_receive(request: StaffRequest, pk: int) -> HttpResponse:
    """Book that the money of an accepted gift came."""
    return _step(request, pk, "receive", actions.receive_offer, "Booked: the money is here.")


@require_POST
@requires(*BOOKS)
def offer_meet(request: StaffRequest, pk: int) -> HttpResponse:
    """Book the income of a gift whose condition is reached."""
    return _step(request, pk, "meet", actions.meet_offer, "Booked: now it is income.")


@require_POST
@requires(*BOOKS)
def offer_take_back(request: StaffRequest, pk: int) -> HttpResponse:
    """Take back the last step of a gift; what it booked is reversed."""
    return _step(request, pk, "take_back", actions.take_back, "Taken back.")
