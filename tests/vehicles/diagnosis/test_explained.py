from __future__ import annotations

from random import Random

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.vehicles.diagnosis.enumeration import (
    branch_figures,
    enumerate_all,
    figures,
    random_model,
    random_observations,
)
from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.explained import Explained
from vehicles.diagnosis.fault_model import Causes, FaultModel
from vehicles.diagnosis.inference import Engine, Reasoner, believe
from vehicles.diagnosis.solving import Case, Columns, TooMuch, plan, sweep

SEEDS = st.integers(0, 10**6)


def wide_model(faults: int, checks: int, *, acting: int, leak: float = 0.02) -> FaultModel:
    """Return independent faults, with checks that `acting` faults each may turn bad."""
    chance = Random(1)
    some = [a_fault(f"f{at}", chance.uniform(0.01, 0.1)) for at in range(faults)]
    asked = []
    for at in range(checks):
        bad = {fault.code: chance.uniform(0.3, 0.95) for fault in chance.sample(some, acting)}
        rows = {code: ((1 - leak) * (1 - q), 1 - (1 - leak) * (1 - q)) for code, q in bad.items()}
        asked.append(a_check(f"c{at}", sound=(1 - leak, leak), given=rows))
    return a_model(some, asked, causes=Causes.SEVERAL)


@given(SEEDS, st.booleans())
def test_several_faults_equal_enumeration(seed: int, zeros: bool) -> None:  # noqa: FBT001 (drawn)
    model = random_model(seed, Causes.SEVERAL, zeros=zeros)
    seen = random_observations(seed, model)
    expected = enumerate_all(model, seen)
    assume(expected.evidence > 0)
    found = believe(model, seen)
    assert found.engine is Engine.EXPLAINED
    assert found.evidence == pytest.approx(expected.evidence, abs=1e-12, rel=1e-12)
    assert figures(found) == pytest.approx(expected.shares(), abs=1e-12, rel=0)


@given(SEEDS, st.booleans())
def test_each_outcome_to_come_equals_enumeration(seed: int, zeros: bool) -> None:  # noqa: FBT001
    model = random_model(seed, Causes.SEVERAL, faults=4, checks=4, zeros=zeros)
    seen = random_observations(seed, model, share=0.4)
    whole = enumerate_all(model, seen).evidence
    assume(whole > 0)
    ahead = [check for check in model.checks if check.code not in seen]
    found = Reasoner(model).branches(seen, [check.code for check in ahead])
    for check in ahead:
        for place, outcome in enumerate(check.outcomes):
            expected = enumerate_all(model, {**seen, check.code: outcome.code})
            p = float(found[check.code].p[place])
            assert p == pytest.approx(expected.evidence / whole, abs=1e-12, rel=0)
            if expected.evidence > 0:
                shares = branch_figures(found[check.code], place)
                assert shares == pytest.approx(expected.shares(), abs=1e-12, rel=0)


def test_an_outcome_that_cannot_come_has_zeros() -> None:
    check = a_check(sound=(1.0, 0.0), given={"fan": (0.5, 0.5)})
    faults = [a_fault("hose", 0.5), a_fault("fan", 0.0)]
    found = Reasoner(a_model(faults, [check], causes=Causes.SEVERAL)).branches({}, ["level"])
    branch = found["level"]
    assert branch.p.tolist() == [1.0, 0.0]
    assert [branch.present[1].any(), branch.root[1].any(), branch.unlisted[1]] == [False, False, 0]


def test_an_outcome_that_comes_once_in_a_trillion_loses_no_digit() -> None:
    """As the difference of two numbers close to one it would keep four."""
    check = a_check(sound=(1.0, 0.0), given={"hose": (0.25, 0.75)})
    model = a_model([a_fault("hose", 1e-12)], [check], causes=Causes.SEVERAL)
    branch = Reasoner(model).branches({}, ["level"])["level"]
    assert branch.p[1] == pytest.approx(0.75e-12, rel=1e-12)
    assert branch.present[1, 0] == pytest.approx(1, rel=1e-12)


def test_an_impossible_worst_outcome_stays_impossible_when_shares_round() -> None:
    outcomes, row = ("a", "b", "c", "d"), (0.7, 0.2, 0.1, 0.0)
    check = a_check(outcomes=outcomes, sound=row, given={"hose": (0.6, 0.3, 0.1, 0.0)})
    model = a_model([a_fault("hose", 0.5)], [check], causes=Causes.SEVERAL)
    with pytest.raises(ValueError, match=r"^No cause in “Engine runs hot” shows “Level: D”\.$"):
        believe(model, {"level": "d"})


def test_twelve_bad_findings_do_not_cancel() -> None:
    """Quickscore is off by 0.015 here; see the module."""
    model = wide_model(12, 30, acting=4)
    seen = {f"c{at}": "yes" for at in range(12)} | {f"c{at}": "no" for at in range(12, 20)}
    expected = enumerate_all(model, seen)
    found = believe(model, seen)
    assert found.evidence == pytest.approx(expected.evidence, rel=1e-12)
    assert figures(found) == pytest.approx(expected.shares(), abs=1e-13, rel=0)


def test_columns_swept_apart_are_those_swept_together() -> None:
    chance = np.random.default_rng(3)
    strength = chance.uniform(0, 1, (5, 4)) * (chance.uniform(0, 1, (5, 4)) > 0.4)
    columns = Columns(
        prior=chance.uniform(0, 1, (5, 7)),
        spares=chance.uniform(0, 1, (5, 7)),
        unexplained=chance.uniform(0, 1, (4, 7)),
        weight=chance.uniform(0, 1, 7),
    )
    steps = plan(strength, range(5))
    total, present = sweep(steps, columns, backward=True)
    for at in range(7):
        part = sweep(steps, columns.part(slice(at, at + 1)), backward=True)
        assert np.array_equal(part[0], total[at : at + 1])
        assert np.allclose(part[1][:, 0], present[:, at], rtol=1e-14, atol=0)


def test_findings_close_as_soon_as_no_fault_is_left_to_explain_them() -> None:
    chain = np.eye(20) * 0.5 + np.eye(20, k=1) * 0.5
    assert max(step.open_now for step in plan(chain, range(20))) == 2


def test_forty_bad_findings_are_computed_when_few_hang_together() -> None:
    faults = [a_fault(f"f{at}", 0.1) for at in range(41)]
    rows = [{f"f{at}": (0.45, 0.55), f"f{at + 1}": (0.45, 0.55)} for at in range(40)]
    checks = [a_check(f"c{at}", sound=(0.9, 0.1), given=row) for at, row in enumerate(rows)]
    model = a_model(faults, checks, causes=Causes.SEVERAL)
    seen = {check.code: "yes" for check in checks}
    found = believe(model, seen)
    by_elimination = Reasoner(model, Engine.ELIMINATION).believe(seen)
    assert found.engine is Engine.EXPLAINED
    assert figures(found) == pytest.approx(figures(by_elimination), abs=1e-12, rel=0)


def test_findings_that_hang_together_too_much_go_to_elimination() -> None:
    model = wide_model(3, 20, acting=3)
    seen = {check.code: "yes" for check in model.checks}
    text = r"^20 findings hang together; at most 18 are computed\.$"
    with pytest.raises(TooMuch, match=text):
        Reasoner(model, Engine.EXPLAINED).believe(seen)
    found = believe(model, seen)
    assert found.engine is Engine.ELIMINATION
    assert figures(found) == pytest.approx(enumerate_all(model, seen).shares(), abs=1e-12, rel=0)


def test_eighteen_findings_that_hang_together_are_computed() -> None:
    model = wide_model(3, 18, acting=3)
    seen = {check.code: "yes" for check in model.checks}
    found = believe(model, seen)
    assert found.engine is Engine.EXPLAINED
    assert figures(found) == pytest.approx(enumerate_all(model, seen).shares(), abs=1e-12, rel=0)


def test_rows_that_are_no_noisy_max_go_to_elimination() -> None:
    check = a_check(sound=(0.5, 0.5), given={"hose": (0.9, 0.1)})
    model = a_model([a_fault("hose", 0.25)], [check], causes=Causes.SEVERAL)
    found = believe(model, {"level": "yes"})
    assert found.engine is Engine.ELIMINATION
    assert found.present["hose"] == pytest.approx(0.025 / (0.025 + 0.375), abs=1e-15)


def test_more_than_ten_faults_that_bring_others_about_are_refused_by_the_engine() -> None:
    faults = [a_fault(f"f{at}", 0.1) for at in range(11)]
    last = a_fault("last", 0.1, caused_by={fault.code: 0.2 for fault in faults})
    model = a_model([*faults, last], [a_check()], causes=Causes.SEVERAL)
    text = r"^In “Engine runs hot” 11 faults bring others about; at most 10 are computed\.$"
    with pytest.raises(TooMuch, match=text):
        Explained(model)
    assert believe(model, {}).engine is Engine.ELIMINATION


def test_a_case_without_bad_findings_needs_no_turns() -> None:
    one = np.ones(1)
    columns = Columns(
        prior=np.array([[0.2]]), spares=np.array([[0.5]]), unexplained=np.ones((0, 1)), weight=one
    )
    total, present = Case(steps=[], columns=columns, leak=one).swept(backward=True)
    assert total.tolist() == [0.9]
    assert present.tolist() == [[0.1]]
