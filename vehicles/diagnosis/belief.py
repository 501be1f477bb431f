"""What the engines hand back: how likely each fault is, and what cannot all be true.

>>> smallest_contradiction(("a", "b", "c"), lambda kept: not {"a", "c"} <= set(kept))
('a', 'c')
>>> smallest_contradiction(("a", "b", "c"), lambda kept: "b" not in kept)
('b',)
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from itertools import combinations
from typing import TYPE_CHECKING, Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Sequence

Places: TypeAlias = Mapping[str, int]
Array: TypeAlias = NDArray[np.float64]


class Engine(StrEnum):
    """How a belief is computed; each is exact."""

    ROOTS = "roots"
    EXPLAINED = "explained"
    ELIMINATION = "elimination"


@dataclass(frozen=True, kw_only=True)
class Belief:
    """How likely each fault is, by its code, after what was observed.

    `present`: that it is there. `root`: that it is there and none of its causes is; with one root
    cause, that it is the root. `unlisted`: that no listed fault is there. `evidence`: how likely
    it was to observe all of this. `conflict`: how many times likelier the observations would be
    together if they had nothing to do with each other, in doublings; clearly above zero it hints
    at a wrong reading, at several faults or at a cause that is not listed. Source: Jensen et al.
    1990, from memory.
    """

    engine: Engine
    present: Mapping[str, float]
    root: Mapping[str, float]
    unlisted: float
    evidence: float
    conflict: float


@dataclass(frozen=True, kw_only=True, eq=False)
class Branches:
    """What each outcome of a check would mean, in its order; faults stand in the model's.

    `p`: (K,) how likely the outcome is. `present`, `root`: (K, F). `unlisted`: (K,). An outcome
    that cannot come has zeros throughout.
    """

    p: Array
    present: Array
    root: Array
    unlisted: Array


@dataclass(frozen=True, kw_only=True, eq=False)
class Posterior:
    """What an engine finds: natural log of P(observed), then (F,), (F,) and one number.

    The log is minus infinity for what can't be, and the rest is zero.
    """

    log_evidence: float
    present: Array
    root: Array
    unlisted: float


class Contradiction(ValueError):  # noqa: N818 - it is a finding about the car, not a failure
    """No combination of causes shows what was seen. `checks` is the smallest set that clashes."""

    def __init__(self, text: str, checks: Sequence[str]) -> None:
        super().__init__(text)
        self.checks = tuple(checks)


class Machine(Protocol):
    """A model compiled for one engine. Observations are places: check code to outcome's place."""

    engine: Engine

    def evidence(self, observed: Places) -> float:
        """Return the natural log of P(observed)."""
        ...

    def posterior(self, observed: Places) -> Posterior:
        """Return how likely each fault is."""
        ...

    def branches(self, observed: Places, checks: Sequence[str]) -> dict[str, Branches]:
        """Return what each outcome of checks that are not observed would mean."""
        ...


def listed(said: Sequence[str]) -> str:
    """Return sayings as one, with commas and an “and”.

    >>> listed(["a"]), listed(["a", "b", "c"])
    ('a', 'a, b and c')
    """
    return f"{', '.join(said[:-1])} and {said[-1]}" if len(said) > 1 else said[0]


def smallest_contradiction(
    codes: Sequence[str], possible: Callable[[tuple[str, ...]], bool]
) -> tuple[str, ...]:
    """Return the smallest part of `codes` that is not possible; of equal ones the first by order.

    All of them together must not be possible, and a part of what is possible has to be so too. A
    clash takes at least one code out of what each largest possible part leaves out, so the least
    choice that does this is tried, until one does clash.
    """
    left_out: list[set[str]] = []
    while True:
        kept = _least_choice(codes, left_out)
        if not possible(kept):
            return kept
        for code in codes:
            grown = tuple(one for one in codes if one in kept or one == code)
            if len(grown) > len(kept) and possible(grown):
                kept = grown
        left_out.append(set(codes) - set(kept))


def _least_choice(codes: Sequence[str], groups: Collection[set[str]]) -> tuple[str, ...]:
    """Return the fewest codes that take one out of each group, the first such by order."""
    for size in range(len(codes) + 1):
        for chosen in combinations(codes, size):
            if all(group.intersection(chosen) for group in groups):
                return chosen
    raise ValueError("All codes together are possible.")
