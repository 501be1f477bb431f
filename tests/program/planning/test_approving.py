"""What an approved plan changes beyond itself."""

from __future__ import annotations

import datetime as dt

import pytest
from django.core.exceptions import ValidationError

from program.ledger.queries import standing_commitments
from program.models import Case, Commitment, Entry, Fund, Plan, PlannedCase
from program.planning.actions import (
    pin_case,
)
from program.planning.jobs import input_of
from program.planning.queries import approved_plan
from program.planning.states import PlanState
from shared.models import Job
from sponsors.models import Reservation
from tests.factories import TODAY, make_entry, make_need, make_pledge, make_user
from tests.program.planning.approved import approve, shop_with_two_cars
from tests.program.planning.weeks import (
    computed,
    make_money,
    make_ready,
    make_shop,
    make_work,
)

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def test_approval_sets_the_money_of_each_item_aside() -> None:
    program = shop_with_two_cars()
    plan = approve(computed())
    rows = Commitment.objects.order_by("case__number")
    assert [(row.case.number, row.fund.code, row.cents, row.cause) for row in rows] == [
        ("26-041", "GEN", 20_000, f"plan:{plan.pk}"),
        ("26-042", "GEN", 20_000, f"plan:{plan.pk}"),
    ]
    entry = Entry.objects.get(key=f"plan:{plan.pk}")
    assert entry.what == f"Set aside by plan {plan.number}"
    assert entry.transfers.count() == 2
    assert approved_plan(program) == plan


def test_approval_keeps_the_given_parts_for_their_cars() -> None:
    program = make_shop()
    make_money()
    need = make_need(item=make_work(make_ready(), sublet_cents=0))
    unit = make_pledge().units.get()
    plan = approve(computed())
    row = Reservation.objects.standing().get()
    assert (row.program, row.supply, row.need) == (program, unit, need)
    assert row.made_for == f"plan:{plan.number}"


def test_approval_moves_those_who_get_their_car_and_tells_everybody() -> None:
    shop_with_two_cars()
    waits = make_ready("26-043", name="Karl Iverson")
    make_work(waits, sublet_cents=500_000)
    plan = approve(computed())
    stages = {case.number: case.household.stage for case in Case.objects.all() if case.household}
    assert stages == {"26-041": "being_served", "26-042": "being_served", "26-043": "waiting"}
    words = set(Case.objects.values_list("next_word_on", flat=True))
    assert words == {TODAY + dt.timedelta(days=7)}
    reports = Job.objects.filter(kind="status_report").order_by("key")
    assert {job.key for job in reports} == {
        f"status:{case.pk}:plan:{plan.pk}" for case in Case.objects.all()
    }


def test_the_plan_before_is_followed_and_its_money_is_not_set_aside_twice() -> None:
    program = shop_with_two_cars()
    first = approve(computed())
    second = approve(computed())
    first.refresh_from_db()
    assert (first.state, approved_plan(program)) == (PlanState.SUPERSEDED, second)
    assert sum(row.cents for row in standing_commitments(program)) == 40_000


def test_a_case_that_drops_out_gives_its_money_back() -> None:
    program = shop_with_two_cars()
    approve(computed())
    pin_case(
        case=Case.objects.get(number="26-042"),
        direction="out",
        reason="The family is away.",
        by=make_user(),
    )
    Plan.objects.filter(state=PlanState.ASKED).delete()
    second = approve(computed())
    assert [row.case.number for row in standing_commitments(program)] == ["26-041"]
    assert Entry.objects.get(key=f"plan:{second.pk}:freed").transfers.get().cents == 20_000


def test_an_item_that_costs_more_than_before_has_one_larger_commitment() -> None:
    program = shop_with_two_cars()
    approve(computed())
    case = Case.objects.get(number="26-041")
    assert case.vehicle is not None
    item = case.vehicle.intakes.get().items.get()
    item.sublet_cents = 26_000
    item.save()
    approve(computed())
    rows = standing_commitments(program).filter(case=case)
    assert [row.cents for row in rows] == [26_000]


def test_nothing_stays_behind_when_the_money_went_meanwhile() -> None:
    shop_with_two_cars()
    plan = computed()
    now = input_of(plan)
    make_entry(("6010", "1010", 95_000, Fund.objects.get()))
    with pytest.raises(ValidationError, match=r"has \$50\.00 free"):
        approve(plan, now=now)
    plan.refresh_from_db()
    assert plan.state == PlanState.READY
    assert not PlannedCase.objects.exists()
    assert not Commitment.objects.exists()
