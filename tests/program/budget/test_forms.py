from __future__ import annotations

from typing import Any

import pytest

from program.budget.forms import CopyForm, LineForm, ReportForm, accounts, as_typed
from program.budget.states import Start
from tests.factories import make_fund, make_program, make_user
from tests.program.budget.lines import YEAR, make_line

pytestmark = pytest.mark.django_db


def form(**typed: Any) -> LineForm:
    data = {"account": "6010"} | typed
    return LineForm(data, user=make_user(), begins=YEAR.months)


def test_an_annual_amount_is_spread_over_the_months() -> None:
    typed = form(annual="100.00")
    assert typed.is_valid()
    assert typed.cleaned_data["months"] == (834,) * 4 + (833,) * 8


def test_months_stand_as_they_were_typed_and_an_empty_one_is_zero() -> None:
    typed = form(m2="30", m12="1.50")
    assert typed.is_valid()
    assert typed.cleaned_data["months"] == (0, 3000, *[0] * 9, 150)


@pytest.mark.parametrize(
    ("typed", "name", "sentence"),
    [
        ({}, "annual", "Type an amount for the year, or one for each month."),
        ({"annual": "10", "m1": "9"}, "annual", "The months make $9.00, not $10.00."),
        ({"annual": "-1.00"}, "annual", "−$1.00 is too little. Type at least $0.00."),
        ({"m3": "-1.00"}, "m3", "−$1.00 is too little. Type at least $0.00."),
        (
            {"annual": "99999999999"},
            "annual",
            "“99999999999” is more than this ledger can hold.",
        ),
        ({"account": "", "annual": "1"}, "account", "Account: an answer is missing."),
    ],
)
def test_what_can_not_be_a_line_is_told_beside_its_field(
    typed: dict[str, str], name: str, sentence: str
) -> None:
    refused = form(**typed)
    assert not refused.is_valid()
    assert refused.errors == {name: [sentence]}


def test_a_line_offers_income_and_costs_and_the_programs_own_funds() -> None:
    own, other = make_fund(), make_fund(program=make_program(name="Other garage"))
    codes = [code for code, _ in accounts()]
    assert (codes[0], codes[1], "1010" in codes, "8020" in codes) == ("", "4010", False, True)
    assert form(annual="1", fund=str(own.pk)).is_valid()
    assert list(form(annual="1", fund=str(other.pk)).errors) == ["fund"]


def test_a_line_is_shown_as_one_amount_where_it_is_spread_evenly() -> None:
    even = as_typed(make_line(100_00))
    assert (even["annual"], "m1" in even, even["version"]) == (100_00, False, 1)
    odd = as_typed(make_line(months=(5, *[0] * 11), account="6050"))
    assert ("annual" in odd, odd["m1"], odd["m2"]) == (False, 5, 0)


def test_months_are_open_where_they_hold_something() -> None:
    assert not form(annual="1").months_are_used
    assert form(m4="1").months_are_used


@pytest.mark.parametrize(("typed", "percent"), [("3", 3), ("-5", -5), ("−5", -5), ("+2", 2)])
def test_a_percentage_goes_up_or_down(typed: str, percent: int) -> None:
    copy = CopyForm({"start": "actual", "percent": typed})
    assert copy.is_valid()
    assert copy.cleaned_data == {"start": Start.ACTUAL, "percent": percent}


@pytest.mark.parametrize("typed", ["1.5", "101", "-91", "٣", "three", "99999"])
def test_a_percentage_that_only_a_slip_can_mean_is_refused(typed: str) -> None:
    copy = CopyForm({"start": "budget", "percent": typed})
    assert copy.errors == {
        "percent": [f"“{typed}” is not possible. Type a whole number from −90 to 100."]
    }


def test_a_report_is_asked_for_by_year_fund_and_function() -> None:
    fund = make_fund(code="GEN")
    asked = {"year": "2026", "fund": "GEN", "function": "program"}
    report = ReportForm(asked, years=[(2026, "2026")], funds=[fund])
    assert report.is_valid()
    assert report.cleaned_data == {"year": 2026, "fund": "GEN", "function": "program"}
    wrong = ReportForm({"year": "1066", "fund": "NONE"}, years=[(2026, "2026")], funds=[fund])
    assert sorted(wrong.errors) == ["fund", "year"]
