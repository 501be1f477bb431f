"""What a case costs."""

from __future__ import annotations

from decimal import Decimal

from program.statements.outlays import cases_sheet, each, outlays
from tests.program.published import published
from tests.program.statements.booked import booked

NUMBERS = {1: "26-041", 2: "26-036"}


def cost_of(**dollars: int) -> int:
    """Return the cost of one case with material, labor and overhead, in whole dollars."""
    accounts = {"materials": "6010", "labor": "6100", "overhead": "6070"}
    costs = {(1, accounts[name]): cents * 100 for name, cents in dollars.items()}
    (case,) = outlays(costs, NUMBERS, {}).cases
    return case.total // 100


def test_a_job_cost_sheet_adds_up_as_printed() -> None:
    # JC-01: OpenStax Principles of Accounting Vol. 2 sec. 4.4-4.5 (text-seen).
    case = published()["JC-01"]
    labor = sum(case.inputs["labor"])
    overhead = int(labor * Decimal(case.inputs["overhead_rate_per_labor_dollar"]))
    assert overhead == case.expected["overhead"]
    materials = sum(case.inputs["materials"])
    assert cost_of(materials=materials, labor=labor, overhead=overhead) == case.expected["total"]


def test_two_more_jobs_add_up_as_printed() -> None:
    # JC-02, JC-04: OpenStax Vol. 2 sec. 4.4, exercises (text-seen).
    for name in ("JC-02", "JC-04"):
        case = published()[name]
        given = case.inputs
        total = cost_of(
            materials=given["materials"], labor=given["labor_cost"], overhead=given["overhead"]
        )
        assert total == case.expected["total"]


def test_a_printed_job_that_is_out_by_a_dollar_is_not_met() -> None:
    # JC-05: OpenStax Vol. 2 sec. 4.4, an erratum (text-seen): its parts make 2,399, not 2,400.
    case = published()["JC-05"]
    given = case.inputs
    parts = {"materials": given["materials"], "overhead": given["overhead"]}
    assert cost_of(labor=given["labor_cost_printed"], **parts) == given["total_printed"] - 1
    assert cost_of(labor=case.expected["labor_cost_consistent"], **parts) == given["total_printed"]


def test_the_cost_of_each_placement_is_as_printed() -> None:
    # JC-06: OpenStax Vol. 2 sec. 5.1 (text-seen): an animal charity's cost for each adoption.
    case = published()["JC-06"]
    cents = each(case.inputs["annual_budget"] * 100, case.inputs["placements"])
    assert cents == Decimal(case.expected["cost_per_placement"]) * 100


def test_a_cost_for_each_is_rounded_half_up_and_never_of_none() -> None:
    assert [each(5, 2), each(4, 3), each(5, 3), each(7, 0)] == [3, 1, 2, None]


def test_cases_stand_by_number_and_what_has_no_case_below() -> None:
    found = outlays(
        {(1, "6010"): 500, (1, "6110"): 300, (2, "6030"): 200}, NUMBERS, {"7010": 900, "6010": 40}
    )
    assert [(row.number, row.money, row.in_kind) for row in found.cases] == [
        ("26-036", 200, 0),
        ("26-041", 500, 300),
    ]
    assert (found.of_cases, found.without.total, found.total) == (1000, 940, 1940)


def test_the_thousandth_case_of_a_year_stands_after_the_one_before() -> None:
    found = outlays({(1, "6010"): 1, (2, "6010"): 2}, {1: "26-1000", 2: "26-999"}, {})
    assert [row.number for row in found.cases] == ["26-999", "26-1000"]


def test_cases_that_the_reader_may_not_see_are_one_line_of_the_same_sum() -> None:
    found = outlays({(1, "6010"): 500, (8, "6010"): 70, (9, "6030"): 30}, NUMBERS, {})
    assert [(row.number, row.total) for row in found.cases] == [
        ("26-041", 500),
        ("Withheld from you", 100),
    ]
    sheet = cases_sheet(booked([]), found, 0)
    links = [row.figures[-1].case for row in sheet.rows[:2] if row.figures[-1]]
    assert links == ["26-041", ""]


def test_the_sheet_says_what_each_car_cost_and_that_none_went_home() -> None:
    found = outlays({(1, "6010"): 50_000}, NUMBERS, {"7010": 10_000})
    assert cases_sheet(booked([]), found, 2).notes == (
        "2 cars were handed back and stayed so: $300.00 of all expenses for each.",
    )
    assert cases_sheet(booked([]), found, 0).notes == (
        "No car was handed back within these days, so there is no cost for each.",
    )
    figures = [
        [one.cents for one in row.figures if one] for row in cases_sheet(booked([]), found, 1).rows
    ]
    assert [row[-1] for row in figures] == [50_000, 50_000, 10_000, 60_000]
