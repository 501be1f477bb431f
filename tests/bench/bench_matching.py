"""How long matching takes, beside OR-tools' minimum cost flow in the same run.

Run by hand from the top folder: `python -m pytest tests/bench/bench_matching.py -s -m bench -q`.
It prints figures and asserts only that both find as many matches.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import timedelta
from random import Random
from time import perf_counter
from typing import TYPE_CHECKING, Any, TypeVar

import pytest

from sponsors.matching.assignment import assign
from sponsors.matching.compatibility import Compatibility, NeedLine, SupplyLine
from sponsors.matching.matching import match, rematch
from tests.sponsors.matching.lines import FOCUS, TODAY, WORK_DAY, make_need, make_part, make_supply
from vehicles.repairs.fitment import Part, System

if TYPE_CHECKING:
    from collections.abc import Callable

T = TypeVar("T")
pytestmark = pytest.mark.bench
MODELS = [f"Model {number}" for number in range(20)]
COUNTIES = ("Bramwick", "Wexley", "Tarn", "Overy")


def make_lines(size: int, supply_of_demand: float = 0.7) -> tuple[list[NeedLine], list[SupplyLine]]:
    """Return needs of 40 kinds of part for 20 models of 6 years, and pledges for year ranges."""
    chance = Random(size)
    needs = []
    for at in range(size):
        part = Part(kind=f"part_{chance.randrange(40)}", system=System.CHARGING)
        car = replace(FOCUS, model=chance.choice(MODELS), year=2010 + chance.randrange(6))
        opened = TODAY - timedelta(days=chance.randrange(200))
        tier, county = chance.randrange(5), chance.choice(COUNTIES)
        needs.append(make_need(at, part=part, car=car, opened_on=opened, tier=tier, county=county))
    supplies = []
    for at in range(int(size * supply_of_demand / 2)):
        first = 2010 + chance.randrange(6)
        part = make_part(
            f"part_{chance.randrange(40)}",
            model=chance.choice(MODELS),
            year_from=first,
            year_to=first + chance.randrange(4),
        )
        counties = chance.choice(((), (), COUNTIES[:2]))
        ends = WORK_DAY + timedelta(days=chance.randrange(120))
        units = chance.randint(1, 3)
        supplies.append(
            make_supply(at, part=part, counties=counties, expires_on=ends, quantity=units)
        )
    return needs, supplies


def min_cost_flow(can: Compatibility) -> int:
    """Return how many units OR-tools serves, at a cost of the place in the two orders."""
    from ortools.graph.python import min_cost_flow as library  # noqa: PLC0415  # loads slowly

    flow: Any = library.SimpleMinCostFlow()
    claims, givers = len(can.claims), len(can.supplies)
    source, sink = claims + givers, claims + givers + 1
    arcs = []
    for at, (_, class_) in enumerate(can.claims):
        arcs.append(flow.add_arc_with_capacity_and_unit_cost(source, at, 1, at))
        for giver in can.edges[class_]:
            flow.add_arc_with_capacity_and_unit_cost(at, claims + giver, 1, 0)
    for giver, supply in enumerate(can.supplies):
        node = claims + giver
        flow.add_arc_with_capacity_and_unit_cost(node, sink, supply.quantity, giver)
    flow.set_node_supply(source, claims)
    flow.set_node_supply(sink, -claims)
    assert flow.solve_max_flow_with_min_cost() == flow.OPTIMAL
    return sum(flow.flow(arc) for arc in arcs)


def timed(work: Callable[[], T]) -> tuple[float, T]:
    start = perf_counter()
    found = work()
    return perf_counter() - start, found


@pytest.mark.parametrize("size", [100, 1_000, 10_000])
def test_a_full_matching_beside_minimum_cost_flow(size: int) -> None:
    needs, supplies = make_lines(size)
    build, can = timed(lambda: Compatibility(needs, supplies))
    units = [supply.quantity for supply in can.supplies]
    claims = [class_ for _, class_ in can.claims]
    own, given = timed(lambda: assign(claims, edges=can.edges, units=units))
    other, served = timed(lambda: min_cost_flow(can))
    assert sum(sum(gets.values()) for gets in given) == served
    edges = sum(len(can.edges[class_]) for class_ in claims)
    print(  # noqa: T201  # the figures are what a bench is for
        f"\n{size:,} needs, {edges:,} edges: build {build:.3f} s, own {own:.3f} s, "
        f"OR-tools {other:.3f} s, ratio {other / own:.1f}, served {served:,}"
    )


@pytest.mark.parametrize("size", [1_000, 10_000])
def test_one_new_pledge_beside_a_full_run(size: int) -> None:
    needs, supplies = make_lines(size)
    full, found = timed(lambda: match(needs, supplies))
    kind = "part_7"
    some = [need for need in needs if need.part.kind == kind]
    new = make_supply(size, part=make_part(kind, model=MODELS[0]), quantity=2)
    offers = [new, *(supply for supply in supplies if supply.part.kind == kind)]
    ids = {need.id for need in some}
    held = [(one.need_id, one.supply_id) for one in found.matches if one.need_id in ids]
    one, after = timed(lambda: rematch(some, offers, held))
    moved = Counter(held) - Counter((now.need_id, now.supply_id) for now in after.matches)
    print(  # noqa: T201  # the figures are what a bench is for
        f"\n{size:,} needs: full {full:.3f} s, one pledge {one:.4f} s, "
        f"ratio {full / one:.0f}, moved {sum(moved.values())}"
    )
    assert len(after.matches) >= len(held)
