"""What workers do for the plan: rank, compute, and hand the parts to ask for to the appeals."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from program.planning.actions import ask_plan
from program.planning.canonical import fingerprint
from program.planning.computing import compute, settled, waiting
from program.planning.gathering import gather
from program.planning.keeping import (
    keep_answer,
    keep_asks,
    keep_failure,
    keep_outcome,
    keep_refusal,
    keep_wait,
)
from program.planning.models import Plan, WhatIf
from program.planning.queries import approved_plan, facts_of, outcome_of
from program.planning.states import PlanState
from program.planning.trying import Change
from program.planning.what_if import first_answer, what_if
from program.purchasing.queries import held_in
from shared.dates import week_name
from shared.jobs.progress import Progress
from shared.policy.queries import policies
from sponsors.appeals import actions as appeals
from sponsors.appeals.drafting import Ask
from sponsors.matching.actions import note_fitted
from sponsors.matching.queries import reserved_need_ids
from vehicles.intake.models import Intake
from vehicles.repairs.actions import make_estimate, rank_items
from vehicles.repairs.charges import Rates

if TYPE_CHECKING:
    from program.planning.problem import PlanInput
    from shared.accounts.models import Program
    from shared.jobs.runner import Write

PLAN = "plan"
TRIES = 3  # a plan whose facts change while it is computed is computed again so often


def rank(_payload: dict[str, Any], program: Program) -> None:
    """Note what was fitted, rank every open item, then bring each open stay's estimate up to date.

    Work that is done asks for ranks, so the part on the car is on no shelf a minute later.
    """
    note_fitted(program=program)
    today = program.today()
    rates = Rates.of(policies(program, today))
    given = reserved_need_ids(program)
    rank_items(program=program, given=given, rates=rates, today=today)
    for intake in Intake.objects.open().filter(program=program, items__isnull=False).distinct():
        make_estimate(intake=intake, given=given, rates=rates, by=None)


def plan(_payload: dict[str, Any], program: Program) -> Write:
    """Ask for a plan on behalf of nobody, after an import."""
    return partial(ask_plan, program=program, by=None)


def compute_plan(payload: dict[str, Any], program: Program) -> Write | None:
    """Compute a plan that was asked for; one that is no longer waited for is left alone.

    Who asks it to stop gets what was found until then.
    """
    asked = Plan.objects.filter(program=program, pk=payload["plan"], state=PlanState.ASKED).first()
    if asked is None:
        return None
    watch = Progress(program, f"plan:{asked.pk}")
    try:
        for _ in range(TRIES):
            watch.tell(1, "Reading the facts")
            plan_input = input_of(asked)
            outcome = compute(program, plan_input, watch)
            if watch.stop() or fingerprint(input_of(asked)) == fingerprint(plan_input):
                break
    except ValueError as error:
        return partial(keep_failure, plan=asked, because=str(error))
    return partial(
        keep_outcome,
        plan=asked,
        outcome=outcome,
        plan_input=plan_input,
        input_hash=fingerprint(plan_input),
    )


def explain_case(payload: dict[str, Any], program: Program) -> Write | None:
    """Find out exactly why one case waits in a plan, from the facts of that plan."""
    plan = _computed(program, payload["plan"])
    if plan is None:
        return None
    wait = waiting(facts_of(plan), outcome_of(plan).plan, payload["case"])
    return partial(keep_wait, plan=plan, wait=wait)


def try_what_if(payload: dict[str, Any], program: Program) -> Write | None:
    """Answer a question to a plan: the need weight first, for a person waits for it."""
    asked = WhatIf.objects.filter(program=program, state=PlanState.ASKED)
    question = asked.select_related("plan").filter(pk=payload["question"]).first()
    if question is None:
        return None
    facts, plan = facts_of(question.plan), outcome_of(question.plan).plan
    changes = [Change.from_json(row) for row in question.changes]
    watch = Progress(program, f"what-if:{question.pk}")
    try:
        keep_answer(question=question, answer=first_answer(facts, plan, changes), whole=False)
        watch.tell(30, "The later aims")
        answer = what_if(facts, plan, changes, watch=watch)
    except ValueError as error:
        return partial(keep_refusal, question=question, because=str(error))
    return partial(keep_answer, question=question, answer=answer, whole=True)


def ask_exactly(payload: dict[str, Any], program: Program) -> Write | None:
    """Settle what to ask for first: exactly, where the plan said at most so much at first."""
    plan = _computed(program, payload["plan"])
    if plan is None:
        return None
    watch = Progress(program, f"asks:{plan.pk}")
    wanted, other = settled(program, facts_of(plan), outcome_of(plan).plan, watch)
    return partial(keep_asks, plan=plan, wanted=wanted, other=other)


def _computed(program: Program, pk: int) -> Plan | None:
    """Return a plan that was computed and kept its facts, unless another has followed it."""
    rows = Plan.objects.filter(program=program, pk=pk)
    plan = rows.filter(state__in=(PlanState.READY, PlanState.APPROVED)).first()
    return plan if plan and "facts" in plan.result else None


def input_of(plan: Plan) -> PlanInput:
    """Return what a plan is computed from, as the facts are now."""
    before = approved_plan(plan.program)
    return gather(
        plan.program,
        first_week_on=plan.first_week_on,
        weeks=plan.weeks,
        prior=outcome_of(before).plan if before else None,
    )


def draft_appeals(_payload: dict[str, Any], program: Program) -> Write | None:
    """Draft an appeal to each sponsor whose parts the plan in force asks for first.

    A person reads and approves each; drafting one week twice adds nothing.
    """
    plan = approved_plan(program)
    if plan is None:
        return None
    held = held_in(program)  # nothing else of a car is begged before its gate item is paid
    wanted = [row for row in outcome_of(plan).wanted if row.need_id not in held]
    asks = [
        Ask(need_id=row.need_id, frees_cars=len(row.freed), need_weight=row.weight)
        for row in wanted
    ]
    return partial(
        appeals.draft_appeals,
        program=program,
        asks=asks,
        round=week_name(plan.first_week_on),
        today=program.today(),
    )
