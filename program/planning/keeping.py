"""Writing down what workers computed: a plan, why a case waits, what a question was answered."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction
from django.utils import timezone

from program.planning.facts import facts_to_json
from program.planning.models import Plan
from program.planning.states import PlanState
from shared.audit.actions import log_event
from shared.jobs.actions import ask

if TYPE_CHECKING:
    from collections.abc import Sequence

    from program.planning.models import WhatIf
    from program.planning.outcome import Outcome, Wait, Wanted
    from program.planning.problem import PlanInput
    from program.planning.what_if import Answer

ASK_EXACTLY = "ask_exactly"
MATCH = "match"
RANK = "rank_items"
DRAFTS = (PlanState.READY, PlanState.FAILED, PlanState.CANCELED)
LONGEST_ERROR = 300


@transaction.atomic
def keep_outcome(
    *, plan: Plan, outcome: Outcome, plan_input: PlanInput, input_hash: str
) -> Plan | None:
    """Keep what was computed; drafts that nobody approved are followed by this one.

    A plan that was canceled meanwhile stays canceled, and None is returned.
    """
    plan = Plan.objects.select_for_update().get(pk=plan.pk)
    if plan.state != PlanState.ASKED:
        return None
    drafts = Plan.objects.filter(program_id=plan.program_id, number__lt=plan.number)
    drafts.filter(state__in=DRAFTS).update(state=PlanState.SUPERSEDED)
    plan.state = PlanState.READY
    plan.result = outcome.to_json() | {"facts": facts_to_json(plan_input)}
    plan.input_hash, plan.repeatable = input_hash, outcome.plan.repeatable
    plan.proven, plan.value = outcome.plan.proven, outcome.plan.value
    plan.bound = outcome.plan.bound
    plan.computed_at = timezone.now()
    plan.full_clean()
    plan.save()
    log_event(plan, "The plan was computed.", by=None)
    # Parts that no plan needs yet are matched meanwhile; a plan may still take them.
    ask(program=plan.program, key=f"match:draft:{plan.pk}", kind=MATCH, payload={"plan": plan.pk})
    ask(program=plan.program, key=f"rank:draft:{plan.pk}", kind=RANK)
    ask(
        program=plan.program,
        key=f"asks:{plan.pk}",
        kind=ASK_EXACTLY,
        payload={"plan": plan.pk},
    )
    return plan


def keep_failure(*, plan: Plan, because: str) -> Plan:
    """Keep why a plan could not be computed."""
    plan.state, plan.error = PlanState.FAILED, because[:LONGEST_ERROR]
    plan.save(update_fields=["state", "error"])
    log_event(plan, "The plan could not be computed.", by=None)
    return plan


@transaction.atomic
def keep_wait(*, plan: Plan, wait: Wait) -> Plan:
    """Keep why one case waits, in the place of what was said of it at first."""
    plan = Plan.objects.select_for_update().get(pk=plan.pk)
    rows = plan.result["waits"]
    (number,) = (n for n, row in enumerate(rows) if row["case_id"] == wait.case_id)
    rows[number] = wait.to_json()
    plan.save(update_fields=["result"])
    return plan


@transaction.atomic
def keep_asks(*, plan: Plan, wanted: Sequence[Wanted], other: Sequence[str]) -> Plan:
    """Keep what to ask for first, exactly or as far as somebody let it, and `other` help."""
    plan = Plan.objects.select_for_update().get(pk=plan.pk)
    plan.asks = {"rows": [row.to_json() for row in wanted], "help": list(other)}
    plan.save(update_fields=["asks"])
    return plan


def keep_answer(*, question: WhatIf, answer: Answer, whole: bool) -> WhatIf:
    """Keep what a question was answered: the need weight at first, then the `whole`."""
    question.result = answer.to_json()
    if whole:
        question.state, question.computed_at = PlanState.READY, timezone.now()
    question.save(update_fields=["result", "state", "computed_at"])
    return question


def keep_refusal(*, question: WhatIf, because: str) -> WhatIf:
    """Keep why a question can't be answered."""
    question.state, question.error = PlanState.FAILED, because[:LONGEST_ERROR]
    question.save(update_fields=["state", "error"])
    return question
