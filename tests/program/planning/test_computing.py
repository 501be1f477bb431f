"""One computation, with everything that a person is told about it."""

from __future__ import annotations

import datetime as dt

import pytest

from program.planning import boarding, computing
from program.planning.actions import pin_case
from program.planning.computing import compute
from program.planning.outcome import Outcome
from program.planning.queries import outcome_of
from tests.factories import TODAY, make_bay, make_need, make_program, make_user
from tests.program.planning.gathered import gathered
from tests.program.planning.weeks import computed as computed_plan
from tests.program.planning.weeks import make_money, make_ready, make_second, make_shop, make_work

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def computed() -> Outcome:
    return compute(make_program(), gathered())


def test_a_car_goes_home_after_its_last_day_in_the_bay() -> None:
    make_shop()
    make_second()
    make_money()
    make_work(make_ready(), sublet_cents=0)
    outcome = computed()
    (home,), (stay,) = outcome.homes, outcome.stays
    assert (stay.bay, stay.first_on, home.start_on) == ("Bay 1", TODAY, TODAY)
    assert home.from_on == stay.last_on + dt.timedelta(days=1)
    assert home.by_on > home.from_on


def test_the_work_names_two_items_and_counts_the_rest() -> None:
    make_shop()
    make_money()
    case = make_ready()
    for title in ("Left hub", "Brake hose", "Pads", "Bulb"):
        make_work(case, title=title, sublet_cents=100)
    assert computed().homes[0].work == "Left hub, Brake hose and 2 more"


def test_a_car_without_work_left_needs_its_final_inspection() -> None:
    make_shop()
    make_ready(step="final_inspection")
    (home,) = computed().homes
    assert home.work == "Final inspection, papers"


def test_cars_that_wait_stand_by_need_with_what_they_lack() -> None:
    make_shop()
    make_money(1_000)
    for number, weight in (("26-041", 4), ("26-042", 9)):
        make_work(make_ready(number, weight=weight))
    waits = computed().waits
    assert [(wait.case_id, wait.held) for wait in waits] == [("26-042", False), ("26-041", False)]
    assert all("$" in wait.lacks for wait in waits)


def test_a_part_that_would_free_a_car_is_asked_for_first() -> None:
    make_shop()
    make_money(26_000)
    need = make_need(item=make_work(make_ready()), price_low_cents=12_000, price_high_cents=12_000)
    (wanted,) = computed().wanted
    assert (wanted.need_id, wanted.label, wanted.freed) == (need.pk, "Radiator", ("26-041",))
    assert wanted.weight == 8


def test_weeks_and_funds_add_up() -> None:
    make_shop(minutes=300)
    make_money(50_000)
    make_work(make_ready())
    outcome = computed()
    assert [week.minutes_there for week in outcome.weeks] == [300, 300, 300]
    assert sum(week.minutes_used for week in outcome.weeks) == 60 + 45
    (fund,) = outcome.funds
    assert (fund.free_cents, fund.plan_cents, fund.left_cents) == (50_000, 20_000, 30_000)


def test_the_same_facts_give_the_same_outcome_and_keep_it() -> None:
    make_shop()
    make_money()
    make_bay(name="Bay 2")
    make_need(item=make_work(make_ready()))
    assert computed() == computed()
    plan = computed_plan()
    assert Outcome.from_json(outcome_of(plan).to_json()) == outcome_of(plan)


def test_what_the_pins_cost_is_computed_with_the_plan() -> None:
    make_shop()
    make_money(25_000)
    pinned, other = make_ready("26-041", weight=4), make_ready("26-042", weight=9)
    make_work(pinned)
    make_work(other)
    assert computed().pins_cost == 0
    pin_case(case=pinned, direction="in", reason="Promised on the phone.", by=make_user())
    outcome = computed()
    assert (outcome.plan.case_ids, outcome.pins_cost) == (("26-041",), 5)
    assert Outcome.from_json(outcome.to_json()).pins_cost == 5


def test_a_program_too_large_to_explain_at_once_says_a_bound(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(computing, "SMALL", 0)
    make_shop()
    make_money(26_000)
    need = make_need(item=make_work(make_ready()), price_low_cents=12_000, price_high_cents=12_000)
    outcome = computed()
    (wait,), (wanted,) = outcome.waits, outcome.wanted
    assert (wait.case_id, wait.exact, wait.reasons) == ("26-041", False, ())
    assert "$" in wait.lacks
    assert (wanted.need_id, wanted.exact) == (need.pk, False)


def test_a_car_that_nobody_laid_out_is_promised_by_the_last_day_of_its_week(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(boarding, "MOST_CARS", 0)
    make_shop()
    make_money()
    make_work(make_ready(), sublet_cents=0)
    outcome = computed()
    (home,) = outcome.homes
    last = gathered().weeks[outcome.plan.cases[0].home_week].days[-1]
    assert (home.start_on, home.from_on, outcome.stays) == (TODAY, last, ())
