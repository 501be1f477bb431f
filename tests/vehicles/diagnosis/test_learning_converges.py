"""Learning from simulated cars comes to the true rates; seeds are fixed."""

from __future__ import annotations

from random import Random
from typing import TYPE_CHECKING

import pytest

from tests.vehicles.diagnosis.models import a_model
from tests.vehicles.diagnosis.test_learning import several
from vehicles.diagnosis.fault_model import Causes, Check, FaultModel, outcome_row
from vehicles.diagnosis.learning import Car, applied, learn

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence


def drawn(model: FaultModel, truth: Mapping[str, float], count: int, seed: int) -> list[Car]:
    """Return cars of a true model: root causes by `truth`, what those bring about, all checks."""
    chance = Random(seed)
    return [_drawn(model, truth, chance) for _ in range(count)]


def _drawn(model: FaultModel, truth: Mapping[str, float], chance: Random) -> Car:
    if model.causes is Causes.ONE:
        there = {chance.choices(list(truth), list(truth.values()))[0]}
    else:
        there = {code for code, p in truth.items() if chance.random() < p}
    for fault in model.faults:
        if any(chance.random() < p for by, p in fault.caused_by.items() if by in there):
            there.add(fault.code)
    seen = tuple((one.code, _shown(one, there - {""}, chance)) for one in model.checks)
    return Car(causes=frozenset(there or {""}), seen=seen)


def _shown(check: Check, there: set[str], chance: Random) -> str:
    return chance.choices([one.code for one in check.outcomes], outcome_row(check, there))[0]


def bound(truth: Sequence[float], shipped: Sequence[float], cars: int, worth: int) -> list[float]:
    """Return how far a learned share may be off: what the prior still holds, and 4 deviations."""
    return [
        abs(one - two) * worth / (worth + cars) + 4 * (one * (1 - one) / cars) ** 0.5
        for one, two in zip(truth, shipped, strict=True)
    ]


@pytest.mark.parametrize("cars", [300, 3000])
def test_weights_come_to_the_true_ones_where_there_is_one_cause(cars: int) -> None:
    """The true shares differ by up to 0.35 from the shipped ones; seed 4."""
    model = a_model()
    truth = {"fan": 0.1, "hose": 0.15, "thermostat": 0.55, "gasket": 0.1, "": 0.1}
    shipped = learn(model, [], 100).weights
    found = learn(model, drawn(model, truth, cars, 4), 100)
    off = [abs(found.weights[code] - p) for code, p in truth.items()]
    allowed = bound(list(truth.values()), [shipped[code] for code in truth], cars, 100)
    assert all(one <= most for one, most in zip(off, allowed, strict=True))
    assert max(off) < {300: 0.13, 3000: 0.03}[cars]


@pytest.mark.parametrize("cars", [300, 3000])
def test_weights_come_to_the_true_ones_where_several_may_be_there(cars: int) -> None:
    """Seed 5; the shipped weights are 0.4 and 0.2."""
    truth = {"hose": 0.1, "cap": 0.5}
    found = learn(several(), drawn(several(), truth, cars, 5), 100)
    off = [abs(found.weights[code] - p) for code, p in truth.items()]
    allowed = bound([0.1, 0.5], [0.4, 0.2], cars, 100)
    assert all(one <= most for one, most in zip(off, allowed, strict=True))
    assert max(off) < {300: 0.12, 3000: 0.03}[cars]


@pytest.mark.parametrize("cars", [300, 3000])
def test_what_a_check_shows_comes_to_the_true_rates(cars: int) -> None:
    """The true car shows an empty tank with a bad hose in 20 of 100, shipped are 50; seed 6."""
    shipped = a_model()
    rows = {"level": {"hose": (0.3, 0.5, 0.2)}}
    true = applied(shipped, {}, rows)
    truth = {"fan": 0.25, "hose": 0.5, "thermostat": 0.2, "": 0.05}
    found = learn(shipped, drawn(true, truth, cars, 6), 20)
    row = found.model.check("level").given["hose"]
    hoses = sum(
        n for (check, of, _), n in found.tally.rows.items() if (check, of) == ("level", "hose")
    )
    off = [abs(one - two) for one, two in zip(row, (0.3, 0.5, 0.2), strict=True)]
    allowed = bound((0.3, 0.5, 0.2), (0.1, 0.4, 0.5), hoses, 20)
    assert all(one <= most for one, most in zip(off, allowed, strict=True))
    assert max(off) < {300: 0.10, 3000: 0.04}[cars]
