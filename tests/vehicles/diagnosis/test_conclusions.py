from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.belief import Belief, Engine
from vehicles.diagnosis.conclusions import (
    TO_BE_SEEN,
    Conclusion,
    Standing,
    conclude,
    is_confirmed,
    standing,
)
from vehicles.diagnosis.inference import believe
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from vehicles.diagnosis.fault_model import FaultModel


def a_belief(unlisted: float = 0.0, root: dict[str, float] | None = None, **p: float) -> Belief:
    return Belief(
        engine=Engine.ROOTS,
        present=p,
        root=root or p,
        unlisted=unlisted,
        evidence=0.1,
        conflict=0.0,
    )


def brakes() -> FaultModel:
    """Return a model of a brake fault and one of cooling, with a proof of each."""
    checks = [
        a_check("leak", given={"hose": (0.1, 0.9)}, names={"hose": ("yes",)}),
        a_check("pads", given={"caliper": (0.1, 0.9)}, names={"caliper": ("yes",)}),
    ]
    faults = [a_fault("hose"), a_fault("caliper", system=System.BRAKES)]
    return a_model(faults, checks)


def standings(found: Conclusion) -> dict[str, Standing]:
    return {one.fault.code: one.standing for one in found.judged}


def test_a_nearly_certain_fault_that_was_seen_is_confirmed() -> None:
    found = conclude(brakes(), a_belief(hose=0.9, caliper=0.1), {"leak": "yes"})
    assert standings(found) == {"hose": Standing.CONFIRMED, "caliper": Standing.OPEN}
    assert str(found.sentence) == "Confirmed: Hose."
    assert str(found.judged[0].sentence) == (
        "Hose: confirmed (nearly certain, 90 in 100); Leak: Yes."
    )
    assert found.judged[0].proof == (("leak", "yes"),)


def test_without_proof_nothing_is_confirmed_and_a_brake_is_not_even_probable() -> None:
    sure = conclude(brakes(), a_belief(hose=0.97, caliper=0.97), {"leak": "no"})
    assert standings(sure) == {"hose": Standing.PROBABLE, "caliper": Standing.OPEN}
    assert str(sure.sentence) == "Probable, not confirmed: Hose."
    assert str(sure.judged[1].sentence) == (
        "Caliper: nearly certain, 97 in 100, but nothing seen proves the part yet."
    )


def test_proof_alone_between_half_and_nine_tenths_is_probable() -> None:
    seen = {"leak": "yes", "pads": "yes"}
    found = conclude(brakes(), a_belief(hose=0.5, caliper=0.49), seen)
    assert standings(found) == {"hose": Standing.PROBABLE, "caliper": Standing.OPEN}


@pytest.mark.parametrize("system", System)
def test_for_what_carries_people_the_proof_is_needed_whatever_the_figure(system: System) -> None:
    to_be_seen = system in TO_BE_SEEN
    expected = Standing.OPEN if to_be_seen else Standing.PROBABLE
    assert standing(1.0, proven=False, to_be_seen=to_be_seen) is expected


def test_another_outcome_of_the_same_check_is_no_proof() -> None:
    model = brakes()
    assert not is_confirmed(model, model.fault("hose"), 0.99, {"leak": "no"})
    assert not is_confirmed(model, model.fault("hose"), 0.99, {"pads": "yes"})
    assert is_confirmed(model, model.fault("hose"), 0.99, {"leak": "yes"})


def test_two_in_a_hundred_is_ruled_out_even_beside_a_proof() -> None:
    found = conclude(brakes(), a_belief(hose=0.02, caliper=0.0201), {"leak": "yes"})
    assert standings(found) == {"hose": Standing.RULED_OUT, "caliper": Standing.OPEN}
    assert str(found.judged[0].sentence) == "Hose: ruled out."


def test_where_it_cannot_be_told_no_single_cause_is_named() -> None:
    found = conclude(brakes(), a_belief(hose=0.6, caliper=0.01, unlisted=0.0), {})
    assert str(found.sentence) == "Cannot tell yet. Open: Hose; a cause that is not listed."
    both = conclude(brakes(), a_belief(hose=0.6, caliper=0.4), {})
    assert str(both.sentence) == "Cannot tell yet. Open: Hose; Caliper."


def test_when_all_is_ruled_out_what_is_not_listed_stays() -> None:
    found = conclude(brakes(), a_belief(hose=0.01, caliper=0.01, unlisted=0.98), {})
    assert str(found.sentence) == "Cannot tell yet. Open: a cause that is not listed."


OUTCOME = st.sampled_from(["no", "yes"])


@given(st.floats(0, 1), st.floats(0, 1), OUTCOME, OUTCOME)
def test_a_sentence_with_one_name_alone_is_never_an_open_question(
    hose: float, caliper: float, leak: str, pads: str
) -> None:
    found = conclude(brakes(), a_belief(hose=hose, caliper=caliper), {"leak": leak, "pads": pads})
    if str(found.sentence).startswith("Cannot tell") and "not listed" not in str(found.sentence):
        assert str(found.sentence).count(";") >= 1


def chained() -> FaultModel:
    """A fan kills the gasket or a hose does; bubbles prove it, and each cause has its check."""
    faults = [
        a_fault("fan"),
        a_fault("hose"),
        a_fault("gasket", 0.0, caused_by={"fan": 0.3, "hose": 0.5}),
    ]
    checks = [
        a_check("weak", given={"hose": (0.8, 0.2)}),
        a_check("bubbles", given={"gasket": (0.1, 0.9)}, names={"gasket": ("yes",)}),
        a_check("fan-runs", given={"fan": (0.1, 0.9)}, names={"fan": ("yes",)}),
        a_check("pressure", given={"hose": (0.1, 0.9)}, names={"hose": ("yes",)}),
    ]
    return a_model(faults, checks)


def test_a_confirmed_fault_is_tied_to_the_confirmed_cause_of_it() -> None:
    belief = a_belief(gasket=0.95, fan=0.93, hose=0.05, root={"gasket": 0, "fan": 0.93, "hose": 0})
    found = conclude(chained(), belief, {"bubbles": "yes", "fan-runs": "yes"})
    (chain,) = found.chains
    assert (chain.faults, chain.root, chain.look_for) == (("gasket", "fan"), "fan", ())
    assert [str(one) for one in chain.sentences] == ["Fan brought about Gasket."]


def test_a_killed_part_without_its_killer_asks_to_look_for_it() -> None:
    root = {"gasket": 0.0, "fan": 0.4, "hose": 0.6}
    belief = a_belief(gasket=1.0, fan=0.4, hose=0.6, root=root)
    (chain,) = conclude(chained(), belief, {"bubbles": "yes"}).chains
    assert (chain.root, chain.look_for) == ("", ("hose", "fan"))
    assert chain.checks == ("pressure", "fan-runs", "weak")
    assert [str(one) for one in chain.sentences] == [
        "Look for what brought about Gasket. These tell: Pressure; Fan runs; Weak."
    ]


def test_with_every_check_done_it_still_asks_to_look() -> None:
    belief = a_belief(gasket=1.0, fan=0.4, hose=0.6, root={"gasket": 0.0, "fan": 0.4, "hose": 0.6})
    seen = {"weak": "no", "bubbles": "yes", "fan-runs": "no", "pressure": "no"}
    (chain,) = conclude(chained(), belief, seen).chains
    assert [str(one) for one in chain.sentences] == ["Look for what brought about Gasket."]


def test_a_fault_that_came_by_itself_is_its_own_root() -> None:
    belief = a_belief(gasket=1.0, fan=0.1, hose=0.1, root={"gasket": 0.8, "fan": 0.1, "hose": 0.1})
    (chain,) = conclude(chained(), belief, {"bubbles": "yes"}).chains
    assert chain.root == "gasket"
    assert chain.brought == pytest.approx(0.2)


def test_a_chain_of_three_ends_at_its_first_cause() -> None:
    model = chained()
    worn = replace(model.fault("fan"), caused_by={"belt": 0.4})
    names = {"names": {"belt": ("yes",)}, "given": {"belt": (0.1, 0.9)}}
    model = replace(
        model,
        faults=(worn, *model.faults[1:], a_fault("belt")),
        checks=(*model.checks, a_check("belt-seen", **names)),
    )
    p = {"gasket": 0.95, "fan": 0.95, "hose": 0.01, "belt": 0.95}
    belief = a_belief(root={"gasket": 0, "fan": 0, "hose": 0, "belt": 0.95}, **p)
    seen = {"bubbles": "yes", "fan-runs": "yes", "belt-seen": "yes"}
    (chain,) = conclude(model, belief, seen).chains
    assert chain.faults == ("gasket", "fan", "belt")
    assert [str(one) for one in chain.sentences] == [
        "Fan brought about Gasket.",
        "Belt brought about Fan.",
    ]


def test_with_the_real_engine_a_killed_gasket_asks_for_its_killer() -> None:
    model = chained()
    faults = (replace(model.faults[0], weight=0.5), replace(model.faults[1], weight=0.5))
    proofs = tuple(
        a_check(f"b{i}", sound=(0.99, 0.01), given={"gasket": (0.05, 0.95)}) for i in range(3)
    )
    model = replace(
        model, faults=(*faults, model.faults[2]), checks=(*model.checks, *proofs), unlisted=0.0
    )
    seen = {"bubbles": "yes", "b0": "yes", "b1": "yes", "b2": "yes"}
    found = conclude(model, believe(model, seen), seen)
    assert found.confirmed == ("gasket",)
    assert found.chains[0].look_for == ("hose", "fan")
