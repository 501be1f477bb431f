"""The input of a plan, from rows."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shared.models import Program
from shared.policy.models import Policy
from sponsors.models import Reservation
from tests.factories import (
    TODAY,
    make_case,
    make_finding,
    make_need,
    make_pledge,
    make_standing,
    make_supply,
)
from tests.program.planning.weeks import make_money, make_ready, make_shop, make_work, stay_of
from vehicles.models import Consent, Reading

if TYPE_CHECKING:
    from program.models import Case

from tests.program.planning.gathered import gathered

pytestmark = pytest.mark.django_db


def hold_of(case: Case) -> str:
    found = next(one for one in gathered().cases if one.id == case.number)
    return str(found.hold or "")


def test_a_case_that_is_ready_is_not_held() -> None:
    make_shop()
    case = make_ready()
    make_work(case)
    assert hold_of(case) == ""


def test_a_household_that_a_person_has_to_decide_about_is_held() -> None:
    make_shop()
    case = make_ready()
    make_work(case)
    assert case.household is not None
    case.household.stage = "deciding"
    case.household.save()
    assert hold_of(case) == "A person has to decide first whether it is repaired."


def test_a_car_that_was_not_inspected_is_held() -> None:
    make_shop()
    case = make_ready()
    Reading.objects.all().delete()
    assert hold_of(case) == "It has not been inspected yet."


def test_a_car_without_an_owners_consent_is_held() -> None:
    make_shop()
    case = make_ready()
    make_work(case)
    Consent.objects.update(withdrawn_on=TODAY)
    assert hold_of(case) == "No owner has consented to the repair."


def test_a_consent_to_storage_is_none_to_the_repair() -> None:
    make_shop()
    case = make_ready()
    make_work(case)
    Consent.objects.update(act="store")
    assert hold_of(case) == "No owner has consented to the repair."


def test_a_lien_in_default_holds_a_car_until_a_person_has_decided() -> None:
    make_shop()
    case = make_ready()
    make_work(case)
    standing = make_standing(stay_of(case), lien="in_default")
    assert hold_of(case) == "The lien on the car is in default."
    standing.cleared_on, standing.cleared_by = TODAY, standing.asked_by
    standing.cleared_because = "The lender agreed in writing."
    standing.save()
    assert hold_of(case) == ""


def test_a_repair_above_the_cap_is_held_with_both_amounts() -> None:
    program = make_shop()
    case = make_ready()
    make_work(case, sublet_cents=160_000, labor_likely_minutes=0, labor_low_minutes=0)
    Policy.objects.create(
        program=program, name="case_cap_cents", value=150_000, since_on=dt.date(2026, 1, 1)
    )
    assert hold_of(case).startswith("It costs $1,6")
    assert hold_of(case).endswith("above the cap of $1,500.00: a person has to decide.")


@pytest.mark.parametrize("fields", [{"promised_on": TODAY}, {"step": "repair"}])
def test_a_car_that_was_promised_or_begun_stays_in_and_is_not_held(fields: Any) -> None:
    make_shop()
    case = make_ready(**fields)
    Consent.objects.all().delete()
    found = gathered().cases[0]
    assert (found.id, found.stays, found.hold) == (case.number, True, None)


@pytest.mark.parametrize("step", ["expected", "handed_back", "scrapped"])
def test_a_car_that_is_not_here_is_not_planned(step: str) -> None:
    make_shop()
    make_ready(step=step)
    assert gathered().cases == ()


def test_closed_cases_and_cars_that_left_are_not_planned() -> None:
    make_shop()
    make_ready("26-041", closed_on=TODAY, closed_because="handed_back")
    gone = stay_of(make_ready("26-042"))
    gone.left_on = TODAY
    gone.save()
    make_case(number="26-043")
    assert gathered().cases == ()


def test_a_unit_that_fits_serves_the_need_and_comes_in_its_week() -> None:
    make_shop()
    make_need(item=make_work(make_ready()))
    pledge = make_pledge()
    shelf = make_supply(fitment=pledge.fitment)
    answer = gathered()
    promised = pledge.units.get()
    ids = {str(promised.pk), str(shelf.pk)}
    assert set(answer.items[0].parts[0].supply_ids) == ids
    weeks = {supply.id: supply.week for supply in answer.supplies}
    assert weeks[str(shelf.pk)] == 0
    assert weeks[str(promised.pk)] >= weeks[str(shelf.pk)]
    labels = {supply.id: supply.label for supply in answer.supplies}
    assert labels[str(promised.pk)] == f"{promised.title} of {pledge.sponsor}"


def test_a_unit_that_a_person_confirmed_serves_only_its_own_need() -> None:
    program = make_shop()
    mine = make_need(item=make_work(make_ready("26-041")))
    make_need(item=make_work(make_ready("26-042")))
    unit = make_pledge().units.get()
    Reservation.objects.create(
        program=program,
        supply=unit,
        need=mine,
        made_for="matching",
        because="It fits.",
        confirmed_at="2026-11-29T12:00:00Z",
    )
    served = [part.supply_ids for item in gathered().items for part in item.parts]
    assert served == [(str(unit.pk),), ()]


def test_a_plan_holds_nothing_of_another_program() -> None:
    make_shop()
    make_work(make_ready())
    other = Program.objects.create(name="Other garage", time_zone="America/New_York")
    answer = gathered(program=other)
    assert (answer.cases, answer.items, answer.funds, answer.supplies) == ((), (), (), ())


def test_the_same_rows_give_the_same_input() -> None:
    make_shop()
    make_need(item=make_work(make_ready(), labor_high_minutes=240, labor_low_minutes=30))
    assert gathered() == gathered()


def test_the_count_of_queries_does_not_grow_with_the_cases() -> None:
    make_shop()
    make_money()

    def count(numbers: range) -> int:
        for number in numbers:
            make_need(item=make_work(make_ready(f"26-{number:03}")))
        with CaptureQueriesContext(connection) as queries:
            gathered()
        return len(queries)

    assert count(range(1, 3)) == count(range(3, 6))


def test_a_repair_waits_for_the_repair_of_its_cause() -> None:
    make_shop()
    case = make_ready()
    killer = make_finding(intake=stay_of(case), title="Fan stands still")
    killed = make_finding(intake=stay_of(case), title="Gasket leaks", caused_by=killer)
    gasket = make_work(case, title="Head gasket", findings=[killed])
    fan = make_work(case, title="Fan motor", findings=[killer])
    first = {item.id: item.prerequisites for item in gathered().items}
    assert first == {str(gasket.pk): (str(fan.pk),), str(fan.pk): ()}
    assert hold_of(case) == ""


def test_a_repair_whose_cause_nobody_repairs_holds_the_case() -> None:
    make_shop()
    case = make_ready()
    killer = make_finding(intake=stay_of(case), title="Fan stands still")
    killed = make_finding(intake=stay_of(case), title="Gasket leaks", caused_by=killer)
    make_work(case, title="Head gasket", findings=[killed])
    assert hold_of(case) == (
        "“Fan stands still” brought about what “Head gasket” repairs, and nobody repairs the cause."
    )
