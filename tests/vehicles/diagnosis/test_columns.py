from __future__ import annotations

from itertools import pairwise, product

from hypothesis import given
from hypothesis import strategies as st

from vehicles.diagnosis.columns import arrange, crossings, stack

NAMES = [f"n{k}" for k in range(10)]
# Each edge leads from an earlier name to a later one, so that there is no circle.
EDGES = st.sets(
    st.sampled_from([(a, b) for a, b in product(NAMES, NAMES) if a < b]), max_size=20
).map(sorted)


def test_a_root_that_reaches_far_passes_every_column_between() -> None:
    found = arrange(["a", "b", "c", "seen"], [("a", "b"), ("b", "c"), ("a", "c")], ["seen"])
    assert found.columns == (("a",), ("b", "a c 1"), ("c",), ("seen",))
    assert found.ways["a", "c"] == ("a", "a c 1", "c")


def test_what_brings_nothing_about_stands_beside_the_checks() -> None:
    found = arrange(["a", "b", "alone", "seen"], [("a", "b"), ("b", "seen")], ["seen"])
    assert found.columns == (("a",), ("b", "alone"), ("seen",))


def test_sweeps_take_out_a_crossing() -> None:
    found = arrange(["a", "b", "x", "y"], [("a", "y"), ("b", "x")], ["x", "y"])
    assert found.columns == (("a", "b"), ("y", "x"))


@given(EDGES)
def test_every_edge_leads_one_column_to_the_right_at_each_step(
    edges: list[tuple[str, str]],
) -> None:
    found = arrange(NAMES, edges, [])
    place = {name: n for n, column in enumerate(found.columns) for name in column}
    steps = [step for way in found.ways.values() for step in pairwise(way)]
    assert all(place[b] - place[a] == 1 for a, b in steps)
    assert sorted(name for name in place if name in NAMES) == NAMES
    assert [(way[0], way[-1]) for way in found.ways.values()] == edges


@given(st.permutations(range(6)), st.permutations(range(6)), st.data())
def test_crossings_are_those_found_pair_by_pair(
    left: list[int], right: list[int], data: st.DataObject
) -> None:
    mine, other = [f"l{n}" for n in left], [f"r{n}" for n in right]
    steps = data.draw(st.sets(st.tuples(st.sampled_from(mine), st.sampled_from(other))))
    ends = [(mine.index(a), other.index(b)) for a, b in steps]
    crossed = sum(a < c and b > d for (a, b), (c, d) in product(ends, ends))
    assert crossings(mine, other, steps) == crossed


@given(st.lists(st.tuples(st.integers(1, 90), st.integers(-500, 500)), max_size=12))
def test_boxes_of_a_column_keep_their_order_and_their_gap(boxes: list[tuple[int, int]]) -> None:
    heights, wanted = [one[0] for one in boxes], [one[1] for one in boxes]
    tops = stack(heights, wanted, gap=10)
    bottoms = [top + height for top, height in zip(tops, heights, strict=True)]
    assert all(below - above >= 10 for above, below in zip(bottoms, tops[1:], strict=False))


def test_boxes_with_room_stand_where_they_want() -> None:
    assert stack([20, 20], [10, 100], gap=10) == [0, 90]
