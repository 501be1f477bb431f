from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from program.desk.pictures import (
    days_of,
    decided_last,
    leads,
    money,
    short_names,
    week_of,
    where_cars_are,
)
from program.desk.queries import open_cases
from tests.factories import (
    make_case,
    make_entry,
    make_fund,
    make_household,
    make_plan,
    make_user,
    make_vehicle,
)
from tests.program.desk.making import make_outcome, make_ready_plan

pytestmark = pytest.mark.django_db


def test_the_tally_counts_open_cases_by_the_step_of_their_car() -> None:
    for step in ("repair", "repair", "assessment"):
        make_case(vehicle=make_vehicle(step=step))
    cases = open_cases(make_user())
    chart = where_cars_are(cases, cases[0].program.today())
    assert chart
    counts = {str(label): count for label, count, _ in chart.rows}
    assert (counts["in repair"], counts["in assessment"], counts["expected"]) == ("2", "1", "0")


def test_of_a_day_with_many_cars_the_first_are_named_once_and_the_rest_counted() -> None:
    outcome = make_outcome(make_case(number="26-041"))
    stay = outcome.stays[0]
    cars = [f"26-{number:03}" for number in range(14)]
    stays = tuple(replace(stay, case_id=car) for car in (cars[0], *cars))
    found = days_of(replace(outcome, stays=stays), stay.first_on, dict.fromkeys(cars, "Moss"))
    assert str(found[0].sentence).count("26-000") == 1
    assert str(found[0].sentence).endswith('<span class="nb">26-011</span> Moss and 2 more.')


def test_nothing_is_drawn_where_no_case_has_a_car() -> None:
    assert where_cars_are([], dt.date(2026, 11, 30)) is None


def test_the_week_shows_who_comes_in_and_who_goes_home() -> None:
    case = make_case(number="26-041", household=make_household(name="Dana Haskell"))
    outcome = make_outcome(case)
    monday = outcome.weeks[0].starts_on
    found = days_of(outcome, monday, short_names([case]))
    tag = '<span class="nb">26-041</span>'
    assert [(day.at, day.sentence, day.by) for day in found] == [
        (monday, f"Into a bay: {tag} Haskell.", "Bay 1"),
        (
            monday + dt.timedelta(days=2),
            f"May go home from now on: {tag} Haskell.",
            "",
        ),
    ]


def test_a_name_is_shown_as_typed_not_as_markup() -> None:
    case = make_case(number="26-041", household=make_household(name="Dana <b>"))
    outcome = make_outcome(case)
    found = days_of(outcome, outcome.weeks[0].starts_on, short_names([case]))
    assert "&lt;b&gt;" in found[0].sentence


def test_a_case_that_the_reader_may_not_see_is_not_in_the_week() -> None:
    outcome = make_outcome(make_case())
    assert days_of(outcome, outcome.weeks[0].starts_on, {}) == []


def test_the_week_shown_is_this_one_or_the_first_of_a_plan_that_is_ahead() -> None:
    plan = make_plan(first_week_on=dt.date(2026, 11, 30))
    assert week_of(plan, dt.date(2026, 11, 25)) == dt.date(2026, 11, 30)
    assert week_of(plan, dt.date(2026, 12, 9)) == dt.date(2026, 12, 7)


def test_money_is_what_the_plan_leaves_without_the_reserve() -> None:
    case = make_case()
    chart, kept = money(make_outcome(case), case.program)
    assert chart
    assert (chart.rows, kept) == ((("General fund", "50.00", "123.45", "676.55"),), 20_000)


def test_before_the_first_plan_the_ledger_says_what_is_free() -> None:
    fund = make_fund(name="general fund")
    make_entry(("1010", "4010", 25_000, fund))
    chart, kept = money(None, fund.program)
    assert chart
    assert (chart.rows, kept) == ((("General fund", "0.00", "0.00", "250.00"),), 0)


def test_the_lead_says_that_there_is_no_plan_or_what_it_brings() -> None:
    assert [str(one) for one in leads(None, None, 0)] == ["No plan is computed yet."]
    case = make_case()
    plan = make_ready_plan(case)
    said = [str(one) for one in leads(plan, make_outcome(case), 0)]
    assert said[0].startswith("One car can go home by ")
    assert said[1:] == ["This plan is not approved yet."]


def test_the_nearest_day_to_decide_by_stands_first() -> None:
    day = dt.date(2026, 12, 1)
    late = make_case(household=make_household(decide_by_on=day))
    soon = make_case(household=make_household(decide_by_on=day - dt.timedelta(days=1)))
    never = make_case()
    assert sorted([never, late, soon], key=decided_last) == [soon, late, never]
