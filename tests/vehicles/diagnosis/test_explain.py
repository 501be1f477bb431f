"""How a case came to its figures: each step, what fell by it, and what is left open."""

from __future__ import annotations

from itertools import pairwise
from math import inf, prod

import pytest

from tests.vehicles.diagnosis.cases import (
    a_case,
    a_conclusion,
    a_contradicted_case,
    a_record,
    a_session,
    a_step,
)
from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.explain import (
    NONE_LISTED,
    UNLISTED,
    explain,
    odds_ratio,
    plain_list,
    proof_in_words,
    sources_of_checks,
    unlisted_name,
)
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.inference import believe


def test_a_step_gives_the_figure_of_the_textbook() -> None:
    """Source: Eddy 1982: 1 in 100, 80 in 100 found, 9.6 in 100 false, gives 7.8; from memory."""
    model = a_model(
        (a_fault("hose", 0.01),),
        (a_check("level", sound=(0.904, 0.096), given={"hose": (0.2, 0.8)}),),
        causes=Causes.SEVERAL,
    )
    case = explain(a_record(), a_session(a_step("level", "yes"), model=model))
    before, after = case.turns
    assert [one.leading for one in case.turns] == ["None of the listed faults"] * 2
    assert before.p == pytest.approx(0.99)
    assert after.p == pytest.approx(1 - 0.0776, abs=5e-5)


def test_each_step_has_what_is_believed_after_it() -> None:
    case = a_case()
    # By hand: hose 0.4 × (0.8 × 0.5 + 0.2 × (1 - 0.5 × 0.7 / 0.98)), then fan and thermostat
    # 0.5 × 0.02, gasket 0.05 × 0.3, what is not listed 0.05 / 3.
    hose, others = 0.4 * (0.4 + 0.2 * (1 - 0.35 / 0.98)), 0.01 + 0.015 + 0.05 / 3
    assert [one.seen for one in case.turns] == [
        "Before anything was seen",
        "1. Level: Empty",
        "2. Bubbles: Yes",
    ]
    assert [one.leading for one in case.turns] == ["Hose"] * 3
    assert case.turns[1].p == pytest.approx(hose / (hose + others))
    assert case.looking
    assert case.turns[2].p == case.looking.belief.present["hose"]


def test_the_steps_multiply_to_the_whole_change_of_the_odds() -> None:
    """Bayes’ rule, observation by observation (chain rule of probability)."""
    model = a_model()
    seen = {"level": "low", "fan-runs": "no", "bubbles": "yes"}
    prefixes = [dict(list(seen.items())[:count]) for count in range(len(seen) + 1)]
    chances = [believe(model, one).present["gasket"] for one in prefixes]
    steps = [odds_ratio(*pair) for pair in pairwise(chances)]
    assert prod(steps) == pytest.approx(odds_ratio(chances[0], chances[-1]))


def test_what_is_impossible_or_certain_has_odds_that_say_so() -> None:
    assert odds_ratio(0.2, 1.0) == inf
    assert odds_ratio(1.0, 1.0) == 1.0


def test_a_fault_that_fell_names_the_observations_that_did_it() -> None:
    case = a_case()
    assert [one.title for one in case.ruled_out] == ["Fan", "Thermostat"]
    fan = case.ruled_out[0]
    assert fan.before == pytest.approx(0.3)
    assert [(one.number, one.seen) for one in fan.by] == [(1, "level: empty"), (2, "bubbles: yes")]
    assert {one.factor[:2] for one in fan.by} == {"÷\u00a0"}


def test_what_could_not_be_done_counts_as_no_step_but_keeps_its_number() -> None:
    case = a_case(a_step("level", could_not="No light"), a_step("bubbles", "yes"))
    assert [one.seen for one in case.turns][1:] == ["2. Bubbles: Yes"]
    assert case.number_of("bubbles") == 2
    assert case.number_of("fan-runs") == 0


def test_from_a_contradiction_on_there_is_no_figure() -> None:
    case = a_contradicted_case()
    assert [one.p is None for one in case.turns] == [False, False, True]
    assert case.turns[-1].leading == "No cause explains all of this together"
    assert (case.looking, case.ruled_out, case.unsettled) == (None, (), ())


def test_a_fault_that_somebody_signed_for_is_not_open() -> None:
    still = {one.fault.code for one in a_case().unsettled}
    signed = {one.fault.code for one in a_case(concluded=(a_conclusion(),)).unsettled}
    assert still - signed == {"hose"}


def test_proof_is_what_names_the_part_with_its_number() -> None:
    case = a_case()
    assert proof_in_words(case, "gasket") == "bubbles: yes (observation 2)"
    assert proof_in_words(case, "fan") == ""


def test_sources_of_checks_are_told_once_each() -> None:
    checks = (
        a_check("level", source="A manual", seen=True),
        a_check("bubbles"),
        a_check("fan-runs"),
    )
    session = a_session(*(a_step(one.code, "no") for one in checks), model=a_model(checks=checks))
    assert sources_of_checks(a_case(session=session)) == [
        ("A manual", True, "observation 1"),
        ("", False, "observations 2 and 3"),
    ]


def test_what_is_not_listed_has_a_name_by_its_statement() -> None:
    several = a_session(model=a_model(causes=Causes.SEVERAL, unlisted=0.0))
    assert unlisted_name(a_session()) == UNLISTED
    assert unlisted_name(several) == NONE_LISTED


def test_names_are_listed_as_in_a_sentence() -> None:
    assert plain_list(["1"]) == "1"
    assert plain_list(["1", "2"]) == "1 and 2"
