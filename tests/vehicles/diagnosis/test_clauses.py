"""What a case report says, sentence by sentence."""

from __future__ import annotations

import pytest

from tests.vehicles.diagnosis.cases import (
    MORNING,
    a_case,
    a_conclusion,
    a_contradicted_case,
    a_session,
    a_step,
)
from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis import clauses
from vehicles.diagnosis.explain import Fall, Ruled
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.kinds import Sureness

AT = "Nov\u00a030,\u00a02026,\u00a09:05\u00a0AM"


def test_the_headline_says_what_was_concluded_and_from_what() -> None:
    case = a_case(concluded=(a_conclusion("gasket", root="Hose"),))
    assert " ".join(clauses.headline(case)) == (
        "Concluded: Gasket. Confirmed: nearly certain, 97 in 100, when it was signed. "
        "Brought about by: Hose."
    )


def test_the_headline_says_that_nothing_was_concluded() -> None:
    assert " ".join(clauses.headline(a_case(a_step("level", "full")))) == (
        "Nothing is concluded. "
        "Cannot tell yet. Open: Fan; Thermostat; Hose; a cause that is not listed."
    )


def test_the_headline_names_a_contradiction() -> None:
    assert list(clauses.headline(a_contradicted_case())) == [
        "What was seen contradicts itself. No cause in “Engine runs hot” shows “Never: Yes”."
    ]


@pytest.mark.parametrize(("p", "figure"), [(1.0, "over 99"), (0.0, "under 1"), (0.5, "50")])
def test_a_kept_figure_is_rounded_and_never_says_certain(p: float, figure: str) -> None:
    said = clauses.how_sure(a_case(), a_conclusion(p=p))
    assert said.endswith(f", {figure} in 100, when it was signed.")


def test_what_a_person_set_stands_beside_the_figures_of_that_day() -> None:
    one = a_conclusion(sureness=Sureness.OVERRULED, p=0.04)
    assert clauses.how_sure(a_case(), one) == (
        "Set by a person against the figures, which then said: unlikely, 4 in 100."
    )


def test_what_a_person_set_without_figures_says_so() -> None:
    one = a_conclusion(sureness=Sureness.OVERRULED, p=0.0)
    said = clauses.how_sure(a_contradicted_case(), one)
    assert said == "Set by a person; no figure could be computed."


@pytest.mark.parametrize(
    ("source", "how"),
    [
        ("seen", "Seen by"),
        ("asked", "Said by the household, noted by"),
        ("codes", "From the trouble codes, by"),
    ],
)
def test_an_observation_has_who_saw_it_how_and_when(source: str, how: str) -> None:
    step = a_step("level", "low", source=source)
    assert clauses.seen_by(step) == f"{how} R. Amadi, ASE A8, {AT}."


def test_what_could_not_be_done_was_recorded_not_seen() -> None:
    step = a_step("level", could_not="no light")
    assert clauses.seen_by(step).startswith("Recorded by R. Amadi")
    assert clauses.observed(a_case(), step) == "Could not be done: no light."


def test_what_was_taken_back_is_told_whole() -> None:
    step = a_step("level", "low", note="read it warm")
    assert clauses.taken_back(a_case(), step, MORNING) == (
        f"Taken back {AT}: Level: Low. Seen by R. Amadi, ASE A8, {AT}. Read it warm."
    )


def test_a_fault_is_ruled_out_by_the_strongest_in_words_and_others_by_number() -> None:
    falls = (
        Fall(number=2, seen="level: full", factor="÷ 9.0"),
        Fall(number=4, seen="bubbles: no", factor="÷ 3.0"),
        Fall(number=1, seen="fan runs: no", factor="÷ 2.0"),
    )
    one = Ruled(title="Hose", before=0.3, now=0.01, by=falls)
    said = clauses.by_what(one).replace("\u00a0", " ")
    assert said == "2, level: full (÷ 9.0); also 4 (÷ 3.0) and 1 (÷ 2.0)"


def test_a_fault_that_nothing_ruled_out_was_rare() -> None:
    one = Ruled(title="Hose", before=0.01, now=0.01, by=())
    assert clauses.by_what(one) == "rare from the start; nothing seen spoke for it"


def test_what_is_open_is_told_fault_by_fault() -> None:
    """By hand: 0.27 fan, 0.18 thermostat, 0.0338 hose, 0.01 gasket alone, 0.0167 not listed."""
    assert list(clauses.still_open(a_case(a_step("level", "full")))) == [
        "Fan: likely, 53 in 100, but nothing seen proves the part yet.",
        "Thermostat: cannot tell (unsure, 35 in 100).",
        "Hose: cannot tell (unlikely, 7 in 100).",
        "Gasket: cannot tell (unlikely, 2 in 100).",
        "A cause that is not listed: unlikely, 3 in 100.",
    ]


def test_a_killed_part_asks_for_its_killer() -> None:
    model = a_model(
        (a_fault("hose", 0.6), a_fault("gasket", 0.1, caused_by={"hose": 0.9})),
        (a_check("bubbles", given={"gasket": (0.01, 0.99)}, names={"gasket": ("yes",)}),),
        unlisted=0.3,
    )
    case = a_case(session=a_session(a_step("bubbles", "yes"), model=model))
    assert next(clauses.still_open(case)) == "Look for what brought about Gasket."


def test_where_all_is_signed_for_no_listed_fault_is_open() -> None:
    case = a_case(concluded=(a_conclusion(), a_conclusion("gasket")))
    assert clauses.SETTLED in list(clauses.still_open(case))
    assert list(clauses.still_open(a_contradicted_case())) == []


def test_the_method_names_the_model_its_text_and_the_rule() -> None:
    said = clauses.method(a_case())
    for text in (
        "fault model “Engine runs hot”, version 1, our own; SHA-256 of its text: " + "ab" * 32,
        "Its weights: practitioner’s judgment, from memory. No car of this garage is in them.",
        "Bayes’ rule",
        "One root cause is assumed",
        "noisy-MAX",
        "The sums are exact, without sampling: each possible root cause was gone through",
        "“Confirmed” takes 90 in 100 or more and something seen on the part itself",
        "“ruled out” is 2 in 100 or less",
    ):
        assert text in said


def test_the_method_of_several_causes_says_so() -> None:
    model = a_model(causes=Causes.SEVERAL, unlisted=0.0)
    said = clauses.method(a_case(session=a_session(a_step("level", "low"), model=model)))
    assert "Several faults at once are allowed." in said
    assert "every combination of faults that explains what was seen" in said


@pytest.mark.parametrize(("cars", "named"), [(1, "1 car"), (12, "12 cars")])
def test_the_method_says_how_many_cars_taught_the_weights(cars: int, named: str) -> None:
    case = a_case(session=a_session(a_step("level", "low"), cars=cars))
    assert f"with what {named} of this garage taught whose repair held." in clauses.weights(case)


def test_what_nobody_did_is_named_and_what_could_not_be_done_is_not_among_it() -> None:
    case = a_case(a_step("level", could_not="no light"), a_step("bubbles", "yes"))
    assert clauses.left_out(case) == (
        "Not done (1): Fan runs. A check left out may still show something else."
    )
    done = [a_step("level", "low"), a_step("bubbles", "yes"), a_step("fan-runs", "no")]
    assert clauses.left_out(a_case(*done)) == ""


def test_a_check_left_says_why_it_would_be_done_or_not() -> None:
    found = a_case(a_step("level", "full")).looking
    said = {
        one.check.code: clauses.what_of(a_case(), one)
        for one in (found.advice.options if found else ())
    }
    assert set(said) == {"fan-runs", "bubbles"}
    assert set(said.values()) <= {
        "Pays for itself.",
        "Saves too little.",
        "Costs more than it saves.",
    }
