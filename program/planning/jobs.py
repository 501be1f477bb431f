"""What workers do for the plan: rank, compute, and hand the parts to ask for to the appeals."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

from program.planning.actions import ask_plan, keep_failure, keep_outcome
from program.planning.canonical import fingerprint
from program.planning.computing import compute
from program.planning.gathering import gather
from program.planning.models import Plan
from program.planning.queries import approved_plan, outcome_of
from program.planning.states import PlanState
from shared.dates import week_name
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
    """Compute a plan that was asked for; one that is no longer waited for is left alone."""
    asked = Plan.objects.filter(program=program, pk=payload["plan"], state=PlanState.ASKED).first()
    if asked is None:
        return None
    try:
        for _ in range(TRIES):
            plan_input = input_of(asked)
            outcome = compute(program, plan_input)
            if fingerprint(input_of(asked)) == fingerprint(plan_input):
                break
    except ValueError as error:
        return partial(keep_failure, plan=asked, because=str(error))
    return partial(keep_outcome, plan=asked, outcome=outcome, input_hash=fingerprint(plan_input))


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
    wanted = outcome_of(plan).wanted
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
