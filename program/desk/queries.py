"""What waits for a person: one slip for each kind of thing, from rows as they are."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from django.db.models import Exists, OuterRef
from django.urls import NoReverseMatch, reverse

from program.cases.models import Case
from program.decisions.queries import decide_by, open_supplements
from program.desk.wording import Slip, due, listed, lower, quoted
from program.households.stages import OPEN, Stage, add_business_days
from program.planning.states import PlanState
from program.status.models import Question
from program.status.queries import with_parts
from shared.accounts.roles import RoleKind
from shared.jobs.models import Job
from shared.jobs.states import JobState
from shared.money import usd
from shared.outbox.contact import MessageState
from shared.outbox.models import Message
from shared.outbox.queries import messages_for
from shared.people.kinds import PaperKind
from shared.people.queries import running_out
from shared.say import say
from sponsors.appeals.models import Appeal
from sponsors.appeals.states import AppealState
from sponsors.matching.models import Reservation
from sponsors.pledges.models import Pledge

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from program.planning.models import Plan
    from program.planning.outcome import Outcome
    from shared.accounts.models import Program, User

ANSWER_DAYS = 2  # business days until a question is answered (common practice, no source)
PLEDGE_DAYS = 7  # a pledge that ends so soon is shown
DECIDE_DAYS = 3  # a day to decide by that is so near is shown


def page_of(name: str, *arguments: object, query: str = "") -> str:
    """Return the address of a page, or nothing while the site has none of that name."""
    try:
        return reverse(name, args=arguments) + query
    except NoReverseMatch:
        return ""


def open_cases(user: User) -> list[Case]:
    """Return every open case that the user may see, with its parts; one query."""
    return list(with_parts(Case.objects.for_user(user).open()))


def slips(
    user: User, cases: Sequence[Case], plan: Plan | None, outcome: Outcome | None
) -> list[Slip]:
    """Return what waits for a coordinator; a caseworker gets what concerns households.

    A thing that has no page isn't shown.
    """
    program, today = user.program, user.program.today() if user.program else dt.date.min
    if program is None:
        return []
    found = [
        *_questions(user, program, today),
        *_deadlines(cases, today),
        *_contacts(cases, today),
    ]
    if user.is_any_of({RoleKind.COORDINATOR}):
        found += [
            *_plan(plan, outcome, today),
            *_decisions(cases, outcome, today),
            *_supplements(user, today),
            *_appeals(user, today),
            *_pledges(user, today),
            *_jobs(program, today),
            *_to_read(user, today),
            *_messages(program, today),
            *_papers(user, today),
        ]
    return [slip for slip in found if slip.url]


def _plan(plan: Plan | None, outcome: Outcome | None, today: dt.date) -> Iterator[Slip]:
    """Yield the plan that waits for approval, or that could not be computed."""
    if plan is None or plan.state not in (PlanState.READY, PlanState.FAILED):
        return
    url, by = page_of("planning:week"), due(today, today)
    if outcome is None or plan.state == PlanState.FAILED:
        title = say("Look at the plan that could not be computed")
        yield Slip(title=title, why=say("{error}", error=plan.error), by=by, due_on=today, url=url)
        return
    cents = sum(fund.plan_cents for fund in outcome.funds)
    yield Slip(
        title=say("Approve the plan for {weeks} weeks", weeks=lower(plan.weeks)),
        why=say(
            "Cars that go home: {count}. Newly set aside: {amount}.",
            count=len(outcome.homes),
            amount=usd(cents),
        ),
        by=by,
        due_on=today,
        url=url,
    )


def _questions(user: User, program: Program, today: dt.date) -> Iterator[Slip]:
    """Yield the questions that households have asked; the oldest opens the page."""
    rows = list(Question.objects.for_user(user).open().select_related("case__household"))
    if not rows:
        return
    first = rows[0]
    day = add_business_days(first.asked_at.astimezone(program.zone).date(), ANSWER_DAYS)
    names = list(dict.fromkeys(str(row.case.household or row.case) for row in rows))
    title = say("{name} asks a question", name=names[0])
    why = say("{text} Case {number}.", text=quoted(first.text), number=first.case.number)
    if len(rows) > 1:
        title = say("Answer {count} questions", count=lower(len(rows)))
        why = say("{names}. The oldest: {text}", names=listed(names), text=quoted(first.text, 60))
    url = page_of("desk:case_page", first.case.number, query="#questions")
    yield Slip(title=title, why=why, by=due(day, today), due_on=day, url=url, count=len(rows))


def to_decide(cases: Sequence[Case], outcome: Outcome | None) -> list[Case]:
    """Return the cases that need a decision, by their stage or since no plan may hold them."""
    held = {wait.case_id for wait in outcome.waits if wait.held} if outcome else set()
    return [
        case
        for case in cases
        if case.number in held or (case.household and case.household.stage == Stage.DECIDING)
    ]


def _decisions(cases: Sequence[Case], outcome: Outcome | None, today: dt.date) -> Iterator[Slip]:
    rows = to_decide(cases, outcome)
    if not rows:
        return
    day = min(_day(case, today) for case in rows)
    title = say("Decide {count} cars", count=lower(len(rows)))
    url = page_of("desk:case_list", query=f"?stage={Stage.DECIDING}")
    if outcome:  # whatever keeps a case out of the plan stands there with its reason
        url = page_of("planning:week", query="#decide")
    if len(rows) == 1:
        title = say("Decide the car of {name}", name=_name(rows[0]))
        url = page_of("desk:case_page", rows[0].number)
    why = say("{names}.", names=listed([_name(case) for case in rows]))
    yield Slip(title=title, why=why, by=due(day, today), due_on=day, url=url, count=len(rows))


def _supplements(user: User, today: dt.date) -> Iterator[Slip]:
    """Yield the supplements that wait for an answer; the oldest says by when."""
    rows = list(open_supplements(user))
    if not rows:
        return
    day = decide_by(rows[0])
    many = say("Answer {count} supplements", count=lower(len(rows)))
    title = many if len(rows) > 1 else say("Answer a supplement")
    cars = listed([str(row.authorization.case.vehicle) for row in rows])
    why, url = say("{names}. Work waits.", names=cars), page_of("decisions:supplement_list")
    yield Slip(title=title, why=why, by=due(day, today), due_on=day, url=url, count=len(rows))


def _day(case: Case, today: dt.date) -> dt.date:
    """Return the day by which a case is decided; today while none is set."""
    return (case.household.decide_by_on if case.household else None) or today


def _name(case: Case) -> str:
    return str(case.household or case.vehicle)


def _deadlines(cases: Sequence[Case], today: dt.date) -> Iterator[Slip]:
    """Yield the households whose day to decide by is over or near, but those that are deciding."""
    near = today + dt.timedelta(days=DECIDE_DAYS)
    rows = [
        case
        for case in cases
        if case.household
        and case.household.decide_by_on
        and case.household.decide_by_on <= near
        and case.household.stage in OPEN
        and case.household.stage != Stage.DECIDING
    ]
    if not rows:
        return
    rows.sort(key=lambda case: (_day(case, today), case.pk))
    day = _day(rows[0], today)
    title = say("Decide how it goes on for {name}", name=_name(rows[0]))
    url = page_of("desk:case_page", rows[0].number)
    if len(rows) > 1:
        title = say("Decide how it goes on for {count} households", count=lower(len(rows)))
        url = page_of("desk:case_list", query="?sort=decide_by")
    names = listed([_name(row) for row in rows])
    why = say("{names}. The day to decide by is near or over.", names=names)
    yield Slip(title=title, why=why, by=due(day, today), due_on=day, url=url, count=len(rows))


def _contacts(cases: Sequence[Case], today: dt.date) -> Iterator[Slip]:
    """Yield the households that nobody has asked how they may safely be reached."""
    rows = [case for case in cases if case.household and not case.household.safe_contact_on]
    if not rows:
        return
    title = say("Ask {name} how to reach them safely", name=_name(rows[0]))
    if len(rows) > 1:
        title = say("Ask {count} households how to reach them safely", count=lower(len(rows)))
    why = say("{names}. No mail goes before.", names=listed([_name(row) for row in rows]))
    url = page_of("desk:case_page", rows[0].number, query="#contact")
    yield Slip(title=title, why=why, by=due(today, today), due_on=today, url=url, count=len(rows))


def _appeals(user: User, today: dt.date) -> Iterator[Slip]:
    rows = Appeal.objects.for_user(user).filter(state=AppealState.DRAFTED)
    names = list(rows.order_by("drafted_at", "pk").values_list("sponsor__name", flat=True))
    if not names:
        return
    title = say("Read one appeal, then send it")
    if len(names) > 1:
        title = say("Read {count} appeals, then send them", count=lower(len(names)))
    why = say("To {names}.", names=listed(names))
    url = page_of("appeals:appeal_list")
    day = today + dt.timedelta(days=1)
    yield Slip(title=title, why=why, by=due(day, today), due_on=day, url=url, count=len(names))


def _pledges(user: User, today: dt.date) -> Iterator[Slip]:
    """Yield the pledges that end within days while some unit of them is kept for nothing."""
    kept = Reservation.objects.standing().filter(supply__pledge=OuterRef("pk"))
    rows = list(
        Pledge.objects.for_user(user)
        .intended()
        .filter(expires_on__range=(today, today + dt.timedelta(days=PLEDGE_DAYS)))
        .filter(~Exists(kept))
        .select_related("sponsor")
        .order_by("expires_on", "pk")
    )
    if not rows:
        return
    day = rows[0].expires_on or today
    title = say("Use or release a pledge")
    if len(rows) > 1:
        title = say("Use or release {count} pledges", count=lower(len(rows)))
    why = say(
        "{what}. Kept for no need.", what=listed([f"{r.sponsor}: {r.title}" for r in rows], 2)
    )
    url = page_of("pledges:pledge_list")
    yield Slip(title=title, why=why, by=due(day, today), due_on=day, url=url, count=len(rows))


def _jobs(program: Program, today: dt.date) -> Iterator[Slip]:
    failed = Job.objects.failed().filter(program=program).count()
    if failed:
        title = say("Look at a job that failed")
        if failed > 1:
            title = say("Look at {count} jobs that failed", count=lower(failed))
        url = page_of("jobs:job_list", query=f"?state={JobState.FAILED}")
        why = say("Each was tried eight times.")
        yield Slip(title=title, why=why, by=due(today, today), due_on=today, url=url, count=failed)


def _to_read(user: User, today: dt.date) -> Iterator[Slip]:
    """Yield the mail that an approved plan has written, and that nobody has read through."""
    waiting = messages_for(user).to_read().count()
    if waiting:
        title = say("Read a message before it goes")
        if waiting > 1:
            title = say("Read {count} messages before they go", count=lower(waiting))
        url = page_of("outbox:to_read")
        why = say("The approved plan tells households a day. They go when you say so.")
        yield Slip(title=title, why=why, by=due(today, today), due_on=today, url=url, count=waiting)


def _messages(program: Program, today: dt.date) -> Iterator[Slip]:
    unknown = Message.objects.undecided().filter(program=program).count()
    if unknown:
        title = say("Say whether a message arrived")
        if unknown > 1:
            title = say("Say whether {count} messages arrived", count=lower(unknown))
        url = page_of("outbox:message_list", query=f"?state={MessageState.UNKNOWN}")
        why = say("The sender stopped in the middle. Nothing goes twice without a person.")
        yield Slip(title=title, why=why, by=due(today, today), due_on=today, url=url, count=unknown)


def _papers(user: User, today: dt.date) -> Iterator[Slip]:
    """Yield the papers of people that run out within 30 days."""
    rows = running_out(user, today)
    if not rows:
        return
    first, day = rows[0], rows[0].ends_on
    title = say(
        "See the next {paper} of {name}", paper=PaperKind(first.ends_kind).within, name=first
    )
    if len(rows) > 1:
        title = say("See the next papers of {count} people", count=lower(len(rows)))
    why = say("Without it, the work that needs it is refused.")
    url = page_of("people:person_list", query="?papers=soon")
    yield Slip(title=title, why=why, by=due(day, today), due_on=day, url=url, count=len(rows))
