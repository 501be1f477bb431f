"""What a repair may cost or how long it may take: three points, and the odds of the whole.

>>> three_point(10, 12, 100)
ThreePoint(mean=26.333333333333332, classic_sd=15.0, sampled_sd=13.110640292864757)
>>> pump = EstimateItem(id=1, low=90_00, likely=120_00, high=240_00)
>>> simulate([pump], draws=2_000, seed=7)
Simulation(p50=13156, p80=15851, mean=13582, spread={1: 15851})

Amounts are whole cents or whole minutes; one call holds one of the two. Two deviations are named
apart, since they differ by about 13 percent: the classic one of the textbooks, (high - low) / 6,
and that of the beta distribution which is drawn from.

Source: the PERT formulas as textbooks give them; beta-PERT with weight 4 on the likely value.
The 80 percent point of a sum is not the sum of the 80 percent points.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt
from typing import TYPE_CHECKING, Final, Self
from zlib import crc32

from shared.money import share_out

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from numpy import float64
    from numpy.random import Generator
    from numpy.typing import NDArray

    Draws = NDArray[float64]

SCREEN_DRAWS: Final = 2_000  # the 80 percent point is then known to about 0.5 percent
APPROVAL_DRAWS: Final = 10_000  # and here to about 0.3 percent
MOST_DRAWS: Final = 1_000_000
_MILLION: Final = 1_000_000
_ROUNDING: Final = 1e-9  # what probabilities that add up to one may miss it by
# What a stream of random numbers is for.
_AMOUNT, _NEED, _GROUP, _COMMON, FINDING, PICKING, _PART = range(7)


@dataclass(frozen=True, kw_only=True)
class ThreePoint:
    """The mean of three points, and two deviations that are not to be mixed up; none is rounded."""

    mean: float
    classic_sd: float
    sampled_sd: float


@dataclass(frozen=True, kw_only=True)
class EstimateItem:
    """One job: its three points, and how likely it is needed at all.

    Jobs of one `group` stand for causes that exclude each other; those that share a `cause` in it
    are needed together. Without a `cause` each job of the group is a cause of its own. A
    `bought` one is a part, which may not be had at the price expected (see `estimates.risk`).
    """

    id: int
    low: int
    likely: int
    high: int
    probability: float = 1.0
    group: str = ""
    cause: str = ""
    bought: bool = False

    def __post_init__(self) -> None:
        _check_points(self.low, self.likely, self.high)
        if not 0 <= self.probability <= 1:
            raise ValueError(
                f"Item {self.id}: a probability of {self.probability} is not possible."
            )


@dataclass(frozen=True, kw_only=True)
class Simulation:
    """The 50 and 80 percent points and the mean of the whole, in the unit that went in.

    `spread` is the 80 percent point shared back over the items by their means, to the last unit.
    """

    p50: int
    p80: int
    mean: int
    spread: Mapping[int, int]


def three_point(low: int, likely: int, high: int) -> ThreePoint:
    """Return mean (a + 4m + b) / 6, classic deviation (b - a) / 6, and that of the beta-PERT.

    Raises:
        ValueError: the points are below zero or not in order.
    """
    _check_points(low, likely, high)
    mean = (low + 4 * likely + high) / 6
    return ThreePoint(
        mean=mean,
        classic_sd=(high - low) / 6,
        sampled_sd=sqrt(max((mean - low) * (high - mean), 0) / 7),
    )


def simulate(
    items: Sequence[EstimateItem],
    draws: int = SCREEN_DRAWS,
    seed: int | tuple[int, ...] = 0,
    *,
    common_sigma: float = 0.0,
) -> Simulation:
    """Return the odds of the whole, from `draws` trials that the seed repeats exactly.

    Each item has its own stream of chance, so that one more item leaves the draws of the others
    alone, and the order of the items doesn't matter.

    Args:
        items: the jobs of one car, or of a program.
        draws: trials; `SCREEN_DRAWS` for pages, `APPROVAL_DRAWS` where somebody signs.
        seed: whole numbers of 0 and up, such as the ids of plan and car.
        common_sigma: what moves all items together (price level, pace), as the deviation of the
            logarithm of a factor with mean 1; 0.10 to 0.20 for a program, 0 for one job.

    Raises:
        ValueError: too few or many draws, one id twice, or causes that add up to more than one.
    """
    import numpy as np  # noqa: PLC0415 (loading it takes longer than most callers' whole work)

    chance = Chance.of(seed, draws)
    ordered = in_order(items)
    total = np.zeros(draws)
    for _, amounts in drawn(ordered, chance):
        total += amounts
    if common_sigma:
        total *= chance.common(common_sigma)
    p50, p80 = points_of(total)
    return Simulation(p50=p50, p80=p80, mean=mean_of(total), spread=_spread(ordered, p80))


def in_order(items: Iterable[EstimateItem]) -> list[EstimateItem]:
    """Return the items by number.

    Raises:
        ValueError: one number twice.
    """
    ordered = sorted(items, key=lambda item: item.id)
    if len({item.id for item in ordered}) < len(ordered):
        raise ValueError("Two items of the estimate have the same number.")
    return ordered


def drawn(
    items: Sequence[EstimateItem], chance: Chance
) -> Iterator[tuple[EstimateItem, Draws | float]]:
    """Yield each item with what it adds in each trial: 0 where it is not needed."""
    for item, needed in _needed(items, chance):
        yield item, needed * chance.amounts(item)


def points_of(total: Draws) -> tuple[int, int]:
    """Return the 50 and the 80 percent point of trials, rounded to the unit."""
    import numpy as np  # noqa: PLC0415 (as above)

    p50, p80 = (round(float(point)) for point in np.quantile(total, (0.5, 0.8)))
    return p50, p80


def mean_of(total: Draws) -> int:
    """Return the mean of trials, rounded to the unit."""
    return round(float(total.mean()))


@dataclass(frozen=True)
class Chance:
    """The random numbers of one simulation: a stream for each use and item, by counter."""

    seed: tuple[int, ...]
    draws: int

    @classmethod
    def of(cls, seed: int | tuple[int, ...], draws: int) -> Self:
        """Return the chance of so many trials that the seed repeats exactly.

        Raises:
            ValueError: too few or many draws.
        """
        if not 1 <= draws <= MOST_DRAWS:
            raise ValueError(f"{draws} draws are not possible. Use 1 to {MOST_DRAWS:,}.")
        return cls((seed,) if isinstance(seed, int) else seed, draws)

    def under(self, *numbers: int) -> Chance:
        """Return the chance of a part of the whole, such as one car, which is its own."""
        return Chance((*self.seed, _PART, *numbers), self.draws)

    def stream(self, use: int, number: int = 0) -> Generator:
        """Return the stream of one use and item."""
        from numpy.random import (  # noqa: PLC0415 (as above)
            Generator,
            Philox,
            SeedSequence,
        )

        return Generator(Philox(SeedSequence((*self.seed, use, number))))

    def amounts(self, item: EstimateItem) -> Draws | float:
        """Return the amounts of an item where it is needed, drawn from its beta distribution."""
        width = item.high - item.low
        if width == 0:
            return float(item.low)
        alpha = 1 + 4 * (item.likely - item.low) / width
        beta = 1 + 4 * (item.high - item.likely) / width
        return item.low + width * self.stream(_AMOUNT, item.id).beta(alpha, beta, self.draws)

    def uniform(self, use: int, number: int) -> Draws:
        """Return numbers from 0 to below 1."""
        return self.stream(use, number).random(self.draws)

    def common(self, sigma: float) -> Draws:
        """Return a factor with mean 1 whose logarithm has this deviation."""
        return self.stream(_COMMON).lognormal(-sigma * sigma / 2, sigma, self.draws)


def _needed(
    items: Sequence[EstimateItem], chance: Chance
) -> Iterator[tuple[EstimateItem, Draws | float]]:
    """Yield each item with 1 for the trials in which it is needed and 0 for the others."""
    spans = _spans(items)
    for item in items:
        if item.group:
            low, high = spans[item.group, _cause(item)]
            drawn = chance.uniform(_GROUP, crc32(item.group.encode()))
            yield item, (drawn >= low).astype(float) * (drawn < high)
        elif item.probability < 1:
            yield item, (chance.uniform(_NEED, item.id) < item.probability).astype(float)
        else:
            yield item, 1.0


def _spans(items: Sequence[EstimateItem]) -> dict[tuple[str, str], tuple[float, float]]:
    """Return the part of the interval from 0 to 1 in which each cause of each group is the one."""
    spans: dict[tuple[str, str], tuple[float, float]] = {}
    used: dict[str, float] = {}
    for item in (item for item in items if item.group):
        key = (item.group, _cause(item))
        start, end = spans.get(key, (used.get(item.group, 0.0), 0.0))
        if key in spans and abs(end - start - item.probability) > _ROUNDING:
            raise ValueError(f"The items of “{item.group}: {item.cause}” differ in probability.")
        if key not in spans:
            used[item.group] = end = start + item.probability
            spans[key] = (start, end)
        if end > 1 + _ROUNDING:
            raise ValueError(f"The causes of “{item.group}” add up to more than certainty.")
    return spans


def _cause(item: EstimateItem) -> str:
    return item.cause or f"item {item.id}"


def _spread(items: Sequence[EstimateItem], amount: int) -> dict[int, int]:
    means = (item.low + 4 * item.likely + item.high for item in items)
    chances = (round(item.probability * _MILLION) for item in items)
    weights = [mean * chance for mean, chance in zip(means, chances, strict=True)]
    return dict(zip((item.id for item in items), share_out(amount, weights), strict=True))


def _check_points(low: int, likely: int, high: int) -> None:
    if not 0 <= low <= likely <= high:
        raise ValueError(
            f"Low {low}, likely {likely}, high {high} are not in order. "
            "Type three amounts of 0 or more, the smallest first."
        )
