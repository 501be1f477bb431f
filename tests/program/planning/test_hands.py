from __future__ import annotations

from dataclasses import replace
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.planning.hands import Hand, SharedHours, shared_hours, told_apart

ANA = Hand(id=1, name="Ana", minutes=(300, 300))
BEN = Hand(id=2, name="Ben", minutes=(60, 0))
CAROL = Hand(id=3, name="Carol", minutes=(200, 200))
NOBODY: tuple[frozenset[int], frozenset[int]] = (frozenset(), frozenset())


def alike(*ids: int) -> tuple[frozenset[int], frozenset[int]]:
    return frozenset(ids), frozenset(ids)


def test_work_of_everybody_needs_no_resource_of_its_own() -> None:
    assert shared_hours([ANA, BEN], {"tires": alike(1, 2)}) == ()


def test_a_union_of_two_sets_bounds_the_work_of_both() -> None:
    rows = shared_hours([ANA, BEN, CAROL], {"brakes": alike(1), "fuel": alike(2)})
    assert [(row.name, row.groups, row.minutes) for row in rows] == [
        ("minutes of Ana", frozenset({"brakes"}), (300, 300)),
        ("minutes of Ben", frozenset({"fuel"}), (60, 0)),
        ("minutes of Ana or Ben", frozenset({"brakes", "fuel"}), (360, 300)),
    ]


def test_work_that_nobody_may_do_has_no_hours() -> None:
    assert shared_hours([ANA], {"fuel": NOBODY}) == (
        SharedHours(
            name="minutes of somebody who may fuel", groups=frozenset({"fuel"}), minutes=(0, 0)
        ),
    )


def test_a_paper_that_runs_out_takes_its_hours_from_then_on() -> None:
    (row,) = shared_hours([ANA, BEN], {"brakes": (frozenset({1, 2}), frozenset({2}))})
    assert row.minutes == (360, 0)


def test_more_unions_than_a_plan_can_hold_leave_each_set_alone() -> None:
    hands = [Hand(id=n, name=f"P{n}", minutes=(10,)) for n in range(12)]
    rows = shared_hours(hands, {f"g{n}": (frozenset({n}),) for n in range(10)})
    assert [row.name for row in rows] == [f"minutes of P{n}" for n in range(10)]


def test_many_names_are_counted() -> None:
    hands = [Hand(id=n, name=f"P{n}", minutes=(10,)) for n in range(6)]
    (row,) = shared_hours(hands, {"g": (frozenset(range(5)),)})
    assert row.name == "minutes of P0, P1, P2 or 2 more"


def test_two_sets_of_people_never_have_one_name() -> None:
    hands = [Hand(id=n, name=f"P{n}", minutes=(10 + n,)) for n in range(7)]
    rows = shared_hours(hands, {"a": ({0, 1, 2, 3, 4},), "b": ({0, 1, 2, 3, 5},)})
    assert [(row.name, row.minutes) for row in rows] == [
        ("minutes of P0, P1, P2 or 2 more", (60,)),
        ("minutes of P0, P1, P2 or 2 more (2)", (61,)),
        ("minutes of P0, P1, P2 or 3 more", (75,)),
    ]


def test_whoever_may_do_some_work_in_one_week_only_is_not_counted_in_others() -> None:
    """Ana and Ben trade: together they always may, and each alone in one week."""
    either = frozenset({1, 2})
    may = {"brakes": (either, either), "fuel": (frozenset({1}), frozenset({2}))}
    rows = shared_hours([ANA, replace(BEN, minutes=(60, 60)), CAROL], may)
    assert [(sorted(row.groups), row.minutes) for row in rows] == [
        (["brakes", "fuel"], (360, 360)),
        (["fuel"], (300, 60)),
    ]


def test_work_whose_hours_would_be_confused_has_hours_of_its_own() -> None:
    one, other = frozenset({1}), frozenset({1, 2})
    may = {"a": (one, other, one), "b": (one, one, other), "c": (other, one, one)}
    hands = [Hand(id=n, name=f"P{n}", minutes=(10, 10, 10)) for n in (1, 2, 3)]
    rows = shared_hours(hands, may)
    assert {row.groups for row in rows} >= {frozenset(group) for group in "abc"}
    kinds = [tuple(row.name for row in rows if group in row.groups) for group in "abc"]
    taken = {row.name: sum(n for n, g in enumerate("abc", 1) if g in row.groups) for row in rows}
    assert told_apart(kinds, taken) == {kind: n for n, kind in enumerate(kinds, 1)}


def test_kinds_of_work_that_take_the_same_hours_are_not_told_apart() -> None:
    with pytest.raises(ValueError, match=r"^These kinds of work can't be told apart by the hours"):
        told_apart([("a",), ("b",), ("a", "b")], {"a": 1, "b": 1})


def can_be_shared_out(
    work: dict[str, int], able: dict[str, frozenset[int]], left: tuple[int, ...]
) -> bool:
    """Try every way to give whole pieces of ten minutes to people."""
    pieces = [group for group, count in sorted(work.items()) for _ in range(count)]
    for choice in product(*(sorted(able[group]) for group in pieces)):
        if all(choice.count(person) <= there for person, there in enumerate(left)):
            return True
    return False


sets = st.frozensets(st.integers(0, 2), max_size=3)


@given(
    able=st.fixed_dictionaries(dict.fromkeys("abc", st.tuples(sets, sets))),
    work=st.fixed_dictionaries({g: st.integers(0, 2) for g in "abc"}),
    left=st.tuples(*[st.integers(0, 3)] * 3),
)
def test_work_can_be_shared_out_exactly_when_no_resource_is_passed(
    able: dict[str, tuple[frozenset[int], frozenset[int]]],
    work: dict[str, int],
    left: tuple[int, ...],
) -> None:
    """The rule of Hall against trying every way (rule cited from memory, counting is our own)."""
    hands = [Hand(id=n, name=f"P{n}", minutes=(there, there)) for n, there in enumerate(left)]
    rows = shared_hours(hands, able)
    for week in range(2):
        within = all(sum(work[group] for group in row.groups) <= row.minutes[week] for row in rows)
        then = {group: weeks[week] for group, weeks in able.items()}
        found = within and sum(work.values()) <= sum(left)
        assert found == can_be_shared_out(work, then, left)
