from __future__ import annotations

from math import inf, log10

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.evidence import HARDLY, clash, decibans, flips, moves, times, weigh
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.inference import Contradiction, Reasoner

PRIOR = (0.45, 0.3, 0.15, 0.1)
POSITIVE = ((0.9, 0.2, 0.1, 0.05), (0.3, 0.85, 0.2, 0.1), (0.1, 0.15, 0.8, 0.3))
SEEN = {"c0": "no", "c1": "yes", "c2": "no"}


def trail() -> Reasoner:
    """Return the worked example single_fault_trail: four exclusive causes, three checks."""
    faults = [a_fault(f"f{i}", p) for i, p in enumerate(PRIOR)]
    checks = [
        a_check(f"c{i}", given={f"f{j}": (1 - p, p) for j, p in enumerate(row)})
        for i, row in enumerate(POSITIVE)
    ]
    return Reasoner(a_model(faults, checks))


def likelihood(check: int, outcome: str, fault: int) -> float:
    p = POSITIVE[check][fault]
    return p if outcome == "yes" else 1 - p


def test_one_observation_alone_moves_by_the_ratio_of_its_two_likelihoods() -> None:
    (found,) = moves(trail(), {"c1": "yes"}, "f1")
    others = sum(PRIOR[f] * POSITIVE[1][f] for f in (0, 2, 3)) / (1 - PRIOR[1])
    assert found.ratio == pytest.approx(0.85 / others)
    assert found.decibans == pytest.approx(10 * log10(0.85 / others))
    assert str(found.sentence) == "C1: Yes: F1 × 3.4"


def test_the_weights_over_the_rival_add_up_to_the_change_of_the_odds() -> None:
    """With causes that exclude each other decibans add up; posterior of the worked example."""
    found = weigh(trail(), SEEN)
    assert (found.leading, found.rival) == ("f1", "f0")
    total = sum(one.decibans for one in (*found.over_rival, *found.under_rival))
    odds = (0.877530364 / 0.061487854) / (0.3 / 0.45)
    assert total == pytest.approx(10 * log10(odds), abs=1e-6)
    by_hand = [likelihood(i, SEEN[f"c{i}"], 1) / likelihood(i, SEEN[f"c{i}"], 0) for i in range(3)]
    assert [one.ratio for one in found.over_rival] == pytest.approx(sorted(by_hand[:2])[::-1])
    assert [one.ratio for one in found.under_rival] == pytest.approx(by_hand[2:])


def test_the_largest_come_first_and_what_speaks_against_stands_apart() -> None:
    found = weigh(trail(), {"c0": "yes", "c1": "no", "c2": "yes"}, most=2)
    assert found.leading == "f0"
    assert [one.check for one in found.for_it] == ["c0", "c1"]
    assert [one.check for one in found.against_it] == ["c2"]


def test_what_rules_a_fault_out_weighs_without_end() -> None:
    checks = [a_check("c", sound=(0.9, 0.1), given={"a": (0.0, 1.0)})]
    reasoner = Reasoner(a_model([a_fault("a", 0.5), a_fault("b", 0.5)], checks))
    (found,) = moves(reasoner, {"c": "no"}, "a")
    assert (found.ratio, found.decibans) == (0.0, -inf)
    assert str(found.sentence) == "C: No: A rules it out"


def test_what_rules_all_others_out_proves_and_what_is_ruled_out_already_moves_no_more() -> None:
    checks = [a_check(code, sound=(1.0, 0.0), given={"a": (0.5, 0.5)}) for code in "cd"]
    reasoner = Reasoner(a_model([a_fault("a", 0.5), a_fault("b", 0.5)], checks))
    (found,) = moves(reasoner, {"c": "yes"}, "a")
    assert (found.ratio, str(found.sentence)) == (inf, "C: Yes: A × 1000+")
    both = {"c": "yes", "d": "yes"}
    assert [one.ratio for one in moves(reasoner, both, "b")] == [1.0, 1.0]
    assert [one.ratio for one in moves(reasoner, both, "a")] == [1.0, 1.0]


def test_an_observation_that_knows_nothing_of_a_fault_moves_nothing() -> None:
    faults = [a_fault("a", 0.2), a_fault("b", 0.3)]
    checks = [a_check("c", given={"b": (0.2, 0.8)})]
    reasoner = Reasoner(a_model(faults, checks, causes=Causes.SEVERAL))
    (found,) = moves(reasoner, {"c": "yes"}, "a")
    assert (found.ratio, found.decibans) == (1.0, 0.0)
    assert weigh(reasoner, {"c": "no"}).leading == ""


def test_ratios_are_shown_as_a_person_says_them() -> None:
    shown = [str(times(ratio)) for ratio in (1, 6.21, 0.5, 5000, 1e-9, 0)]
    assert shown == ["× 1.0", "× 6.2", "÷ 2.0", "× 1000+", "÷ 1000+", "rules it out"]
    assert decibans(2) == pytest.approx(3.0103, abs=1e-4)


def test_each_flip_does_change_the_leading_fault() -> None:
    reasoner = trail()
    found = flips(reasoner, SEEN)
    assert [(one.check, one.outcome, one.instead, one.leading) for one in found] == [
        ("c0", "no", "yes", "f0"),
        ("c1", "yes", "no", "f3"),
    ]
    for one in found:
        root = reasoner.believe({**SEEN, one.check: one.instead}).root
        assert max(root, key=root.__getitem__) == one.leading != "f1"
        assert root[one.leading] == pytest.approx(one.probability)


@given(st.lists(st.sampled_from(["no", "yes", ""]), min_size=3, max_size=3))
def test_flips_name_every_observation_that_changes_the_leading_one(outcomes: list[str]) -> None:
    reasoner = trail()
    seen = {f"c{i}": one for i, one in enumerate(outcomes) if one}

    def leading(observed: dict[str, str]) -> str:
        root = reasoner.believe(observed).root
        return max(root, key=root.__getitem__)

    other = {"no": "yes", "yes": "no"}
    turned = {code: leading({**seen, code: other[one]}) for code, one in seen.items()}
    expected = {code: fault for code, fault in turned.items() if fault != leading(seen)}
    assert {one.check: one.leading for one in flips(reasoner, seen)} == expected


def test_a_flip_is_said_as_a_sentence() -> None:
    (first, *_) = flips(trail(), SEEN)
    assert str(first.sentence) == "If “C0” had shown “Yes”, F0 would lead."


def test_outcomes_that_cannot_be_are_no_flips() -> None:
    sure = a_check("c", sound=(1.0, 0.0), given={})
    other = a_check("d", sound=(0.9, 0.1), given={"a": (0.1, 0.9)})
    model = a_model([a_fault("a", 0.4), a_fault("b", 0.6)], [sure, other])
    found = flips(Reasoner(model), {"c": "no", "d": "no"})
    assert [(one.check, one.instead) for one in found] == [("d", "yes")]


def conflicting() -> Reasoner:
    """Two faults, each with its sure sign, and each sign hardly seen without it."""
    faults = [a_fault("a", 0.5), a_fault("b", 0.5)]
    checks = [
        a_check("of-a", given={"a": (0.02, 0.98)}, sound=(0.98, 0.02)),
        a_check("of-b", given={"b": (0.02, 0.98)}, sound=(0.98, 0.02)),
        a_check("also-b", given={"b": (0.05, 0.95)}, sound=(0.95, 0.05)),
    ]
    return Reasoner(a_model(faults, checks))


def test_observations_that_fit_badly_are_said_with_the_one_most_at_odds() -> None:
    found = clash(conflicting(), {"of-a": "yes", "of-b": "yes", "also-b": "yes"})
    assert found is not None
    assert (found.check, found.probability < HARDLY) == ("of-a", True)
    assert str(found.sentence) == (
        "What was seen fits together badly, most of all Of a: Yes. A reading may be wrong, more "
        "than one fault may be there, or the cause is not listed. Do that check again."
    )


def test_observations_that_fit_well_are_no_clash() -> None:
    assert clash(conflicting(), {"of-a": "no", "of-b": "yes", "also-b": "yes"}) is None
    assert clash(conflicting(), {}) is None


def test_what_cannot_be_at_all_is_a_contradiction_with_its_sentence() -> None:
    sure = a_check("c", sound=(1.0, 0.0), given={})
    reasoner = Reasoner(a_model([a_fault("a", 1.0)], [sure]))
    with pytest.raises(Contradiction, match=r"^No cause in “Engine runs hot” shows “C: Yes”\.$"):
        clash(reasoner, {"c": "yes"})
