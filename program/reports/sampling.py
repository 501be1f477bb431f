"""Which transfers an auditor looks behind: a sample that anybody can draw again.

Every transfer has the same chance. The same numbers and the same seed give the same sample.

>>> drawn(range(1, 1001), count=3, seed=2026)
[122, 328, 515]
>>> drawn([7, 3], count=25, seed=2026)
[3, 7]
"""

from __future__ import annotations

import random
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Iterable

#: How many papers are looked for. Source: common practice, no source.
SAMPLE: Final = 25


def drawn(numbers: Iterable[int], *, count: int = SAMPLE, seed: int) -> list[int]:
    """Return `count` of the numbers, or all when there are fewer, in rising order.

    Raises:
        ValueError: `count` is below one.
    """
    if count < 1:
        raise ValueError("A sample holds at least one transfer.")
    every = sorted(set(numbers))
    # No secret: the seed is printed beside the sample, so that it can be drawn again.
    return sorted(random.Random(seed).sample(every, min(count, len(every))))  # noqa: S311
