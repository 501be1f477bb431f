from __future__ import annotations

from itertools import product

from hypothesis import given
from hypothesis import strategies as st

from program.planning.hands import Hand, SharedHours, shared_hours

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
    able=st.fixed_dictionaries({"a": sets, "b": sets, "c": sets}),
    work=st.fixed_dictionaries({g: st.integers(0, 2) for g in "abc"}),
    left=st.tuples(*[st.integers(0, 3)] * 3),
)
def test_work_can_be_shared_out_exactly_when_no_resource_is_passed(
    able: dict[str, frozenset[int]], work: dict[str, int], left: tuple[int, ...]
) -> None:
    """The rule of Hall against trying every way (rule cited from memory, counting is our own)."""
    hands = [Hand(id=n, name=f"P{n}", minutes=(there,)) for n, there in enumerate(left)]
    rows = shared_hours(hands, {group: (people,) for group, people in able.items()})
    within = all(sum(work[group] for group in row.groups) <= row.minutes[0] for row in rows)
    assert (within and sum(work.values()) <= sum(left)) == can_be_shared_out(work, able, left)
