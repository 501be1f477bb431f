"""How long a belief and the table of all next checks take, beside libraries that answer the same.

Run by hand from the top folder: `python -m pytest tests/bench/bench_diagnosis.py -s -m bench -q`.
It prints figures and asserts only that all find the same. pgmpy is measured where somebody has
installed it; it is in none of the locks.
"""

from __future__ import annotations

import tracemalloc
import warnings
from importlib import import_module
from importlib.util import find_spec
from random import Random
from time import perf_counter
from typing import TYPE_CHECKING, Any, TypeVar

import pytest

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.fault_model import Causes, FaultModel, outcome_row
from vehicles.diagnosis.inference import Reasoner

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

T = TypeVar("T")
pytestmark = [pytest.mark.bench, pytest.mark.filterwarnings("ignore")]
FAULTS, CHECKS, GOOD = 30, 40, 10
STATES = ["no", "yes"]

with warnings.catch_warnings():
    warnings.simplefilter("ignore")
    gum = pytest.importorskip("pyagrum")
    pgmpy: dict[str, Any] = {}
    if find_spec("pgmpy"):
        for part in ("pgmpy.factors.discrete", "pgmpy.inference", "pgmpy.models"):
            pgmpy |= vars(import_module(part))


def best(times: int, work: Callable[..., T], *asked: Any) -> tuple[float, T]:
    """Return the least milliseconds of some runs, and what the last found."""
    taken = []
    for _ in range(times):
        start = perf_counter()
        found = work(*asked)
        taken.append((perf_counter() - start) * 1e3)
    return min(taken), found


def several(least: int = 3, most: int = 5) -> FaultModel:
    """Return faults that may come together, and checks on which some of them act.

    Up to eight act in our models; with more than five the cliques of a library grow very wide.
    """
    chance = Random(1)
    faults = [a_fault(f"f{at}", chance.uniform(0.005, 0.1)) for at in range(FAULTS)]
    checks = []
    for at in range(CHECKS):
        leak, rows = chance.uniform(0.01, 0.08), {}
        for fault in chance.sample(faults, chance.randint(least, most)):
            sound = (1 - leak) * (1 - chance.uniform(0.2, 0.95))
            rows[fault.code] = (sound, 1 - sound)
        checks.append(a_check(f"c{at}", sound=(1 - leak, leak), given=rows))
    return a_model(faults, checks, causes=Causes.SEVERAL)


def one() -> FaultModel:
    """Return faults of which one is there; each check tells something of each of them."""
    chance = Random(2)
    faults = [a_fault(f"f{at}", 1 / FAULTS) for at in range(FAULTS)]
    checks = []
    for at in range(CHECKS):
        shares = [chance.uniform(0.02, 0.98) for _ in faults]
        given = {fault.code: (1 - p, p) for fault, p in zip(faults, shares, strict=True)}
        checks.append(a_check(f"c{at}", given=given))
    return a_model(faults, checks)


def observed(bad: int, good: int = GOOD) -> dict[str, str]:
    """Return outcomes of the first checks; the bad ones first."""
    return {f"c{at}": "yes" if at < bad else "no" for at in range(bad + good)}


def tables(model: FaultModel) -> dict[str, tuple[list[str], Any]]:
    """Return what each check depends on, and its rows for all of their states."""
    found = {}
    for check in model.checks:
        faults = list(check.given)
        if model.causes is Causes.ONE:
            found[check.code] = (["root"], [check.given[code] for code in faults])
            continue
        sets = [
            [code for at, code in enumerate(faults) if bits >> (len(faults) - 1 - at) & 1]
            for bits in range(2 ** len(faults))
        ]
        found[check.code] = (faults, [outcome_row(check, some) for some in sets])
    return found


def roots(model: FaultModel) -> dict[str, list[float]]:
    if model.causes is Causes.ONE:
        return {"root": [fault.weight for fault in model.faults]}
    return {fault.code: [1 - fault.weight, fault.weight] for fault in model.faults}


class Agrum:
    name = "pyAgrum"

    def __init__(self, model: FaultModel) -> None:
        self.roots, network = roots(model), gum.BayesNet()
        for code, shares in self.roots.items():
            network.add(gum.RangeVariable(code, "", 0, len(shares) - 1))
            network.cpt(code).fillWith(shares)
        for code, (parents, rows) in tables(model).items():
            network.add(gum.LabelizedVariable(code, "", STATES))
            for parent in reversed(parents):  # its first parent turns fastest
                network.addArc(parent, code)
            network.cpt(code).fillWith([p for row in rows for p in row])
        self.engine = gum.LazyPropagation(network)
        self.engine.setNumberOfThreads(1)

    def ask(self, seen: Mapping[str, str]) -> dict[str, list[float]]:
        return self._found(seen, list(self.roots))

    def chance(self, code: str, seen: Mapping[str, str]) -> list[float]:
        return self._found(seen, [code])[code]

    def _found(self, seen: Mapping[str, str], targets: list[str]) -> dict[str, list[float]]:
        """Return what is asked; named as targets, so that it can leave out all other nodes."""
        self.engine.eraseAllTargets()
        for code in targets:
            self.engine.addTarget(code)
        self.engine.setEvidence(dict(seen))
        self.engine.makeInference()
        return {code: self.engine.posterior(code).tolist() for code in targets}


class Pgmpy:
    name = "pgmpy"

    def __init__(self, model: FaultModel) -> None:
        self.roots, network = roots(model), pgmpy["DiscreteBayesianNetwork"]()
        network.add_nodes_from(self.roots)
        for code, shares in self.roots.items():
            network.add_cpds(pgmpy["TabularCPD"](code, len(shares), [[p] for p in shares]))
        for code, (parents, rows) in tables(model).items():
            network.add_node(code)
            network.add_edges_from([(parent, code) for parent in parents])
            sizes = [len(self.roots[parent]) for parent in parents]
            columns = [[row[place] for row in rows] for place in range(2)]
            names = {code: STATES} | {
                parent: list(range(size)) for parent, size in zip(parents, sizes, strict=True)
            }
            network.add_cpds(
                pgmpy["TabularCPD"](code, 2, columns, parents, sizes, state_names=names)
            )
        self.engine = pgmpy["VariableElimination"](network)

    def ask(self, seen: Mapping[str, str]) -> dict[str, list[float]]:
        found = self.engine.query(list(self.roots), dict(seen), joint=False, show_progress=False)
        return {code: factor.values.tolist() for code, factor in found.items()}

    def chance(self, code: str, seen: Mapping[str, str]) -> list[float]:
        found = self.engine.query([code], dict(seen), show_progress=False)
        return [float(p) for p in found.values]


LIBRARIES: list[Any] = [Agrum, *([Pgmpy] if pgmpy else [])]


def shares(found: dict[str, list[float]]) -> list[float]:
    """Return how likely each fault is, from what a library found."""
    return found["root"] if "root" in found else [states[1] for states in found.values()]


def say(text: str) -> None:
    print(text)  # noqa: T201 (a bench prints)


def compare_belief(
    model: FaultModel, seen: Mapping[str, str], title: str, libraries: Sequence[Any]
) -> None:
    own, found = best(7, Reasoner(model).believe, seen)
    texts = [f"{title}, belief: own {own:.2f} ms"]
    for kind in libraries:
        took, other = best(2, kind(model).ask, seen)
        texts.append(f"{kind.name} {took:,.1f} ms, ratio {took / own:,.0f}")
        assert list(found.present.values()) == pytest.approx(shares(other), abs=1e-9)
    say("; ".join(texts))


def table(library: Any, ahead: list[str], seen: Mapping[str, str]) -> list[Any]:
    """Return what each outcome of each other check would make of each fault, from a library."""
    return [
        (
            library.chance(code, seen),
            [shares(library.ask({**seen, code: outcome})) for outcome in STATES],
        )
        for code in ahead
    ]


def compare_table(model: FaultModel, seen: Mapping[str, str], title: str) -> None:
    ahead = [check.code for check in model.checks if check.code not in seen]
    own, found = best(5, Reasoner(model).branches, seen, ahead)
    texts = [f"{title}, {len(ahead)} next checks: own {own:.2f} ms"]
    for kind in LIBRARIES:
        took, other = best(1, table, kind(model), ahead, seen)
        texts.append(f"{kind.name} {took:,.0f} ms, ratio {took / own:,.0f}")
        for code, (p, present) in zip(ahead, other, strict=True):
            assert found[code].p.tolist() == pytest.approx(p, abs=1e-9)
            for place, row in enumerate(present):
                assert found[code].present[place].tolist() == pytest.approx(row, abs=1e-9)
    say("; ".join(texts))


@pytest.mark.parametrize("bad", [2, 4, 8, 12])
def test_a_belief_with_several_faults(bad: int) -> None:
    compare_belief(several(), observed(bad), f"\nseveral faults, {bad} bad", LIBRARIES)


@pytest.mark.parametrize("bad", [4, 12])
def test_next_checks_with_several_faults(bad: int) -> None:
    compare_table(several(), observed(bad), f"\nseveral faults, {bad} bad")


def test_a_belief_with_up_to_eight_faults_a_check() -> None:
    compare_belief(several(3, 8), observed(12), "\nup to eight a check, 12 bad", [Agrum])


def test_one_fault() -> None:
    compare_belief(one(), observed(7, 8), "\none fault, 15 findings", LIBRARIES)
    compare_table(one(), observed(7, 8), "one fault, 15 findings")


@pytest.mark.parametrize("bad", [12, 18])
def test_memory_of_next_checks(bad: int) -> None:
    model, seen = several(3, 8), observed(bad)
    ahead = [check.code for check in model.checks if check.code not in seen]
    own, found = best(5, Reasoner(model).branches, seen, ahead)
    tracemalloc.start()
    Reasoner(model).branches(seen, ahead)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    title = f"\nup to eight a check, {bad} bad, {len(ahead)} next checks"
    say(f"{title}: {own:.1f} ms, {peak / 1e6:.1f} MB")
    assert len(found) == CHECKS - bad - GOOD
