from __future__ import annotations

from dataclasses import replace
from itertools import combinations, permutations
from math import log2
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from tests.vehicles.diagnosis.enumeration import (
    enumerate_all,
    figures,
    random_model,
    random_observations,
)
from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.belief import Contradiction, smallest_contradiction
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.inference import Engine, Reasoner, believe

if TYPE_CHECKING:
    from vehicles.diagnosis.fault_model import FaultModel
    from vehicles.diagnosis.inference import Branches

SEEDS = st.integers(0, 10**6)
KINDS = st.sampled_from(Causes)


def all_of(branches: Branches) -> list[float]:
    rows = [branches.p[:, None], branches.present, branches.root, branches.unlisted[:, None]]
    return np.hstack(rows).ravel().tolist()


def all_listed(model: FaultModel) -> FaultModel:
    """Return the model without a cause that is not listed."""
    whole = sum(fault.weight for fault in model.faults) if model.causes is Causes.ONE else 1.0
    faults = tuple(replace(fault, weight=fault.weight / whole) for fault in model.faults)
    return replace(model, faults=faults, unlisted=0.0)


def of_certain_checks(model: FaultModel) -> FaultModel:
    """Return the model with checks that are bad just when one of no, one or two faults is there."""
    checks = []
    for place, check in enumerate(model.checks):
        rows = dict.fromkeys(list(check.given)[: place % 3], (0.0, 1.0))
        checks.append(a_check(check.code, sound=(1.0, 0.0), given=rows))
    return replace(model, checks=tuple(checks))


@settings(max_examples=50)
@given(SEEDS, KINDS)
def test_each_engine_agrees_with_elimination(seed: int, causes: Causes) -> None:
    model = random_model(seed, causes, faults=4, checks=4)
    seen = random_observations(seed, model)
    own, other = Reasoner(model), Reasoner(model, Engine.ELIMINATION)
    found, expected = own.believe(seen), other.believe(seen)
    assert expected.engine is Engine.ELIMINATION
    assert figures(found) == pytest.approx(figures(expected), abs=1e-12, rel=0)
    assert found.evidence == pytest.approx(expected.evidence, abs=1e-12, rel=1e-12)
    assert found.conflict == pytest.approx(expected.conflict, abs=1e-11)
    codes = [check.code for check in model.checks[:2]]
    mine, theirs = own.branches(seen, codes), other.branches(seen, codes)
    for code in codes:
        assert all_of(mine[code]) == pytest.approx(all_of(theirs[code]), abs=1e-12, rel=0)


@pytest.mark.parametrize("causes", Causes)
def test_the_order_of_observations_changes_no_bit(causes: Causes) -> None:
    model = random_model(5, causes)
    seen = list(random_observations(1, model, share=1.0).items())[:4]
    found = [believe(model, dict(order)) for order in permutations(seen)]
    assert found == [found[0]] * len(found)
    assert len(found) == 24


@given(SEEDS, KINDS)
def test_a_check_that_nobody_reads_changes_nothing(seed: int, causes: Causes) -> None:
    model = random_model(seed, causes)
    last = model.checks[-1].code
    seen = random_observations(seed, model)
    seen.pop(last, None)
    fewer = replace(model, checks=model.checks[:-1])
    assert figures(believe(model, seen)) == figures(believe(fewer, seen))


@given(SEEDS, KINDS)
def test_a_check_that_no_fault_moves_changes_no_fault_of_a_listed_cause(
    seed: int, causes: Causes
) -> None:
    model = all_listed(random_model(seed, causes))
    model = replace(model, checks=(*model.checks, a_check("barren", sound=(0.7, 0.3), given={})))
    seen = random_observations(seed, model)
    without = {code: outcome for code, outcome in seen.items() if code != "barren"}
    found = believe(model, {**without, "barren": "yes"})
    expected = believe(model, without)
    assert figures(found) == pytest.approx(figures(expected), abs=1e-13, rel=0)
    assert found.evidence == pytest.approx(0.3 * expected.evidence, rel=1e-12)


@given(SEEDS, KINDS)
def test_outcomes_to_come_add_up_to_what_is_believed_now(seed: int, causes: Causes) -> None:
    model = random_model(seed, causes)
    seen = random_observations(seed, model, share=0.4)
    reasoner = Reasoner(model)
    now = reasoner.believe(seen)
    for branch in reasoner.branches(seen, [check.code for check in model.checks]).values():
        assert branch.p.sum() == pytest.approx(1, abs=1e-12)
        later = [
            *(branch.p @ branch.present),
            *(branch.p @ branch.root),
            branch.p @ branch.unlisted,
        ]
        assert later == pytest.approx(figures(now), abs=1e-12, rel=0)


@pytest.mark.parametrize("causes", Causes)
def test_a_check_that_was_observed_has_its_own_outcome_for_certain(causes: Causes) -> None:
    model = random_model(2, causes)
    outcome = model.checks[0].outcomes[1].code
    reasoner = Reasoner(model)
    branch = reasoner.branches({"c0": outcome}, ["c0"])["c0"]
    believed = list(reasoner.believe({"c0": outcome}).present.values())
    assert branch.p.tolist() == [float(place == 1) for place in range(len(branch.p))]
    assert branch.present[1].tolist() == believed


@given(SEEDS, KINDS)
def test_a_contradiction_names_the_smallest_set_that_clashes(seed: int, causes: Causes) -> None:
    model = of_certain_checks(all_listed(random_model(seed, causes, faults=3)))
    seen = random_observations(seed, model, share=0.8)
    clashing = [
        chosen
        for size in range(1, len(seen) + 1)
        for chosen in combinations(sorted(seen), size)
        if enumerate_all(model, {code: seen[code] for code in chosen}).evidence == 0
    ]
    assume(clashing)
    with pytest.raises(Contradiction) as error:
        believe(model, seen)
    assert error.value.checks == clashing[0]
    with pytest.raises(Contradiction):
        Reasoner(model).branches(seen, [])


def test_a_contradiction_is_said_in_the_words_of_the_checks() -> None:
    checks = [
        a_check("level", sound=(1, 0), given={"hose": (0, 1)}),
        a_check("smell", sound=(1, 0)),
    ]
    model = a_model([a_fault("hose", 1)], [*checks, a_check("noise")], causes=Causes.SEVERAL)
    text = r"^No cause in “Engine runs hot” shows “Level: No”\.$"
    with pytest.raises(Contradiction, match=text) as error:
        believe(model, {"noise": "yes", "level": "no", "smell": "yes"})
    assert error.value.checks == ("level",)


def test_two_observations_that_clash_are_named_together() -> None:
    faults = [a_fault("hose", 0.5), a_fault("fan", 0.5)]
    checks = [
        a_check("level", given={"hose": (1, 0), "fan": (0, 1)}),
        a_check("smell", given={"hose": (0, 1), "fan": (1, 0)}),
    ]
    text = r"^No cause in “Engine runs hot” shows “Level: Yes” and “Smell: Yes” together\.$"
    with pytest.raises(Contradiction, match=text):
        believe(a_model(faults, checks), {"smell": "yes", "level": "yes"})


def test_the_smallest_clash_is_found_beside_larger_ones() -> None:
    clashes = [{"a", "b", "c"}, {"d", "e"}, {"b", "e", "f"}]
    found = smallest_contradiction(
        "abcdef", lambda kept: not any(one <= set(kept) for one in clashes)
    )
    assert found == ("d", "e")


def test_what_is_possible_has_no_clash() -> None:
    with pytest.raises(ValueError, match=r"^All codes together are possible\.$"):
        smallest_contradiction("ab", {(), ("a",), ("a", "b")}.__contains__)


def test_conflict_is_in_doublings_of_the_product_over_the_whole() -> None:
    """Jensen et al. 1990, from memory: log2 of P(a) P(b) / P(a, b)."""
    faults = [a_fault("hose", 0.5), a_fault("fan", 0.5)]
    rows = [{"hose": (0.2, 0.8), "fan": (0.9, 0.1)}, {"hose": (0.9, 0.1), "fan": (0.2, 0.8)}]
    checks = [a_check(code, given=row) for code, row in zip(("level", "smell"), rows, strict=True)]
    found = believe(a_model(faults, checks), {"level": "yes", "smell": "yes"})
    assert found.conflict == pytest.approx(log2(0.45 * 0.45 / 0.08), abs=1e-12)


@pytest.mark.parametrize("causes", Causes)
def test_one_observation_is_never_in_conflict(causes: Causes) -> None:
    model = random_model(3, causes)
    assert believe(model, {"c1": model.checks[1].outcomes[1].code}).conflict == 0
    assert believe(model, {}).conflict == 0


def test_without_observations_a_root_has_its_weight() -> None:
    model = a_model()
    found = believe(model, {})
    weights = {fault.code: fault.weight for fault in model.faults}
    assert found.root == pytest.approx(weights, abs=1e-15)
    assert found.unlisted == pytest.approx(0.05, abs=1e-15)
    assert found.evidence == 1


def test_what_the_model_does_not_have_is_named() -> None:
    with pytest.raises(ValueError, match=r"^“Engine runs hot” has no check “smell”\.$"):
        believe(a_model(), {"smell": "yes"})
    with pytest.raises(ValueError, match=r"^“Level” can’t show “yes”\.$"):
        believe(a_model(), {"level": "yes"})
    with pytest.raises(ValueError, match=r"^“Engine runs hot” has no check “smell”\.$"):
        Reasoner(a_model()).branches({}, ["smell"])
