from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.diagnosis.choosing import thresholds, value_of_information

CASES = {
    case["id"]: case
    for case in json.loads(
        Path(__file__).parents[2].joinpath("data", "repair_sequences.json").read_text("utf-8")
    )["examples"]
}


def test_the_test_of_the_used_car_is_worth_nothing() -> None:
    """Pearl 1988, adapted in the exercises of AIMA; inputs text-seen, answers computed."""
    case = CASES["used_car_test"]
    given_, expected = case["inputs"], case["expected"]
    good = given_["p_good"]
    buy = (
        given_["value_good"] - given_["price"],
        given_["value_good"] - given_["price"] - given_["repair_if_bad"],
    )
    rows = [(p, 1 - p) for p in (given_["p_pass_given_good"], given_["p_pass_given_bad"])]
    found = value_of_information((good, 1 - good), (buy, (0, 0)), rows)
    assert found.without == pytest.approx(expected["gain_without_test"])
    assert found.seen[0] == pytest.approx(expected["p_pass"])
    assert found.posteriors[0][0] == pytest.approx(expected["p_good_given_pass"], abs=1e-9)
    assert found.posteriors[1][0] == pytest.approx(expected["p_good_given_fail"], abs=1e-9)
    assert found.gains[0] == pytest.approx(expected["gain_given_pass"], abs=1e-6)
    assert found.gains[1] == pytest.approx(expected["gain_given_fail"], abs=1e-6)
    assert found.value == pytest.approx(expected["value_of_test_information"], abs=1e-9)
    assert found.value < given_["test_cost"]


def test_a_perfect_test_is_worth_the_loss_that_it_spares() -> None:
    found = value_of_information((0.7, 0.3), ((500, -200), (0, 0)), ((1, 0), (0, 1)))
    assert found.value == pytest.approx(0.3 * 200)


def test_an_outcome_that_cannot_come_counts_nothing() -> None:
    found = value_of_information((0.7, 0.3), ((500, -200), (0, 0)), ((1, 0), (1, 0)))
    assert (found.value, found.seen[1]) == (0.0, 0.0)


def test_the_thresholds_are_those_of_the_formulas() -> None:
    """Pauker and Kassirer 1980, formulas from memory, derived again; values computed."""
    low, high = thresholds(benefit=300, harm=80, sensitivity=0.9, false_alarms=0.1, cost=10)
    assert (round(low, 4), round(high, 4)) == (0.0647, 0.6078)


def test_a_test_that_is_too_dear_leaves_one_threshold() -> None:
    both = thresholds(benefit=300, harm=80, sensitivity=0.9, false_alarms=0.1, cost=400)
    assert both == (80 / 380, 80 / 380)


@given(st.floats(0.01, 0.99), st.floats(0.55, 0.99), st.floats(0.01, 0.45))
def test_between_the_thresholds_testing_costs_least(
    p: float, sensitivity: float, false_alarms: float
) -> None:
    low, high = thresholds(
        benefit=300, harm=80, sensitivity=sensitivity, false_alarms=false_alarms, cost=5
    )
    leave, repair = p * 300, (1 - p) * 80
    test = 5 + p * (1 - sensitivity) * 300 + (1 - p) * false_alarms * 80
    best = min(leave, repair, test)
    if p < low:
        assert leave == pytest.approx(best)
    elif p > high:
        assert repair == pytest.approx(best)
    elif low < high:
        assert test == pytest.approx(best)


@given(st.data())
def test_no_test_is_worth_less_than_nothing(data: st.DataObject) -> None:
    share = st.floats(0.01, 0.99)
    good, sure, false = data.draw(share), data.draw(share), data.draw(share)
    gains = [[data.draw(st.integers(-9, 9)) for _ in range(2)] for _ in range(3)]
    rows = ((sure, 1 - sure), (false, 1 - false))
    found = value_of_information((good, 1 - good), gains, rows)
    known = value_of_information((good, 1 - good), gains, ((1, 0), (0, 1)))
    assert 0 <= found.value <= known.value + 1e-9
