"""What workers do for the plan."""

from __future__ import annotations

import datetime as dt

import pytest
from django.utils import timezone

from program.models import Plan
from program.planning import jobs
from program.planning.actions import ask_plan
from program.planning.canonical import fingerprint
from program.planning.keeping import RANK
from program.planning.queries import outcome_of
from program.planning.states import PlanState
from shared.accounts.roles import RoleKind
from shared.jobs.runner import run_due
from shared.models import Job
from sponsors.matching.actions import reserve
from sponsors.pledges.states import SupplyState
from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_item,
    make_need,
    make_program,
    make_supply,
    make_user,
    make_vehicle,
)
from tests.program.planning.weeks import (
    computed,
    make_money,
    make_ready,
    make_shop,
    make_work,
    stay_of,
)
from vehicles.models import Estimate, RepairItem
from vehicles.repairs.actions import mark_done

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def test_ranking_orders_the_items_and_estimates_each_open_stay() -> None:
    program = make_shop()
    case = make_ready()
    danger = make_finding(intake=stay_of(case))
    make_need(item=make_work(case, tier=4, points=0, findings=[danger]))
    gone = make_intake(vehicle=make_vehicle(), left_on="2026-11-29")
    make_item(intake=gone)
    jobs.rank({}, program)
    assert RepairItem.objects.get(intake=stay_of(case)).tier == 0
    assert [row.intake for row in Estimate.objects.all()] == [stay_of(case)]


def test_ranking_after_work_was_done_notes_the_part_on_the_car() -> None:
    car = {"make": "Toyota", "model": "Corolla", "year_from": 2009, "year_to": 2013}
    need, unit = make_need(), make_supply(fitment=car)
    reserve(supply=unit, need=need, made_for="person", because="By hand.", by=None)
    mark_done(item=need.item, on=TODAY, by=make_user(RoleKind.TECHNICIAN))
    later = timezone.now() + dt.timedelta(minutes=1)
    assert run_due({RANK: jobs.rank}, later) == 1
    unit.refresh_from_db()
    assert unit.state == SupplyState.FITTED


def test_a_plan_is_asked_for_on_behalf_of_nobody() -> None:
    jobs.plan({}, make_program())()
    plan = Plan.objects.get()
    assert (plan.state, plan.asked_by) == (PlanState.ASKED, None)


def test_a_plan_that_was_asked_for_is_computed_from_the_facts() -> None:
    make_shop()
    make_work(make_ready("26-041"))
    make_money()
    plan = computed()
    assert (plan.state, plan.value, plan.bound, plan.proven) == ("ready", 8, 8, True)
    assert plan.input_hash == fingerprint(jobs.input_of(plan))
    assert [home.case_id for home in outcome_of(plan).homes] == ["26-041"]


def test_a_plan_that_nobody_waits_for_is_left_alone() -> None:
    make_shop()
    plan = computed()
    assert jobs.compute_plan({"plan": plan.pk}, make_program()) is None
    assert jobs.compute_plan({"plan": 0}, make_program()) is None


def test_another_programs_plan_is_left_alone() -> None:
    plan = ask_plan(program=make_program(), by=None)
    stranger = make_program(name="Other garage")
    assert jobs.compute_plan({"plan": plan.pk}, stranger) is None


def test_facts_that_can_not_be_planned_fail_with_their_sentence() -> None:
    make_shop()
    case = make_ready()
    item, other = make_work(case), make_work(case)
    item.needs_first.create(program=item.program, first=other)
    other.needs_first.create(program=item.program, first=item)
    plan = ask_plan(program=make_program(), by=None)
    write = jobs.compute_plan({"plan": plan.pk}, make_program())
    assert write is not None
    write()
    plan.refresh_from_db()
    assert (plan.state, bool(plan.error)) == (PlanState.FAILED, True)


def test_the_runner_computes_what_was_asked_for() -> None:
    make_shop()
    plan = ask_plan(program=make_program(), by=None)
    assert run_due({"compute_plan": jobs.compute_plan}, limit=1) == 1
    plan.refresh_from_db()
    assert plan.state == PlanState.READY
    assert Job.objects.get(key=f"plan:{plan.pk}").state == "done"


def test_the_plan_in_force_is_what_the_next_one_starts_from() -> None:
    make_shop()
    make_work(make_ready())
    make_money()
    plan = computed()
    assert jobs.input_of(plan).prior is None
    Plan.objects.filter(pk=plan.pk).update(
        state=PlanState.APPROVED, approved_at="2026-11-30T12:00:00Z", approved_by=make_user()
    )
    assert jobs.input_of(plan).prior == outcome_of(plan).plan


def test_appeals_are_drafted_for_the_plan_in_force_only() -> None:
    make_shop()
    computed()
    assert jobs.draft_appeals({}, make_program()) is None
