"""Pages of people: who is there and whose papers run out, and what one person may do today."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.shortcuts import get_object_or_404

from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import SHOP
from shared.dates import add_weeks, parse_date, week_start
from shared.people import actions, keeping, queries
from shared.people.filters import PersonFilter
from shared.people.forms import (
    EndForm,
    HoursForm,
    LeaveForm,
    PaperForm,
    PersonEditForm,
    PersonForm,
    SameForm,
    SkillForm,
    as_typed,
)
from shared.people.hours import from_rows, in_words
from shared.people.kinds import PaperKind, PersonKind, skill_in_words
from shared.people.may import ADULT_YEARS, age
from shared.people.models import Credential, Person, Skill
from shared.people.tables import KINDS, PersonTable, paper_lines, skill_lines
from shared.tables import table_page

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable

    from django.http import HttpResponse, QueryDict

    from shared.accounts.access import StaffRequest
    from shared.accounts.models import Program
    from shared.forms import Form
    from shared.people.models import WeekHours

KEEPERS = sorted(queries.KEEPERS)


@requires(*SHOP)
def person_list(request: StaffRequest) -> HttpResponse:
    rows = queries.with_next_end(queries.people_for(request.user))
    extra = {
        "may_change": request.user.is_any_of(KEEPERS),
        "soon": len(queries.running_out(request.user, _today(request))),
    }
    template = "people/person_list.html"
    return table_page(request, PersonTable, rows, template, filterset=PersonFilter, extra=extra)


@requires(*SHOP)
def person_page(request: StaffRequest, pk: int) -> HttpResponse:
    rows = queries.people_for(request.user).select_related("user")
    rows = rows.prefetch_related("skills__signed_by", "credentials__seen_by")
    person, today = get_object_or_404(rows, pk=pk), _today(request)
    may_change = request.user.is_any_of(KEEPERS)
    context = {
        "person": person,
        "today": today,
        "hours_are": KINDS[PersonKind(person.kind)],
        "age": _age_in_words(person, today),
        "answers": queries.answers(person, today),
        "skills": skill_lines(person, today),
        "papers": paper_lines(person, today),
        "weeks": [line for line in queries.weeks_ahead(person, today) if line.row],
        "may_change": may_change,
        "may_sign": may_change and person.user_id != request.user.pk,
    }
    return htmx.answer(request, "people/person_page.html", context)


@requires(*KEEPERS)
def person_add(request: StaffRequest) -> HttpResponse:
    form = PersonForm(_sent(request), user=request.user)
    context = {"heading": "Add a person", "button": "Add this person"}
    return _form(
        request, form, actions.add_person, context, said="On the list.", program=_program(request)
    )


@requires(*KEEPERS)
def person_edit(request: StaffRequest, pk: int) -> HttpResponse:
    person = _person(request, pk)
    form = PersonEditForm(
        _sent(request), user=request.user, person=person, initial=as_typed(person)
    )
    context = {"person": person, "heading": f"Change {person}", "button": "Record the change"}
    return _form(request, form, actions.edit_person, context, said="Changed.", person=person)


@requires(*KEEPERS)
def person_leave(request: StaffRequest, pk: int) -> HttpResponse:
    person = _person(request, pk)
    initial = {"left_on": person.left_on or _today(request), "version": person.version}
    form = LeaveForm(_sent(request), initial=initial)
    context = {
        "person": person,
        "heading": f"{person} leaves",
        "button": "Record the last day",
        "note": "From the day after, none of the shop’s work is taken under this name. "
        "The sign-in stays until its roles are ended.",
    }
    return _form(request, form, actions.leave, context, said="Recorded.", person=person)


@requires(*KEEPERS)
def skill_sign_off(request: StaffRequest, pk: int) -> HttpResponse:
    person = _person(request, pk)
    form = SkillForm(_sent(request), today=_today(request))
    context = {
        "person": person,
        "heading": f"Sign off {person}",
        "button": "Sign this off",
        "note": "By your name you say that you have seen this person do it safely and well. "
        "Nobody signs for themselves.",
    }
    return _form(request, form, actions.sign_off_skill, context, said="Signed.", person=person)


@requires(*KEEPERS)
def paper_record(request: StaffRequest, pk: int) -> HttpResponse:
    person = _person(request, pk)
    form = PaperForm(_sent(request), initial={"since_on": _today(request)})
    context = {
        "person": person,
        "heading": f"A paper of {person}",
        "button": "Record that it was seen",
        "note": "Record what you hold in your hand, not what you were told.",
    }
    return _form(request, form, actions.record_paper, context, said="Recorded.", person=person)


@requires(*KEEPERS)
def skill_end(request: StaffRequest, pk: int) -> HttpResponse:
    rows = Skill.objects.filter(person__in=queries.people_for(request.user))
    skill = get_object_or_404(rows.select_related("person"), pk=pk)
    form = EndForm(_sent(request), today=_today(request))
    context = {
        "person": skill.person,
        "heading": f"End what {skill.person} is signed off for: {skill_in_words(skill.code)}",
        "button": "Record the end",
    }
    return _form(request, form, actions.end_skill, context, said="Ended.", skill=skill)


@requires(*KEEPERS)
def paper_end(request: StaffRequest, pk: int) -> HttpResponse:
    rows = Credential.objects.filter(person__in=queries.people_for(request.user))
    paper = get_object_or_404(rows.select_related("person"), pk=pk)
    form = EndForm(_sent(request), today=_today(request))
    context = {
        "person": paper.person,
        "heading": f"End the {PaperKind(paper.kind).within} of {paper.person}",
        "button": "Record the end",
    }
    return _form(request, form, actions.end_paper, context, said="Ended.", paper=paper)


@requires(*SHOP)
def person_hours(request: StaffRequest, pk: int) -> HttpResponse:
    person = _person(request, pk)
    weeks = queries.weeks_ahead(person, _today(request))
    return htmx.answer(request, "people/hours.html", {"person": person, "weeks": weeks})


@requires(*SHOP)
def week_hours(request: StaffRequest, pk: int, week: str) -> HttpResponse:
    person, monday = _person(request, pk), _monday(week)
    row = person.weeks.filter(week_on=monday).first()
    form = HoursForm(_sent(request), row=row, seen=queries.as_seen(row))
    return _hours(request, person, monday, form, keeping.set_hours)


@requires(*SHOP)
def week_same(request: StaffRequest, pk: int, week: str) -> HttpResponse:
    person, monday = _person(request, pk), _monday(week)
    row = person.weeks.filter(week_on=monday).first()
    form = SameForm(_sent(request), initial={"seen": queries.as_seen(row)})
    return _hours(request, person, monday, form, keeping.same_as_last_week)


def _hours(
    request: StaffRequest,
    person: Person,
    monday: dt.date,
    form: Form,
    action: Callable[..., WeekHours],
) -> HttpResponse:
    """Show the form of one week, or write its hours and go back to the weeks."""
    if request.method == "POST" and form.is_valid():
        target = {"person": person, "week_on": monday, "by": request.user}
        if form.perform(action, **target):
            messages.success(request, "Recorded.")
            return htmx.go(request, "people:person_hours", person.pk)
    before = person.weeks.filter(week_on=add_weeks(monday, -1)).first()
    context = {
        "person": person,
        "monday": monday,
        "form": form,
        "before": before,
        "times": in_words(from_rows(before.shifts)) if before else "",
        "same": isinstance(form, SameForm),
    }
    show = htmx.refused if request.method == "POST" else htmx.answer
    return show(request, "people/week.html", context)


def _monday(week: str) -> dt.date:
    """Return the Monday that an address names."""
    try:
        day = parse_date(week)
    except ValueError as error:
        raise Http404 from error
    if week_start(day) != day or day.isoformat() != week:
        raise Http404
    return day


def _form(
    request: StaffRequest,
    form: Form,
    action: Callable[..., Person | Skill | Credential],
    context: dict[str, Any],
    *,
    said: str,
    **target: Any,
) -> HttpResponse:
    """Show a form about a person, or do what it asks and go to the person's page."""
    context |= {"form": form}
    if request.method == "POST" and form.is_valid():
        done = form.perform(action, by=request.user, **target)
        if done:
            messages.success(request, said)
            person_id = done.pk if isinstance(done, Person) else done.person_id
            return htmx.go(request, "people:person_page", person_id)
    show = htmx.refused if request.method == "POST" else htmx.answer
    return show(request, "people/person_form.html", context)


def _sent(request: StaffRequest) -> QueryDict | None:
    return request.POST if request.method == "POST" else None


def _program(request: StaffRequest) -> Program:
    """Return the user's program; without one nobody holds a role that opens a page."""
    if request.user.program is None:
        raise PermissionDenied
    return request.user.program


def _today(request: StaffRequest) -> dt.date:
    return _program(request).today()


def _person(request: StaffRequest, pk: int) -> Person:
    return get_object_or_404(queries.people_for(request.user), pk=pk)


def _age_in_words(person: Person, today: dt.date) -> str:
    """Return all that a page says of an age: the day of birth is shown to nobody."""
    if person.born_on is None:
        return "not on file"
    adult = age(person.born_on, today) >= ADULT_YEARS
    return f"{ADULT_YEARS} or older" if adult else f"under {ADULT_YEARS}"
