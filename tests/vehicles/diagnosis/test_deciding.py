from __future__ import annotations

import json
from math import log2
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from tests.vehicles.diagnosis.oracle import tiny_model
from vehicles.diagnosis.deciding import Decider, Terms
from vehicles.diagnosis.fault_model import (
    After,
    Bar,
    Causes,
    Damage,
    Effort,
    FaultModel,
    Specialist,
)
from vehicles.diagnosis.inference import Reasoner
from vehicles.diagnosis.setups import load

CASES = {
    case["id"]: case
    for case in json.loads(
        Path(__file__).parents[2].joinpath("data", "repair_sequences.json").read_text("utf-8")
    )["examples"]
}


def decider(model: FaultModel, **fields: Any) -> Decider:
    values: dict[str, Any] = {"rate": 60_00, "setups": load()}
    return Decider(Reasoner(model), Terms(**(values | fields)))


def two_faults(*checks: Any, **fields: Any) -> FaultModel:
    """Return hose and fan, 0.6 and 0.4, and a specialist for $1,000."""
    service = Specialist(title="Specialist", effort=Effort(cents=1000_00))
    faults = [a_fault("hose", 0.6), a_fault("fan", 0.4)]
    return a_model(faults, list(checks), specialist=service, **fields)


def test_the_trail_of_the_worked_example_is_followed() -> None:
    """Constructed and computed for this project: single_fault_trail."""
    case = CASES["single_fault_trail"]
    faults = [a_fault(f"f{i}", p) for i, p in enumerate(case["prior"])]
    checks = [
        a_check(f"c{i}", given={f"f{j}": (1 - p, p) for j, p in enumerate(row)})
        for i, row in enumerate(case["p_positive"])
    ]
    found, seen = decider(a_model(faults, checks)), {}
    for step in case["trail"]:
        seen[f"c{step['check']}"] = "yes" if step["outcome"] == "positive" else "no"
        assert found.now(seen).root[0].tolist() == pytest.approx(step["posterior"], abs=1e-9)
    assert len(seen) == 3


def test_stopping_now_costs_what_the_best_sequence_costs() -> None:
    """Looks of 20 and repairs of 60 minutes and $20, at $60 an hour: by hand."""
    now = decider(two_faults(a_check())).now({})
    assert now.cost.tolist() == pytest.approx([20_00 + 0.4 * 20_00 + 60_00 + 20_00])
    assert now.minutes.tolist() == pytest.approx([20 + 0.4 * 20 + 60])


def test_a_sure_check_saves_the_looks_in_vain() -> None:
    check = a_check(sound=(1.0, 0.0), given={"hose": (0.0, 1.0)}, effort=Effort(minutes=2))
    found = decider(two_faults(check))
    step = found.step({}, found.now({}), ["level"])
    assert step.rows.p.tolist() == pytest.approx([0.4, 0.6])
    assert step.total.tolist() == pytest.approx([2_00 + 20_00 + 80_00])
    assert step.bits.tolist() == pytest.approx([-0.6 * log2(0.6) - 0.4 * log2(0.4)])


def test_a_setup_that_is_true_is_not_paid_again() -> None:
    check = a_check(setups=("warm", "raised"), effort=Effort(minutes=3, cents=5_00))
    model = two_faults(check)
    costs = []
    for done in ([], ["warm"], ["warm", "raised"]):
        found = decider(model, done=frozenset(done))
        step = found.step({}, found.now({}), ["level"])
        costs.append((step.minutes[0], step.cost[0]))
    minutes = [3 + load()["warm"].minutes + load()["raised"].minutes]
    minutes += [3 + load()["raised"].minutes, 3]
    assert costs == [(m, m * 100.0 + 5_00) for m in minutes]


def test_damage_costs_as_much_as_the_fault_is_likely() -> None:
    damage = Damage(fault="fan", cents=500_00, because="Heat warps the head.")
    found = decider(two_faults(a_check(damages=(damage,))))
    step = found.step({}, found.now({}), ["level"])
    assert (step.damage[0], step.cost[0]) == pytest.approx((200_00, 10_00 + 200_00))


def test_danger_bars_by_what_was_seen_and_by_a_fault_that_is_likely_enough() -> None:
    bars = (
        Bar(because="The pedal sinks.", check="pedal", outcomes=("yes",)),
        Bar(because="A hot engine.", fault="fan", at=0.5),
    )
    found = decider(two_faults(a_check("pedal"), a_check("road", bars=bars)))
    none, likely = np.array([0.6, 0.4]), np.array([0.5, 0.5])
    assert found.barred("road", {"pedal": "no"}, none) == ()
    assert found.barred("road", {"pedal": "yes"}, none) == ("The pedal sinks.",)
    assert found.barred("road", {}, likely) == ("A hot engine.",)


def test_a_check_waits_for_another_and_is_barred_when_that_showed_otherwise() -> None:
    after = After(check="level", outcomes=("no",), because="Without coolant nothing runs.")
    found = decider(two_faults(a_check(), a_check("run", after=(after,))))
    present = np.array([0.6, 0.4])
    assert found.first("run", {}) == (after,)
    assert found.may(["level", "run"], {}, present) == ("level",)
    assert found.may(["run"], {"level": "no"}, present) == ("run",)
    assert found.barred("run", {"level": "yes"}, present) == (after.because,)


def test_what_was_seen_or_left_out_does_not_remain() -> None:
    model = two_faults(a_check("a"), a_check("b"), a_check("c"))
    assert decider(model, skipped=frozenset({"b"})).remaining({"a": "no"}) == ["c"]


@given(st.integers(0, 400))
def test_before_its_cost_no_check_is_worth_less_than_nothing(seed: int) -> None:
    """Free information never hurts (Good 1967), whatever it shows."""
    model = tiny_model(seed, faults=4, checks=3)
    found = Decider(Reasoner(model), Terms(rate=0, setups={}))
    now = found.now({})
    step = found.step({}, now, found.remaining({}))
    assert all(step.total - step.cost <= now.cost[0] + 1e-6)
    assert all(0 <= bits <= 1 for bits in step.bits)


@given(st.integers(0, 100))
def test_the_bits_of_one_cause_are_the_mutual_information(seed: int) -> None:
    """Cover and Thomas, chapter 2: I(X; Y) = H(Y) - H(Y given X), the other way round."""
    model = tiny_model(seed, faults=4, checks=2)
    found = Decider(Reasoner(model), Terms(rate=0, setups={}))
    step = found.step({}, found.now({}), ["c0", "c1"])
    for place, check in enumerate(model.checks):
        weights = [fault.weight for fault in model.faults]
        rows = [check.given[fault.code] for fault in model.faults]
        seen = [sum(w * row[k] for w, row in zip(weights, rows, strict=True)) for k in (0, 1)]
        noise = sum(w * entropy(row) for w, row in zip(weights, rows, strict=True))
        assert step.bits[place] == pytest.approx(entropy(seen) - noise, abs=1e-9)


def entropy(row: Any) -> float:
    return -sum(float(p) * log2(p) for p in row if p > 0)


def test_with_several_faults_an_outcome_that_cannot_come_harms_nothing() -> None:
    check = a_check(sound=(1.0, 0.0), given={"hose": (0.2, 0.8)})
    model = two_faults(check, a_check("never", sound=(1.0, 0.0), given={}), causes=Causes.SEVERAL)
    found = decider(model)
    step = found.step({}, found.now({}), ["level", "never"])
    assert step.rows.p[3] == 0
    assert np.isfinite(step.total).all()
    assert step.total[1] == pytest.approx(10_00 + found.now({}).cost[0])


def test_with_nothing_left_to_check_there_is_nothing_to_weigh() -> None:
    found, seen = decider(two_faults(a_check())), {"level": "no"}
    assert found.remaining(seen) == []
    assert found.step(seen, found.now(seen), []).total.tolist() == []
