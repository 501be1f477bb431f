"""Which amounts add up to one amount exactly, when only one choice of them does.

>>> only_sum([6000, 34000, 7730], 40000)
(0, 1)
>>> only_sum([100, 200, 300], 300)  # the third alone, or the first two
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Sequence

MOST_PARTS: Final = 8
MOST_STEPS: Final = 20_000


class _TooLong(Exception):  # noqa: N818 (it ends a search, nothing failed)
    """The search was given up: nothing is known of how many choices there are."""


def only_sum(
    amounts: Sequence[int], total: int, *, steps: int = MOST_STEPS
) -> tuple[int, ...] | None:
    """Return the places of the amounts that add up to `total`; None when none or several do.

    Amounts of the other sign, more than `MOST_PARTS` at once, and searches of more than `steps`
    steps are left alone.
    """
    sign = 1 if total > 0 else -1
    parts = sorted(
        ((amount * sign, place) for place, amount in enumerate(amounts) if amount * sign > 0),
        key=lambda part: (-part[0], part[1]),
    )
    try:
        found = _Search(parts, steps).sums(abs(total))
    except _TooLong:
        return None
    return tuple(sorted(found[0])) if len(found) == 1 else None


class _Search:
    """A depth-first search over parts, the largest first, that stops at the second answer."""

    def __init__(self, parts: Sequence[tuple[int, int]], steps: int) -> None:
        self.parts = parts
        self.steps = steps
        self.rest = [0] * (len(parts) + 1)  # what all parts from here on add up to
        for at in range(len(parts) - 1, -1, -1):
            self.rest[at] = self.rest[at + 1] + parts[at][0]
        self.found: list[tuple[int, ...]] = []

    def sums(self, total: int) -> list[tuple[int, ...]]:
        self._from(0, total, ())
        return self.found

    def _from(self, at: int, total: int, taken: tuple[int, ...]) -> None:
        self.steps -= 1
        if self.steps < 0:
            raise _TooLong
        if total == 0:
            self.found.append(taken)
            return
        if len(taken) == MOST_PARTS or self.rest[at] < total:
            return
        for place in range(at, len(self.parts)):
            amount, name = self.parts[place]
            if len(self.found) > 1 or self.rest[place] < total:
                return
            if amount <= total:
                self._from(place + 1, total - amount, (*taken, name))
