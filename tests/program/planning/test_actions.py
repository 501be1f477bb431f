"""Asking for a plan, computing it in a job, approving it, pinning a case."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.models import Case, Commitment, Entry, Pin, Plan, PlannedCase
from program.planning.actions import (
    ask_plan,
    give_up_place,
    pin_case,
    unpin_case,
)
from program.planning.jobs import input_of
from program.planning.keeping import keep_failure
from program.planning.queries import newest_plan, outcome_of
from program.planning.states import PlanState
from shared.audit.models import Event
from shared.models import Job, Signature
from tests.factories import TODAY, make_program, make_user
from tests.program.planning.approved import approve, shop_with_two_cars
from tests.program.planning.weeks import (
    computed,
    make_ready,
    make_shop,
    make_work,
)

if TYPE_CHECKING:
    from collections.abc import Callable

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def test_a_plan_that_was_asked_for_waits_for_its_job() -> None:
    user = make_user()
    plan = ask_plan(program=make_program(), by=user)
    assert (plan.number, plan.state, plan.weeks, plan.asked_by) == (1, "asked", 3, user)
    assert plan.first_week_on == TODAY
    job = Job.objects.get()
    assert (job.key, job.kind, job.payload) == (
        f"plan:{plan.pk}",
        "compute_plan",
        {"plan": plan.pk},
    )


def test_asking_twice_asks_once() -> None:
    first = ask_plan(program=make_program(), by=None)
    assert ask_plan(program=make_program(), by=make_user()) == first
    assert (Plan.objects.count(), Job.objects.count()) == (1, 1)


def test_the_next_plan_has_the_next_number_whatever_became_of_the_last() -> None:
    make_shop()
    plan = computed()
    Plan.objects.update(state=PlanState.SUPERSEDED)
    assert ask_plan(program=make_program(), by=None).number == plan.number + 1


def test_a_failure_is_kept_with_its_reason() -> None:
    plan = keep_failure(plan=ask_plan(program=make_program(), by=None), because="x" * 400)
    plan.refresh_from_db()
    assert (plan.state, plan.error) == (PlanState.FAILED, "x" * 300)
    assert newest_plan(make_program()) == plan


def test_a_draft_that_nobody_approved_gives_way_to_the_next() -> None:
    make_shop()
    first = computed()
    second = computed()
    first.refresh_from_db()
    assert (first.state, second.state) == (PlanState.SUPERSEDED, PlanState.READY)
    assert newest_plan(make_program()) == second


def test_approval_writes_the_days_that_each_household_can_be_told() -> None:
    shop_with_two_cars()
    plan = approve(computed())
    homes = outcome_of(plan).homes
    rows = PlannedCase.objects.filter(plan=plan).order_by("case__number")
    expected = sorted((home.case_id, home.from_on, home.by_on) for home in homes)
    assert [(row.case.number, row.home_from_on, row.home_by_on) for row in rows] == expected
    assert {(row.cash_cents, row.work_left) for row in rows} == {(20_000, "Two front tires")}


def test_approval_asks_for_matching_and_for_appeals_once() -> None:
    shop_with_two_cars()
    plan = approve(computed())
    keys = Job.objects.filter(kind__in=["match", "draft_appeals"]).values_list("key", flat=True)
    assert set(keys) >= {f"appeals:2026-W49:plan:{plan.pk}", f"match:plan:{plan.pk}"}


def test_approval_is_signed_over_what_was_approved() -> None:
    shop_with_two_cars()
    user = make_user()
    plan = approve(computed(), by=user)
    row = Signature.objects.get()
    assert (row.act, row.kind, row.object_id) == ("approve_plan", "plan", plan.pk)
    assert (row.by, row.content_hash) == (user, plan.input_hash)
    assert Event.objects.about("plan", plan.pk)[0].what == "The plan was approved."


def test_a_second_click_approves_nothing_more() -> None:
    shop_with_two_cars()
    plan = computed()
    now = input_of(plan)
    approve(plan, now=now)
    before = (Entry.objects.count(), Commitment.objects.count(), Job.objects.count())
    with pytest.raises(ValidationError) as refusal:
        approve(plan, now=now)
    assert refusal.value.messages == [
        f"Plan {plan.number} is approved; only a ready plan is approved."
    ]
    assert (Entry.objects.count(), Commitment.objects.count(), Job.objects.count()) == before


def test_a_plan_is_not_approved_after_the_facts_have_changed() -> None:
    shop_with_two_cars()
    plan = computed()
    make_work(make_ready("26-043"))
    with pytest.raises(ValidationError) as refusal:
        approve(plan)
    assert refusal.value.messages == [
        "Something has changed since this plan was computed. Compute it again, then approve.",
        "26-043 is new.",
    ]
    assert not Commitment.objects.exists()


def test_a_pin_keeps_a_case_out_of_the_next_plan() -> None:
    shop_with_two_cars()
    case, user = Case.objects.get(number="26-041"), make_user()
    pin = pin_case(case=case, direction="out", reason=" The family is away. ", by=user)
    assert (pin.reason, pin.by, pin.ended_at) == ("The family is away.", user, None)
    plan = newest_plan(make_program())
    assert plan is not None
    assert plan.state == PlanState.ASKED
    assert input_of(plan).pinned_out == {"26-041"}
    line = Event.objects.about("case", case.pk)[0]
    assert line.what == "The case was pinned out."


def test_the_same_pin_sent_twice_stands_once() -> None:
    same: dict[str, Any] = {"case": make_ready("26-041"), "direction": "out", "reason": "Away."}
    same["by"] = make_user()
    assert pin_case(**same) == pin_case(**same) == Pin.objects.get()


def test_a_new_pin_takes_the_place_of_the_old() -> None:
    case = make_ready()
    pin_case(case=case, direction="out", reason="Away.", by=make_user())
    pin_case(case=case, direction="in", reason="A job starts.", by=make_user())
    standing = Pin.objects.filter(ended_at=None)
    assert [(pin.direction, pin.reason) for pin in standing] == [("in", "A job starts.")]


@pytest.mark.parametrize(
    ("fields", "field"), [({"reason": " "}, "reason"), ({"direction": "up"}, "direction")]
)
def test_a_pin_needs_a_reason_and_a_direction(fields: dict[str, str], field: str) -> None:
    case = make_ready()
    with pytest.raises(ValidationError) as refusal:
        pin_case(case=case, by=make_user(), **{"direction": "in", "reason": "Why."} | fields)
    assert set(refusal.value.message_dict) >= {field}
    assert not Pin.objects.exists()


def test_a_closed_case_is_not_pinned() -> None:
    case = make_ready(closed_on=TODAY, closed_because="handed_back")
    with pytest.raises(ValidationError) as refusal:
        pin_case(case=case, direction="in", reason="Why.", by=make_user())
    assert refusal.value.messages == ["Case 26-041 is closed."]


def test_a_pin_is_taken_off_once() -> None:
    case = make_ready()
    pin_case(case=case, direction="out", reason="Away.", by=make_user())
    assert unpin_case(case=case, by=make_user()) == 1
    assert unpin_case(case=case, by=make_user()) == 0
    assert not Pin.objects.filter(ended_at=None).exists()


def test_a_car_that_won_t_be_repaired_gives_up_its_place_and_its_pin() -> None:
    shop_with_two_cars()
    plan = approve(computed())
    place = plan.planned.earliest("pk")
    pin_case(case=place.case, direction="in", reason="Promised.", by=make_user())
    others = plan.planned.count() - 1
    assert give_up_place(case=place.case, by=make_user())
    assert (plan.planned.count(), Pin.objects.filter(ended_at=None).count()) == (others, 0)
    assert Event.objects.about("case", place.case_id).filter(what__contains="given up").exists()
    newest = newest_plan(plan.program)
    assert newest
    assert (newest.state, newest.number) == ("asked", plan.number + 1)
    assert not give_up_place(case=place.case, by=make_user())


@pytest.mark.parametrize(
    "act",
    [partial(pin_case, direction="in", reason="Why."), unpin_case, give_up_place],
    ids=["pin", "unpin", "give up"],
)
def test_whoever_changes_what_is_planned_looks_at_the_program_first(
    act: Callable[..., object],
) -> None:
    case, user = make_ready(), make_user()
    with CaptureQueriesContext(connection) as queries:
        act(case=case, by=user)
    read = [row["sql"] for row in queries if row["sql"].startswith("SELECT")]
    assert ' FROM "shared_program" ' in read[0]
