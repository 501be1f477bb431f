"""Asking for a plan, keeping what was computed, approving it, pinning a case."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from program.cases.models import Case
from program.planning.approving import set_aside_money, take_parts, tell_households
from program.planning.models import Pin, Plan, PlannedCase
from program.planning.queries import approved_plan, newest_plan, outcome_of
from program.planning.states import PlanState
from shared.accounts.models import Program
from shared.accounts.roles import RoleKind
from shared.audit.actions import log_event
from shared.dates import plan_week, week_name
from shared.jobs.actions import ask
from shared.policy.queries import policies
from shared.signatures.models import Signature

if TYPE_CHECKING:
    from collections.abc import Sequence

    from program.planning.outcome import Home, Outcome
    from shared.accounts.models import User

COMPUTE = "compute_plan"
DRAFT_APPEALS = "draft_appeals"
MATCH = "match"
RANK = "rank_items"


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


def keep_outcome(*, plan: Plan, outcome: Outcome, input_hash: str) -> Plan:
    """Keep what was computed; drafts that nobody approved are followed by this one."""
    drafts = Plan.objects.filter(program_id=plan.program_id, number__lt=plan.number)
    drafts.filter(state__in=[PlanState.READY, PlanState.FAILED]).update(state=PlanState.SUPERSEDED)
    plan.state = PlanState.READY
    plan.result, plan.input_hash = outcome.to_json(), input_hash
    plan.proven, plan.value = outcome.plan.proven, outcome.plan.value
    plan.bound = outcome.plan.bound
    plan.computed_at = timezone.now()
    plan.full_clean()
    plan.save()
    log_event(plan, "The plan was computed.", by=None)
    # Parts that no plan needs yet are matched meanwhile; a plan may still take them.
    ask(program=plan.program, key=f"match:draft:{plan.pk}", kind=MATCH, payload={"plan": plan.pk})
    ask(program=plan.program, key=f"rank:draft:{plan.pk}", kind=RANK)
    return plan


def keep_failure(*, plan: Plan, because: str) -> Plan:
    """Keep why a plan could not be computed."""
    plan.state, plan.error = PlanState.FAILED, because[:300]
    plan.save(update_fields=["state", "error"])
    log_event(plan, "The plan could not be computed.", by=None)
    return plan


@transaction.atomic
def approve_plan(*, plan: Plan, input_hash: str, by: User) -> Plan:
    """Turn a plan into commitments, reserved parts and dates that households are told.

    `input_hash` is that of the facts as they are now. In this order: money is set aside, parts are
    kept, the plan before is superseded, households and sponsors get what jobs then send.

    Raises:
        ValidationError: the plan isn't ready, the facts have changed, or a fund lacks the money.
    """
    _lock(plan.program_id)
    plan = Plan.objects.select_for_update().get(pk=plan.pk)
    if plan.state != PlanState.READY:
        raise ValidationError(f"Plan {plan.number} is {plan.state}; only a ready plan is approved.")
    if plan.input_hash != input_hash:
        raise ValidationError(
            "Something has changed since this plan was computed. Compute it again, then approve."
        )
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
    _write_homes(plan, outcome)
    _sign(plan, by)
    tell_households(plan=plan, homes=outcome.homes)
    _ask_jobs(plan)
    log_event(plan, "The plan was approved.", by=by)
    return plan


def _write_homes(plan: Plan, outcome: Outcome) -> None:
    cases = _cases(plan, outcome.homes)
    rows = []
    for home in outcome.homes:
        planned = outcome.plan.case(home.case_id)
        rows.append(
            PlannedCase(
                program_id=plan.program_id,
                plan=plan,
                case=cases[home.case_id],
                start_week_on=home.start_on,
                home_from_on=home.from_on,
                home_by_on=home.by_on,
                cash_cents=planned.cash_cents if planned else 0,
                minutes=planned.used("minutes") if planned else 0,
                work_left=home.work[:200],
            )
        )
    PlannedCase.objects.bulk_create(rows)


def _cases(plan: Plan, homes: Sequence[Home]) -> dict[str, Case]:
    numbers = [home.case_id for home in homes]
    rows = Case.objects.filter(program_id=plan.program_id, number__in=numbers)
    return {case.number: case for case in rows}


def _sign(plan: Plan, by: User) -> None:
    signature = Signature(
        program_id=plan.program_id,
        act="approve_plan",
        kind="plan",
        object_id=plan.pk,
        by=by,
        role=RoleKind.COORDINATOR,
        content_hash=plan.input_hash,
    )
    signature.full_clean()
    signature.save()


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
