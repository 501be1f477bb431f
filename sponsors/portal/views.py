"""A sponsor's own pages. Nothing on them is about a household."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import translation
from django.utils.translation import gettext
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST

from shared import htmx
from shared.links.access import private_link
from shared.links.purposes import LinkPurpose
from shared.outbox.actions import opt_out
from shared.policy.queries import policies
from sponsors.pledges.actions import take_back
from sponsors.pledges.queries import given, pledges_of
from sponsors.portal import actions, queries
from sponsors.portal.access import sponsor_page
from sponsors.portal.forms import ConfirmForm, PledgeForm, PreferencesForm, nearest_pause
from sponsors.portal.tables import GivenTable, OtherWishTable, WishTable
from sponsors.register.actions import allow_mail, set_preferences

if TYPE_CHECKING:
    from django.http import HttpRequest, HttpResponse

    from shared.links.models import AccessLink
    from sponsors.portal.access import Visit


@sponsor_page
def need_list(request: HttpRequest, visit: Visit) -> HttpResponse:
    own, others = queries.fitting(visit.sponsor, queries.wishes(visit.sponsor.program))
    tables = {"own": WishTable(own, visit=visit), "others": OtherWishTable(others, visit=visit)}
    context = visit.context(count=len(own), first=own[0] if own else None, **tables)
    return htmx.answer(request, "portal/need_list.html", context)


@sponsor_page
def pledge_add(request: HttpRequest, visit: Visit, pk: int) -> HttpResponse:
    wish = queries.wish(visit.sponsor.program, pk)
    if wish is None:
        return render(request, "portal/need_gone.html", visit.context(), status=404)
    sent = request.method == "POST"
    today = visit.sponsor.program.today()
    form = PledgeForm(request.POST if sent else None, wish=wish, today=today)
    if sent and form.is_valid():
        who = {"sponsor": visit.sponsor, "by": visit.by}
        pledge = form.perform(actions.pledge_for, wish=wish, **who)
        if pledge:
            said = gettext("Thank you. Pledged: {count} × {part}.")
            messages.success(request, said.format(count=pledge.quantity, part=pledge.title))
            return htmx.go(request, visit.url("pledge_list"))
    context = visit.context(form=form, wish=wish)
    answer = htmx.refused if sent else htmx.answer
    return answer(request, "portal/pledge_add.html", context)


@sponsor_page
def pledge_list(request: HttpRequest, visit: Visit) -> HttpResponse:
    rows = queries.own_pledges(visit.sponsor)
    context = visit.context(table=GivenTable(rows, visit=visit), count=len(rows))
    return htmx.answer(request, "portal/pledge_list.html", context)


@sponsor_page
def pledge_take_back(request: HttpRequest, visit: Visit, pk: int) -> HttpResponse:
    pledge = get_object_or_404(pledges_of(visit.sponsor), pk=pk)
    sent = request.method == "POST"
    form = ConfirmForm(request.POST if sent else None)
    if sent and form.is_valid() and form.perform(take_back, pledge=pledge, by=visit.by):
        messages.success(request, gettext("Taken back: {part}.").format(part=pledge.title))
        return htmx.go(request, visit.url("pledge_list"))
    context = visit.context(form=form, pledge=given(pledge))
    answer = htmx.refused if sent else htmx.answer
    return answer(request, "portal/pledge_take_back.html", context)


@sponsor_page
def preferences(request: HttpRequest, visit: Visit) -> HttpResponse:
    sponsor, sent = visit.sponsor, request.method == "POST"
    usual = policies(sponsor.program, sponsor.program.today())["appeal_every_days"]
    initial = {
        "language": sponsor.address.language,
        "ask_every_days": nearest_pause(sponsor, usual),
    }
    form = PreferencesForm(request.POST if sent else None, initial=initial)
    if sent and form.is_valid() and form.perform(set_preferences, sponsor=sponsor, by=visit.by):
        with translation.override(form.cleaned_data["language"]):
            messages.success(request, gettext("Recorded."))
        return htmx.go(request, visit.url("preferences"))
    context = visit.context(form=form, stopped=sponsor.address.opted_out_at)
    answer = htmx.refused if sent else htmx.answer
    return answer(request, "portal/preferences.html", context)


@require_POST
@sponsor_page
def mail(request: HttpRequest, visit: Visit) -> HttpResponse:
    """Stop all appeals, or let them come again."""
    if request.POST.get("mail") == "again":
        allow_mail(sponsor=visit.sponsor, by=visit.by)
        messages.success(request, gettext("We write to you again."))
    else:
        opt_out(visit.sponsor.address, by=visit.by)
        messages.success(request, gettext("No more mail that asks goes to you."))
    return redirect(visit.url("preferences"))


@csrf_exempt  # a mail program sends the POST of RFC 8058 without any page of ours before it
@private_link(LinkPurpose.UNSUBSCRIBE)
def stop_mail(request: HttpRequest, link: AccessLink) -> HttpResponse:
    """Ask whether mail is to stop; only a POST stops it, since scanners open links."""
    sponsor = queries.sponsor_of_stop(link)
    if sponsor is None:
        raise Http404
    if request.method == "POST":
        opt_out(sponsor.address)
    with translation.override(sponsor.address.language):
        context = {
            "garage": sponsor.program.name,
            "program": sponsor.program,
            "stopped": sponsor.address.opted_out_at is not None,
        }
        return render(request, "portal/stop_mail.html", context)
