"""The smallest set of observations that clash."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from vehicles.diagnosis.belief import Contradiction, listed, smallest_contradiction

CODES = ("a", "b", "c", "d", "e")


@given(st.lists(st.sets(st.sampled_from(CODES), min_size=1), min_size=1, max_size=4))
def test_no_smaller_part_clashes(clashes: list[set[str]]) -> None:
    """Brute force: the first clashing part by size, then by order, is the one found."""

    def possible(kept: tuple[str, ...]) -> bool:
        return not any(clash <= set(kept) for clash in clashes)

    parts = (part for size in range(1, 6) for part in combinations(CODES, size))
    assert smallest_contradiction(CODES, possible) == next(
        part for part in parts if not possible(part)
    )


def test_a_contradiction_names_its_checks() -> None:
    found = Contradiction("Both can’t be.", ["a", "b"])
    assert (str(found), found.checks) == ("Both can’t be.", ("a", "b"))


def test_sayings_are_listed() -> None:
    assert listed(["a"]) == "a"
    assert listed(["a", "b"]) == "a and b"
