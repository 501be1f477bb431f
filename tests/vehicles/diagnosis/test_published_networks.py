"""Networks from papers and textbooks, and cases computed by hand, to the digits printed there.

The file names the source of each case, and whether its figures were seen in a text or are from
memory. “expected” has nine digits, of an enumeration, a junction tree and an elimination that
agree; “published” has the digits that the source prints.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.elimination import probability, query
from vehicles.diagnosis.fault_model import Causes, outcome_row
from vehicles.diagnosis.inference import Engine, Reasoner, believe
from vehicles.diagnosis.network import Network, Node, noisy_or

DATA = Path(__file__).parents[2] / "data" / "diagnosis_examples.json"
CASES: list[dict[str, Any]] = json.loads(DATA.read_text(encoding="utf-8"))["examples"]
BY_ID = {case["id"]: case for case in CASES}
TABLES = [case for case in CASES if case["kind"] == "noisy_or_table"]
QUERIES = [
    pytest.param(case, one, id=f"{case['id']}-{one['target']}-{place}")
    for case in CASES
    if case["kind"] == "network"
    for place, one in enumerate(case["queries"])
]


def network_of_case(case: dict[str, Any]) -> Network:
    return Network(
        Node(
            name=one["name"],
            states=tuple(one["states"]),
            parents=tuple(one["parents"]),
            table=np.array(one["cpt"], float),
        )
        for one in case["network"]
    )


@pytest.mark.parametrize(("case", "asked"), QUERIES)
def test_a_published_network_answers_as_printed(
    case: dict[str, Any], asked: dict[str, Any]
) -> None:
    network = network_of_case(case)
    found = query(network, asked["target"], asked["evidence"])[asked["state"]]
    assert found == pytest.approx(asked["expected"], abs=1e-9, rel=0)
    assert probability(network, asked["evidence"]) == pytest.approx(asked["p_evidence"], abs=1e-9)
    if asked["published"] is not None:
        digits = len(str(asked["published"]).partition(".")[2])
        assert round(found, digits) == asked["published"]


def test_all_cases_of_inference_are_here() -> None:
    kinds = [case["kind"] for case in CASES]
    assert {kind: kinds.count(kind) for kind in kinds} == {
        "network": 7,
        "noisy_or_table": 2,
        "two_level_noisy_or": 1,
        "single_fault": 1,
    }


@pytest.mark.parametrize("case", TABLES, ids=[case["id"] for case in TABLES])
def test_a_published_noisy_or_has_its_table(case: dict[str, Any]) -> None:
    causes = case["net_strength"]
    nodes = [Node(name=one, states=("no", "yes"), table=np.array([0.5, 0.5])) for one in causes]
    network = Network([*nodes, noisy_or("effect", case["leak"], causes)])
    for row in case["rows"]:
        seen = {cause: "yes" if row[cause] else "no" for cause in causes}
        assert query(network, "effect", seen)["yes"] == pytest.approx(row["expected"], abs=1e-12)


def test_the_figures_a_technician_gives_are_compound() -> None:
    case = BY_ID["noisy_or_leaky"]
    given = {cause: (1 - q, q) for cause, q in case["net_strength"].items()}
    check = a_check(sound=(1 - case["leak"], case["leak"]), given=given)
    both = outcome_row(check, tuple(given))[1]
    assert both == pytest.approx(case["compound_both"], abs=1e-9)
    assert both != pytest.approx(case["rows"][-1]["expected"], abs=0.01)


@pytest.mark.parametrize("asked", BY_ID["brakes_noisy_or"]["queries"])
@pytest.mark.parametrize("engine", [Engine.EXPLAINED, Engine.ELIMINATION])
def test_brakes_with_several_faults_at_once(asked: dict[str, Any], engine: Engine) -> None:
    case = BY_ID["brakes_noisy_or"]
    faults = [a_fault(*pair) for pair in zip(case["faults"], case["prior"], strict=True)]
    checks = []
    for code, row, leak in zip(case["checks"], case["net_strength"], case["leak"], strict=True):
        sound = [(1 - leak) * (1 - q) for q in row]
        given = {one.code: (p, 1 - p) for one, p in zip(faults, sound, strict=True)}
        checks.append(a_check(code, sound=(1 - leak, leak), given=given))
    model = a_model(faults, checks, causes=Causes.SEVERAL)
    seen = dict.fromkeys(asked["positive"], "yes") | dict.fromkeys(asked["negative"], "no")
    found = Reasoner(model, engine).believe(seen)
    assert found.present == pytest.approx(asked["posterior"], abs=1e-9, rel=0)
    assert found.evidence == pytest.approx(asked["p_evidence"], abs=1e-12, rel=0)


def test_a_trail_of_checks_with_one_cause() -> None:
    case = BY_ID["single_fault_trail"]
    faults = [a_fault(f"f{at}", weight) for at, weight in enumerate(case["prior"])]
    checks = [
        a_check(f"c{at}", given={f"f{cause}": (1 - p, p) for cause, p in enumerate(row)})
        for at, row in enumerate(case["p_positive"])
    ]
    model = a_model(faults, checks)
    seen = {}
    for step in case["trail"]:
        seen[f"c{step['check']}"] = "yes" if step["outcome"] == "positive" else "no"
        found = list(believe(model, seen).present.values())
        assert found == pytest.approx(step["posterior"], abs=1e-9, rel=0)
