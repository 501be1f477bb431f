"""Writing down what the workers computed."""

from __future__ import annotations

import pytest

from program.models import Plan
from program.planning import actions
from program.planning.actions import ask_plan
from program.planning.jobs import try_what_if
from program.planning.keeping import (
    LONGEST_ERROR,
    keep_asks,
    keep_failure,
    keep_outcome,
    keep_refusal,
    keep_wait,
)
from program.planning.outcome import Wait, Wanted
from program.planning.queries import facts_of, outcome_of
from program.planning.states import PlanState
from shared.models import Event, Job
from tests.factories import make_program, make_user
from tests.program.planning.asked import ask, ready
from tests.program.planning.weeks import computed, make_ready, make_work

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def test_the_need_weight_is_answered_before_the_rest() -> None:
    question = ask(ready())
    write = try_what_if({"question": question.pk}, question.program)
    question.refresh_from_db()
    assert (question.state, question.result["value"], question.result["plan"]) == (
        PlanState.ASKED,
        12,
        None,
    )
    assert write is not None


def test_the_plan_keeps_what_it_was_computed_from() -> None:
    plan = ready()
    make_work(make_ready("26-043"))
    assert [case.id for case in facts_of(plan).cases] == ["26-041", "26-042"]


def test_a_plan_that_was_given_up_stays_so_whatever_its_job_brings() -> None:
    plan = ready()
    asked = ask_plan(program=make_program(), by=None)
    actions.cancel_plan(plan=asked, by=make_user())
    kept = keep_outcome(
        plan=asked, outcome=outcome_of(plan), plan_input=facts_of(plan), input_hash="x"
    )
    asked.refresh_from_db()
    assert (kept, asked.state, asked.result) == (None, PlanState.CANCELED, {})


def test_a_new_plan_takes_the_place_of_drafts_and_of_nothing_else() -> None:
    first = ready()
    approved = computed()
    Plan.objects.filter(pk=approved.pk).update(
        state=PlanState.APPROVED, approved_at="2026-11-30T15:00Z", approved_by=make_user()
    )
    last = computed()
    states = dict(Plan.objects.values_list("pk", "state"))
    assert states == {first.pk: "superseded", approved.pk: "approved", last.pk: "ready"}


def test_a_plan_that_was_kept_asks_for_what_can_be_done_meanwhile() -> None:
    plan = ready()
    keys = {f"match:draft:{plan.pk}", f"rank:draft:{plan.pk}", f"asks:{plan.pk}"}
    assert set(Job.objects.filter(key__in=keys).values_list("key", flat=True)) == keys
    assert plan.input_hash
    assert (plan.proven, plan.value, plan.bound) == (True, 8, 8)


def test_a_failure_is_kept_as_long_as_its_column() -> None:
    plan = keep_failure(plan=ask_plan(program=make_program(), by=None), because="x" * 400)
    plan.refresh_from_db()
    assert (plan.state, plan.error) == (PlanState.FAILED, "x" * LONGEST_ERROR)
    assert Event.objects.latest("pk").what == "The plan could not be computed."


def test_a_reason_takes_the_place_of_what_was_said_at_first() -> None:
    plan = ready()
    wait = Wait(case_id="26-042", name="Karl Iverson", need_weight=4, lacks="lacks $300.00")
    assert outcome_of(keep_wait(plan=plan, wait=wait)).waits == (wait,)


def test_what_to_ask_for_first_is_kept_beside_the_plan() -> None:
    row = Wanted(need_id=7, label="Radiator", sentence="A radiator frees 26-042.", weight=4)
    plan = keep_asks(plan=ready(), wanted=[row], other=["$400.00 would free 26-042."])
    plan.refresh_from_db()
    assert [Wanted.from_json(kept) for kept in plan.asks["rows"]] == [row]
    assert plan.asks["help"] == ["$400.00 would free 26-042."]


def test_a_refusal_is_kept_with_its_reason() -> None:
    question = keep_refusal(question=ask(ready()), because="No fund XX is in this plan.")
    question.refresh_from_db()
    assert (question.state, question.error) == ("failed", "No fund XX is in this plan.")
