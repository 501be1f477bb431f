from __future__ import annotations

from math import log

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.vehicles.diagnosis.enumeration import (
    branch_figures,
    enumerate_all,
    figures,
    random_model,
    random_observations,
)
from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.fault_model import Causes, FaultModel, outcome_row
from vehicles.diagnosis.inference import Engine, Reasoner, believe
from vehicles.diagnosis.mixture import Mixture, configurations

SEEDS = st.integers(0, 10**6)


def chain(length: int) -> FaultModel:
    """Return a fault that brings about one that brings about one and so on."""
    faults = [a_fault("f0", 1.0)]
    faults += [a_fault(f"f{at}", 0.0, caused_by={f"f{at - 1}": 0.5}) for at in range(1, length)]
    return a_model(faults, [a_check(given={"f0": (0.2, 0.8)})])


@given(SEEDS)
def test_one_root_cause_equals_enumeration(seed: int) -> None:
    model = random_model(seed, Causes.ONE)
    seen = random_observations(seed, model)
    found, expected = believe(model, seen), enumerate_all(model, seen)
    assert found.engine is Engine.ROOTS
    assert found.evidence == pytest.approx(expected.evidence, abs=1e-12, rel=1e-12)
    assert figures(found) == pytest.approx(expected.shares(), abs=1e-12, rel=0)


@given(SEEDS)
def test_each_outcome_to_come_equals_enumeration(seed: int) -> None:
    model = random_model(seed, Causes.ONE, faults=4, checks=4)
    seen = random_observations(seed, model, share=0.4)
    whole = enumerate_all(model, seen).evidence
    ahead = [check for check in model.checks if check.code not in seen]
    found = Reasoner(model).branches(seen, [check.code for check in ahead])
    for check in ahead:
        for place, outcome in enumerate(check.outcomes):
            expected = enumerate_all(model, {**seen, check.code: outcome.code})
            p = float(found[check.code].p[place])
            assert p == pytest.approx(expected.evidence / whole, abs=1e-12, rel=0)
            shares = branch_figures(found[check.code], place)
            assert shares == pytest.approx(expected.shares(), abs=1e-12, rel=0)


def test_a_root_comes_with_each_set_of_what_it_may_bring_about() -> None:
    model = a_model(
        [a_fault("a", 0.6), a_fault("b", 0.3, caused_by={"a": 0.25})], [a_check()], unlisted=0.1
    )
    found = [(set(one.faults), one.root, round(one.weight, 9)) for one in configurations(model)]
    assert found == [
        ({"a"}, "a", 0.45),
        ({"a", "b"}, "a", 0.15),
        ({"b"}, "b", 0.3),
        (set(), "", 0.1),
    ]


def test_the_own_weight_of_what_is_brought_about_does_not_act() -> None:
    model = a_model([a_fault("a", 0.6), a_fault("b", 0.4, caused_by={"a": 0.25})], [a_check()])
    found = believe(model, {})
    assert found.present == pytest.approx({"a": 0.6, "b": 0.4 + 0.6 * 0.25}, abs=1e-15)
    assert found.root == pytest.approx({"a": 0.6, "b": 0.4}, abs=1e-15)


def test_a_row_that_is_no_noisy_max_stands_as_it_is_for_one_fault_alone() -> None:
    check = a_check(sound=(0.5, 0.5), given={"a": (0.9, 0.1), "b": (0.8, 0.2)})
    model = a_model([a_fault("a", 0.5), a_fault("b", 0.5, caused_by={"a": 1.0})], [check])
    found = believe(model, {"level": "yes"})
    assert found.evidence == pytest.approx(0.5 * outcome_row(check, "ab")[1] + 0.5 * 0.2, abs=1e-15)


def test_a_cause_that_is_not_listed_makes_each_outcome_alike() -> None:
    outcomes = ("good", "fair", "poor")
    check = a_check(outcomes=outcomes, sound=(0.98, 0.01, 0.01), given={"hose": (0.1, 0.2, 0.7)})
    model = a_model([a_fault(weight=0.75)], [check], unlisted=0.25)
    assert believe(model, {"level": "poor"}).unlisted == pytest.approx(
        0.25 / 3 / (0.25 / 3 + 0.75 * 0.7), abs=1e-15
    )


def test_five_hundred_checks_do_not_underflow() -> None:
    checks = [a_check(f"c{at}", given={"a": (0.2, 0.8), "b": (0.21, 0.79)}) for at in range(500)]
    model = a_model([a_fault("a", 0.5), a_fault("b", 0.5)], checks)
    seen = {check.code: "no" for check in checks}
    found = Reasoner(model)
    assert found.evidence(seen) == pytest.approx(500 * log(0.21) + log(0.5), abs=1e-9)
    assert found.believe(seen).present["b"] == pytest.approx(1 - 2.54e-11, abs=1e-13)


def test_eight_things_that_follow_are_computed() -> None:
    found = Mixture(chain(9)).posterior({})
    assert found.present.tolist() == pytest.approx([0.5**at for at in range(9)], abs=1e-15)


@pytest.mark.parametrize(
    ("model", "text"),
    [
        (
            a_model([a_fault("a", 0.5), a_fault("b", 0.4)]),
            "The weights of “Engine runs hot” with what is not listed sum to 0.9, not 1.",
        ),
        (
            a_model([a_fault("a", 0.5, caused_by={"b": 0.1}), a_fault("b", caused_by={"a": 0.1})]),
            "Faults bring each other about in a circle: “A” → “B” → “A”.",
        ),
        (
            a_model(
                [a_fault("a", 1), *(a_fault(f"f{at}", 0, caused_by={"a": 0.5}) for at in range(15))]
            ),
            "“A” brings about too many faults to be computed.",
        ),
        (
            a_model(
                [
                    a_fault("a", 0.5),
                    a_fault("b", 0.5),
                    *(a_fault(f"f{at}", 0, caused_by={"a": 0.5, "b": 0.5}) for at in range(14)),
                ]
            ),
            "“Engine runs hot” has too many faults that bring each other about.",
        ),
    ],
)
def test_what_cannot_be_computed_says_why(model: FaultModel, text: str) -> None:
    with pytest.raises(ValueError, match=f"^{text}$"):
        believe(model, {})
