from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.utils import timezone

from program.cases.models import Case
from program.households.models import Household
from program.status.actions import ask_question
from program.status.queries import (
    facts_of,
    may_have_page,
    page_barriers,
    planned_of,
    report_of,
    stays,
    updated_at,
    with_parts,
)
from sponsors.matching.models import Reservation
from tests.factories import (
    make_case,
    make_finding,
    make_inspection,
    make_program,
    make_reading,
    make_supply,
    make_vehicle,
)
from tests.program.status.making import make_approved_plan, make_told_case
from vehicles.custody.models import Condition, Consent, Owner
from vehicles.inspection.depths import Depth
from vehicles.inspection.queries import criteria_of_sheet
from vehicles.repairs.models import Need, RepairItem

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from program.cases.next_step import Facts

pytestmark = pytest.mark.django_db


def facts(case: Case) -> Facts:
    rows = list(with_parts(Case.objects.filter(pk=case.pk)))
    return facts_of(rows, case.program)[case.pk]


def test_facts_say_what_the_rows_say() -> None:
    case = make_told_case()
    found = facts(case)
    assert (found.stage, found.car) == ("being_served", "repair")
    assert (found.open_by_tier, found.needs_unserved) == ((1, 0, 0, 0, 0), 1)
    assert (found.in_plan, found.home_until, found.question_on) == (False, None, None)
    assert (found.safe_contact_set, found.consent_given, found.days_waiting) == (True, False, 0)


def test_a_dangerous_finding_is_told_before_any_work_is_written_for_it() -> None:
    case = make_told_case()
    assert case.vehicle
    RepairItem.objects.update(tier=4)
    assert not facts(case).is_dangerous
    finding = make_finding(intake=case.vehicle.intakes.get())
    assert facts(case).dangerous
    finding.cleared_on = case.program.today()
    finding.save()
    assert not facts(case).is_dangerous


def test_a_look_that_a_finding_ended_leaves_nothing_to_read() -> None:
    case = make_told_case()
    assert case.vehicle
    stay = case.vehicle.intakes.get()
    assert facts(case).unread_criteria > 100
    make_inspection(stay, Depth.LOOK, ended_at=timezone.now(), stopped_because="A hole at a mount.")
    assert facts(case).unread_criteria == 0


def test_a_car_in_final_inspection_is_asked_for_its_final_points() -> None:
    case = make_told_case()
    assert case.vehicle
    Condition.objects.update(step="final_inspection")
    before = facts(case).unread_criteria
    make_reading(intake=case.vehicle.intakes.get(), criterion="tire-tread", final=False)
    assert facts(case).unread_criteria == before
    make_reading(intake=case.vehicle.intakes.get(), criterion="tire-tread", final=True)
    assert facts(case).unread_criteria == before - 1


def test_a_part_that_is_kept_is_no_longer_to_be_found() -> None:
    case, supply = make_told_case(), make_supply()
    rows = {"supply": supply, "need": Need.objects.get(), "made_for": "test", "because": "It fits."}
    kept = Reservation.objects.create(program=case.program, **rows)
    assert facts(case).needs_unserved == 0
    kept.freed_at = timezone.now()
    kept.save()
    assert facts(case).needs_unserved == 1


def test_a_consent_counts_while_it_is_in_force() -> None:
    case = make_told_case()
    assert case.vehicle
    owner = Owner.objects.create(
        program=case.program,
        vehicle=case.vehicle,
        name="Ana",
        kind="title",
        paper_seen_on=case.opened_on,
    )
    given = Consent.objects.create(
        program=case.program,
        intake=case.vehicle.intakes.get(),
        owner=owner,
        act="repair",
        given_on=case.opened_on,
    )
    # The stay of the factories begins after the case was opened.
    given.given_on = case.program.today() - dt.timedelta(days=1)
    given.save()
    assert facts(case).consent_given
    given.withdrawn_on = case.program.today()
    given.save()
    assert not facts(case).consent_given


def test_a_reading_leaves_one_point_less_to_read() -> None:
    case = make_told_case()
    assert case.vehicle
    before = facts(case).unread_criteria
    code = criteria_of_sheet()[0].code
    make_reading(intake=case.vehicle.intakes.get(), criterion=code)
    assert facts(case).unread_criteria == before - 1


def test_the_approved_plan_gives_the_date_and_no_other_plan_does() -> None:
    case = make_told_case()
    plan = make_approved_plan(case)
    found = facts(case)
    assert (found.in_plan, found.home_until) == (True, plan.planned.get().home_by_on)
    plan.state = "superseded"
    plan.save()
    assert planned_of([case]) == {}


def test_the_oldest_open_question_counts() -> None:
    case = make_told_case()
    ask_question(case=case, text="When?", client_key=uuid4())
    assert facts(case).question_on == case.program.today()


def test_a_car_without_household_has_no_facts() -> None:
    program = make_program()
    case = Case.objects.create(
        program=program, number="26-900", opened_on=program.today(), vehicle=make_vehicle()
    )
    assert facts_of(list(with_parts(Case.objects.all())), program) == {}
    assert report_of(case) is None
    assert not may_have_page(case)
    assert page_barriers(None) == []


def test_facts_cost_the_same_for_one_case_and_for_three(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    first = make_told_case()
    with django_assert_num_queries(9):
        facts_of(list(with_parts(Case.objects.filter(pk=first.pk))), first.program)
    make_told_case()
    make_case()
    with django_assert_num_queries(9):
        assert len(facts_of(list(with_parts(Case.objects.all())), first.program)) == 3


def test_the_newest_stay_speaks() -> None:
    case = make_told_case()
    assert case.vehicle
    first = case.vehicle.intakes.get()
    first.left_on = first.arrived_on
    first.save()
    assert stays([case], case.program)[case.vehicle.pk] == first
    assert facts(case).consent_given  # a car that isn't here needs none


def test_the_report_knows_the_plan_and_the_next_word() -> None:
    case = make_told_case()
    plan = make_approved_plan(case)
    case.next_word_on = case.program.today() + dt.timedelta(days=7)
    found = report_of(case)
    assert found
    assert found.home_by_on == plan.planned.get().home_by_on
    assert found.next_word_on == case.next_word_on
    assert plan.approved_at
    assert updated_at(case) >= plan.approved_at


@pytest.mark.parametrize(
    "rule", [{"barred": True}, {"says": "call_back"}, {"says": "nothing"}, {"says": "progress"}]
)
def test_the_rule_of_the_address_decides_about_the_page(rule: dict[str, Any]) -> None:
    assert may_have_page(make_told_case(**rule)) is (rule == {"says": "progress"})


def test_nobody_asked_means_no_page() -> None:
    case = make_told_case()
    Household.objects.update(safe_contact_on=None)
    assert not may_have_page(Case.objects.get(pk=case.pk))
