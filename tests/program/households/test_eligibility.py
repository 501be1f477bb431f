"""The poverty guideline: published limits, boundaries, and the guideline of the day.

The figures of 2024 to 2026 were seen second-hand (marks in `poverty_guidelines.csv`).
"""

from __future__ import annotations

import re
from datetime import date
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.households.eligibility import (
    Guideline,
    Household,
    area_of,
    assess,
    guideline_on,
    load,
)
from tests.program.published import Case, published

LIMITS = [case for case in published().values() if case.category == "poverty_threshold"]
guidelines = st.sampled_from(load())
multiples = st.sampled_from([Fraction(5, 4), Fraction(3, 2), Fraction(37, 20), Fraction(2)])
incomes = st.integers(0, 20_000_000)


def the_guideline(year: int, area: str) -> Guideline:
    [found] = [one for one in load() if (one.year, one.area) == (year, area)]
    return found


def cents(dollars: str) -> Fraction:
    return Fraction(dollars) * 100


@pytest.mark.parametrize("case", LIMITS, ids=lambda case: case.case_id)
def test_published_limits_come_out_to_the_cent(case: Case) -> None:
    # The source of each stands beside it in tests/data/accounting_cases.csv.
    given_ = case.inputs
    household = Household(members=given_["household"], annual_income_cents=0)
    guideline = the_guideline(given_["year"], given_["area"])
    found = assess(household, guideline, Fraction(given_["multiple"]))
    assert found.limit_cents == cents(case.expected["income_limit"])


@pytest.mark.parametrize("case_id", ["POV-22", "POV-23"])
def test_the_percent_is_that_of_the_case(case_id: str) -> None:
    case = published()[case_id]
    income = int(cents(case.inputs["annual_income"]))
    household = Household(members=case.inputs["household"], annual_income_cents=income)
    found = assess(household, the_guideline(case.inputs["year"], "US"), Fraction(5, 4))
    assert f"{float(found.percent):.2f}" == case.expected["percent"]


def test_a_cent_above_the_limit_is_above_it_though_the_percent_rounds_to_it() -> None:
    # POV-22: $41,250.01 for four in 2026 is 125.00 percent when rounded, and over 125 percent.
    above = Household(members=4, annual_income_cents=41_250_01)
    at = Household(members=4, annual_income_cents=41_250_00)
    guideline = the_guideline(2026, "US")
    assert [assess(one, guideline, Fraction(5, 4)).within for one in (above, at)] == [False, True]


def test_monthly_limits_are_those_of_a_workforce_program() -> None:
    # POV-24: 150 percent in 2025, sizes 2 to 5, each month rounded up (text-seen).
    case = published()["POV-24"]
    found = [
        assess(
            Household(members=size, annual_income_cents=0),
            the_guideline(2025, "US"),
            Fraction(3, 2),
        ).monthly_limit_dollars
        for size in case.inputs["household"]
    ]
    assert found == case.expected["monthly_limits"]


@pytest.mark.parametrize("guideline", load(), ids=lambda one: f"{one.year} {one.area}")
def test_each_table_is_a_first_person_and_equal_steps(guideline: Guideline) -> None:
    first, step = guideline.dollars[0], guideline.each_more_dollars
    assert guideline.dollars == tuple(first + step * n for n in range(8))


def test_a_household_beyond_the_table_takes_the_step_for_each_more() -> None:
    assert the_guideline(2026, "AK").cents(10) == (69650 + 2 * 7100) * 100


@pytest.mark.parametrize(
    ("day", "year"),
    [(date(2026, 1, 12), 2025), (date(2026, 1, 13), 2026), (date(2027, 5, 1), 2026)],
)
def test_the_year_of_the_guideline_begins_in_mid_january(day: date, year: int) -> None:
    assert guideline_on(day, "OH").year == year


@pytest.mark.parametrize(
    ("state", "area"), [("OH", "US"), (" dc ", "US"), ("AK", "AK"), ("hi", "HI")]
)
def test_a_state_has_its_area(state: str, area: str) -> None:
    assert area_of(state) == area


def test_a_territory_without_a_guideline_is_not_guessed() -> None:
    with pytest.raises(ValueError, match=r"^“PR” has no poverty guideline of its own\."):
        guideline_on(date(2026, 11, 25), "PR")


def test_a_day_before_the_first_guideline_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^No poverty guideline is on file for 2023-12-31\.$"):
        guideline_on(date(2023, 12, 31), "OH")


@pytest.mark.parametrize(
    ("members", "income", "multiple", "message"),
    [
        (0, 0, Fraction(1), "A household of 0 is not possible. Type 1 or more."),
        (1, -100, Fraction(1), "An income of −$1.00 is not possible. Type 0 or more."),
        (1, 0, Fraction(0), "The limit has to be more than 0% of the guideline."),
    ],
)
def test_what_cannot_be_is_refused(
    members: int, income: int, multiple: Fraction, message: str
) -> None:
    household = Household(members=members, annual_income_cents=income)
    with pytest.raises(ValueError, match=f"^{re.escape(message)}$"):
        assess(household, the_guideline(2026, "US"), multiple)


@given(guidelines, multiples, st.integers(1, 15), incomes, st.integers(1, 10**6))
def test_more_income_never_brings_a_household_in(
    guideline: Guideline, multiple: Fraction, members: int, income: int, more: int
) -> None:
    less = assess(Household(members=members, annual_income_cents=income), guideline, multiple)
    plus = assess(
        Household(members=members, annual_income_cents=income + more), guideline, multiple
    )
    assert less.within >= plus.within
    assert less.within == (less.percent <= multiple * 100)
