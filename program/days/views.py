"""The days: what is booked, what goes wrong, what is proposed then, and the calendar of it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from django.contrib import messages
from django.core.exceptions import PermissionDenied, ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from program.days import actions
from program.days.calendar_file import Event, calendar
from program.days.forms import FORMS, CalendarForm
from program.days.gathering import facts_now
from program.days.models import CalendarFeed, Trouble
from program.days.pictures import days_board
from program.days.queries import KIND, calendars, feed_bookings
from program.days.sheet import days_sheet, monday_of, newest_proposal, trouble_in_words
from program.days.states import TroubleKind
from shared import htmx
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import SHOP
from shared.jobs.actions import ask_to_stop
from shared.jobs.models import Job
from shared.links.access import private_link
from shared.links.purposes import LinkPurpose
from shared.links.queries import link_url
from shared.people.queries import KEEPERS
from shared.problems import Problem
from shared.say import Say
from vehicles.shop.models import Bay

if TYPE_CHECKING:
    from django.http import HttpRequest

    from program.days.models import Booking
    from shared.accounts.models import Program
    from shared.links.models import AccessLink

READ = ["GET", "HEAD", "POST"]
KEPT_IN_CALENDARS = dt.timedelta(days=30)  # how far back a calendar reaches


@require_safe
@requires(*SHOP)
def week(request: StaffRequest) -> HttpResponse:
    """Show a week: one's own next work, the board, and each day as a list."""
    program = _program(request)
    today = program.today()
    try:
        first_on = monday_of(request.GET.get("from", ""), today)
    except ValueError as error:
        raise Http404 from error
    sheet = days_sheet(request.user, program, first_on, today)
    bays = Bay.objects.filter(program=program, closed_on=None).values_list("name", flat=True)
    context = {
        "sheet": sheet,
        "today": today,
        "board": days_board([day.on for day in sheet.days], bays, sheet.lines),
        "proposal": newest_proposal(program),
        "keeps": _keeps(request),
    }
    return render(request, "days/week.html", context)


@require_POST
@requires(*KEEPERS)
def replan_ask(request: StaffRequest) -> HttpResponse:
    """Ask for the days anew, from what is booked and what went wrong."""
    actions.ask_replan(program=_program(request), by=request.user)
    return redirect("days:proposal")


@require_POST
@requires(*KEEPERS)
def replan_stop(request: StaffRequest, pk: int) -> HttpResponse:
    """Take the best days found so far."""
    try:
        ask_to_stop(job=_job(request, pk), by=request.user)
    except ValidationError as refusal:
        messages.warning(request, refusal.messages[0])
    return redirect("days:proposal")


@require_safe
@requires(*SHOP)
def proposal(request: StaffRequest) -> HttpResponse:
    """Show what would move, or that it is being computed."""
    found = newest_proposal(_program(request))
    if htmx.wants_part(request) and found and not found.computing:
        return htmx.go(request, "days:proposal")
    context = {"proposal": found, "keeps": _keeps(request)}
    return htmx.answer(request, "days/proposal.html", context, part="progress")


@require_POST
@requires(*KEEPERS)
def proposal_accept(request: StaffRequest, pk: int) -> HttpResponse:
    """Book the days as proposed, unless something has changed since."""
    job, program = _job(request, pk), _program(request)
    found = newest_proposal(program)
    revision = found.revision if found and found.job.pk == job.pk else None
    facts = facts_now(program, revision.laid_out_at) if revision else None
    same = bool(facts and revision and facts.fingerprint == revision.fingerprint)
    rows = revision.slots if revision else ()
    try:
        actions.accept_replan(job=job, rows=rows, as_proposed=same, by=request.user)
    except ValidationError as refusal:
        return _refused(request, "The days were not booked", refusal)
    messages.success(request, "The days are booked as proposed.")
    return redirect("days:week")


@require_POST
@requires(*KEEPERS)
def proposal_keep(request: StaffRequest, pk: int) -> HttpResponse:
    """Leave the bookings as they stand."""
    try:
        actions.keep_days(job=_job(request, pk), by=request.user)
    except ValidationError as refusal:
        return _refused(request, "The proposal was not put aside", refusal)
    messages.success(request, "The bookings stay as they are.")
    return redirect("days:week")


@require_safe
@requires(*KEEPERS)
def trouble_list(request: StaffRequest) -> HttpResponse:
    """Ask what went wrong."""
    return render(request, "days/trouble_list.html", {"kinds": list(TroubleKind)})


@require_http_methods(READ)
@requires(*KEEPERS)
def trouble_tell(request: StaffRequest, kind: str) -> HttpResponse:
    """Record what went wrong with a day, and lay out the days anew."""
    if kind not in set(TroubleKind):
        raise Http404
    program, chosen = _program(request), TroubleKind(kind)
    sent = request.POST if request.method == "POST" else None
    form = FORMS[chosen](sent, user=request.user, today=program.today())
    if form.is_valid() and form.perform(
        actions.tell_trouble, program=program, kind=kind, by=request.user
    ):
        return htmx.go(request, "days:proposal")
    context = {"form": form, "heading": chosen.label}
    return (htmx.refused if sent else htmx.answer)(request, "days/trouble_tell.html", context)


@require_http_methods(READ)
@requires(*KEEPERS)
def trouble_take_back(request: StaffRequest, pk: int) -> HttpResponse:
    """Let a trouble count no longer, and lay out the days without it."""
    trouble = get_object_or_404(Trouble, program=_program(request), pk=pk)
    if request.method == "POST":
        try:
            actions.take_back_trouble(trouble=trouble, by=request.user)
        except ValidationError as refusal:
            return _refused(request, "This was not taken back", refusal)
        return redirect("days:proposal")
    context = {"trouble": trouble, "sentence": trouble_in_words(trouble)}
    return render(request, "days/trouble_take_back.html", context)


@require_http_methods(READ)
@requires(*KEEPERS)
def calendar_list(request: StaffRequest) -> HttpResponse:
    """Show the private links to the bookings, and make one."""
    program = _program(request)
    sent = request.POST if request.method == "POST" else None
    form = CalendarForm(sent, user=request.user)
    if form.is_valid() and form.perform(actions.make_calendar, program=program, by=request.user):
        messages.success(request, "The link is in the list.")
        return htmx.go(request, "days:calendar_list")
    rows = [(feed, link_url(feed.link)) for feed in calendars(program)]
    show = htmx.refused if sent else htmx.answer
    return show(request, "days/calendar_list.html", {"form": form, "rows": rows})


@require_POST
@requires(*KEEPERS)
def calendar_end(request: StaffRequest, pk: int) -> HttpResponse:
    """Take the link of a calendar back."""
    feeds = CalendarFeed.objects.filter(program=_program(request)).select_related("link")
    actions.end_calendar(feed=get_object_or_404(feeds, pk=pk), by=request.user)
    messages.success(request, "The link opens nothing any more.")
    return redirect("days:calendar_list")


@require_safe
@private_link(LinkPurpose.CALENDAR)
def calendar_feed(_request: HttpRequest, link: AccessLink) -> HttpResponse:
    """Return the bookings behind a private link as a calendar, without any household."""
    feeds = CalendarFeed.objects.select_related("program", "person")
    feed = get_object_or_404(feeds, link=link)
    rows = feed_bookings(feed, timezone.now() - KEPT_IN_CALENDARS)
    name = f"{feed.program}: {feed.person or 'the shop'}"
    content = calendar(name, [_event(row) for row in rows])
    return HttpResponse(content, content_type="text/calendar; charset=utf-8")


def _event(row: Booking) -> Event:
    return Event(
        uid=f"booking-{row.pk}-{row.program_id}@handback",
        summary=f"{row.case.number} {row.title}",
        where=str(row.bay or ""),
        begins_at=row.begins_at,
        ends_at=row.ends_at,
        made_at=row.made_at,
    )


def _job(request: StaffRequest, pk: int) -> Job:
    return get_object_or_404(Job, program=_program(request), kind=KIND, pk=pk)


def _keeps(request: StaffRequest) -> bool:
    return request.user.is_any_of(KEEPERS)


def _refused(request: StaffRequest, title: str, refusal: ValidationError) -> HttpResponse:
    problems = [Problem(Say(sentence)) for sentence in refusal.messages]
    context = {"title": title, "problems": problems, "back": reverse("days:week")}
    return htmx.refused(request, "422.html", context)


def _program(request: StaffRequest) -> Program:
    """Return the user's program; without one nobody holds a role that opens a page."""
    if request.user.program is None:
        raise PermissionDenied
    return request.user.program
