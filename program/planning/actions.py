"""Asking for a plan, keeping what was computed, approving it, pinning a case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from program.planning.approving import (
    book_days,
    set_aside_money,
    sign,
    take_parts,
    tell_households,
    write_homes,
)
from program.planning.canonical import fingerprint
from program.planning.keeping import MATCH
from program.planning.models import Pin, Plan, PlannedCase, WhatIf
from program.planning.queries import approved_plan, facts_of, job_of, newest_plan, outcome_of
from program.planning.revision import stale
from program.planning.states import PlanState
from program.planning.trying import apply
from shared.accounts.models import Program
from shared.audit.actions import log_event
from shared.dates import plan_week, week_name
from shared.jobs.actions import ask, ask_to_stop
from shared.jobs.states import JobState
from shared.policy.queries import policies

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from uuid import UUID

    from program.cases.models import Case
    from program.planning.problem import PlanInput
    from program.planning.trying import Change
    from shared.accounts.models import User
    from shared.jobs.models import Job

COMPUTE = "compute_plan"
DRAFT_APPEALS = "draft_appeals"
EXPLAIN = "explain_case"
TRY = "try_what_if"
CHANGED = "Something has changed since this plan was computed. Compute it again, then approve."
NOT_READY: dict[str, str] = {
    PlanState.ASKED: "is still being computed. Approve it once it is there.",
    PlanState.SUPERSEDED: "was followed by another. Approve the plan of the week.",
}
MOST_QUESTIONS = 200  # to one plan; more are a script, not a person


@transaction.atomic
def ask_plan(*, program: Program, by: User | None) -> Plan:
    """Ask for a plan of the coming weeks, and return it; one that is being computed is returned.

    A job computes it, so the page that asks is answered at once.
    """
    _lock(program.pk)
    newest = newest_plan(program)
    if newest and newest.state == PlanState.ASKED:
        return newest
    today = program.today()
    last = Plan.objects.filter(program=program).order_by("-number").first()
    plan = Plan(
        program=program,
        number=last.number + 1 if last else 1,
        first_week_on=plan_week(today),
        weeks=policies(program, today)["plan_weeks"],
        asked_by=by,
    )
    plan.full_clean()
    plan.save()
    ask(program=program, key=f"plan:{plan.pk}", kind=COMPUTE, payload={"plan": plan.pk})
    log_event(plan, "A plan was asked for.", by=by)
    return plan


@transaction.atomic
def cancel_plan(*, plan: Plan, by: User) -> Plan:
    """Give up a plan that is being computed. The plan in force and earlier drafts stand.

    Raises:
        ValidationError: it is not being computed any more.
    """
    plan = Plan.objects.select_for_update().get(pk=plan.pk)
    if plan.state != PlanState.ASKED:
        raise ValidationError(f"Plan {plan.number} is {plan.state}; there is nothing to stop.")
    plan.state = PlanState.CANCELED
    plan.save(update_fields=["state"])
    _stop_job(plan, by)
    log_event(plan, "The plan was given up before it was computed.", by=by)
    return plan


@transaction.atomic
def end_search(*, plan: Plan, by: User) -> Plan:
    """Let the search end now with the best plan found so far, which is then not repeatable.

    Raises:
        ValidationError: it is not being computed any more.
    """
    if plan.state != PlanState.ASKED:
        raise ValidationError(f"Plan {plan.number} is {plan.state}; there is nothing to stop.")
    job = job_of(plan)
    if job and job.state == JobState.RUNNING:
        ask_to_stop(job=job, by=by)
    return plan


def _stop_job(plan: Plan, by: User) -> None:
    job = job_of(plan)
    if job and job.state in (JobState.PENDING, JobState.RUNNING):
        ask_to_stop(job=job, by=by)


def ask_why(*, plan: Plan, case_id: str) -> Job:
    """Ask for the exact reasons why one case waits in a plan that was computed.

    Raises:
        ValidationError: the case doesn't wait in this plan, or its facts were not kept.
    """
    waits = {row["case_id"] for row in plan.result.get("waits", [])}
    if case_id not in waits or "facts" not in plan.result:
        raise ValidationError(f"{case_id} doesn't wait in plan {plan.number}.")
    return ask(
        program=plan.program,
        key=f"why:{plan.pk}:{case_id}",
        kind=EXPLAIN,
        payload={"plan": plan.pk, "case": case_id},
    )


@transaction.atomic
def ask_what_if(
    *, plan: Plan, changes: Sequence[Change], by: User, client_key: UUID | None = None
) -> WhatIf:
    """Ask what changes of the facts would do to a plan. Nothing of the plan moves.

    Raises:
        ValidationError: there is nothing to try, the changes don't fit the plan's facts, or the
            plan has been asked too often.
    """
    asked = [change.to_json() for change in changes]
    if same := WhatIf.objects.filter(client_key=client_key, program=plan.program_id).first():
        if client_key and same.plan_id == plan.pk and same.changes == asked:
            return same
        client_key = None  # somebody went back to the form and asks something else
    if "facts" not in plan.result:
        raise ValidationError(f"Plan {plan.number} kept no facts to try anything with.")
    if not changes:
        raise ValidationError("Say what is to be tried.")
    if plan.questions.count() >= MOST_QUESTIONS:
        raise ValidationError("This plan has been asked enough. Compute the plan again.")
    try:
        apply(facts_of(plan), changes)
    except ValueError as error:
        raise ValidationError(str(error)) from error
    question = WhatIf(
        program_id=plan.program_id,
        plan=plan,
        changes=asked,
        asked_by=by,
        client_key=client_key,
    )
    question.full_clean()
    question.save()
    ask(
        program=plan.program,
        key=f"what-if:{question.pk}",
        kind=TRY,
        payload={"question": question.pk},
    )
    return question


@transaction.atomic
def approve_plan(*, plan: Plan, now: PlanInput, by: User) -> Plan:
    """Turn a plan into commitments, reserved parts and dates that households are told.

    `now` is what the facts are now. Money is set aside and parts are kept; the plan before is
    superseded; days are booked; households get what jobs then write.

    Raises:
        ValidationError: the plan isn't ready, the facts have changed, or a fund lacks the money.
    """
    _lock(plan.program_id)
    plan = Plan.objects.select_for_update().get(pk=plan.pk)
    if plan.state != PlanState.READY:
        other = f"is {plan.state}; only a ready plan is approved."
        raise ValidationError(f"Plan {plan.number} {NOT_READY.get(plan.state, other)}")
    if plan.input_hash != fingerprint(now):
        raise ValidationError([CHANGED, *_changed(plan, now)])
    outcome = outcome_of(plan)
    before = approved_plan(plan.program)
    if before:
        before.state = PlanState.SUPERSEDED
        before.save(update_fields=["state"])
    set_aside_money(plan=plan, planned=outcome.plan, by=by)
    take_parts(plan=plan, before=before, planned=outcome.plan, by=by)
    plan.state, plan.approved_by, plan.approved_at = PlanState.APPROVED, by, timezone.now()
    plan.version += 1
    plan.full_clean()
    plan.save()
    write_homes(plan, outcome)
    sign(plan, by)
    book_days(plan=plan, outcome=outcome, by=by)
    tell_households(plan=plan, homes=outcome.homes)
    _ask_jobs(plan)
    log_event(plan, "The plan was approved.", by=by)
    return plan


def _changed(plan: Plan, now: PlanInput) -> Iterable[str]:
    """Return what changed since a plan was computed, where it kept what it was computed from."""
    return map(str, stale(facts_of(plan), now)) if "facts" in plan.result else ()


def _ask_jobs(plan: Plan) -> None:
    """Ask for what follows: the parts left are matched, and appeals are drafted for a person."""
    week = week_name(plan.first_week_on)
    payload = {"plan": plan.pk}
    ask(program=plan.program, key=f"match:plan:{plan.pk}", kind=MATCH, payload=payload)
    ask(
        program=plan.program,
        key=f"appeals:{week}:plan:{plan.pk}",
        kind=DRAFT_APPEALS,
        payload=payload,
    )


@transaction.atomic
def pin_case(*, case: Case, direction: str, reason: str, by: User) -> Pin:
    """Keep a case in the next plans or out of them, and ask for a plan that obeys.

    The pin that stands already is returned as it is.

    Raises:
        ValidationError: the case is closed, no reason is given, or the direction is unknown.
    """
    _lock(case.program_id)
    case.refresh_from_db(fields=["closed_on"])
    if case.closed_on:
        raise ValidationError(f"Case {case.number} is closed.")
    standing = Pin.objects.filter(case=case, ended_at=None)
    if same := standing.filter(direction=direction, reason=reason.strip()).first():
        return same
    standing.update(ended_at=timezone.now())
    pin = Pin(
        program_id=case.program_id, case=case, direction=direction, reason=reason.strip(), by=by
    )
    pin.full_clean()
    pin.save()
    log_event(case, f"The case was pinned {direction}.", by=by, reason=reason)
    ask_plan(program=case.program, by=by)
    return pin


@transaction.atomic
def give_up_place(*, case: Case, by: User) -> bool:
    """Take a case that won't be repaired out of the plan in force, end its pin, and plan anew.

    The plan's own result keeps what was planned. Returns whether the case had a place or a pin.
    """
    _lock(case.program_id)
    places = PlannedCase.objects.filter(case=case, plan__state=PlanState.APPROVED)
    had_place, _ = places.delete()
    ended = Pin.objects.filter(case=case, ended_at=None).update(ended_at=timezone.now())
    if had_place:
        log_event(case, "Its place in the plan was given up.", by=by, fields=["planned"])
    if ended:
        log_event(case, "The pin was taken off.", by=by)
    ask_plan(program=case.program, by=by)
    return bool(had_place or ended)


@transaction.atomic
def unpin_case(*, case: Case, by: User) -> int:
    """End the pin of a case and ask for a plan without it; return how many pins ended."""
    _lock(case.program_id)
    ended = Pin.objects.filter(case=case, ended_at=None).update(ended_at=timezone.now())
    if ended:
        log_event(case, "The pin was taken off.", by=by)
        ask_plan(program=case.program, by=by)
    return ended


def _lock(program: int) -> None:
    """Lock the row of a program, by id, before any other, so that nobody waits in a circle.

    No key of it changes, so that rows which name the program are written meanwhile.
    """
    Program.objects.select_for_update(no_key=True).get(pk=program)
