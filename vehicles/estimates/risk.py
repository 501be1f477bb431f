"""What many cars may cost together: a plan, or a year, with what moves them all at once.

>>> pump = EstimateItem(id=1, low=90_00, likely=120_00, high=240_00, bought=True)
>>> simulate_many({7: [pump], 8: [pump]}, draws=2_000, seed=3).p80
30118
>>> year([420_00, 655_00, 310_00], cars_a_year=20, draws=2_000, seed=3).behind
3

Cars that are drawn apart hide what they share: with a hundred of them the 80 percent point lies 2
percent above the middle, and a board that sets aside that much is wrong every year that prices
rise. So one factor with mean 1 moves all of a trial, and a part that is not to be had at its price
costs more. Each car has its own streams of chance: one more car leaves the others' draws alone.

Source: correlation is asked for in cost risk by the GAO Cost Estimating and Assessment Guide,
GAO-20-195G (from memory for the passage); a deviation of 0.10 to 0.20 is usual (from memory).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.money import share_out
from vehicles.repairs.estimate import (
    FINDING,
    PICKING,
    SCREEN_DRAWS,
    Chance,
    EstimateItem,
    drawn,
    in_order,
    mean_of,
    points_of,
)

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from vehicles.repairs.estimate import Draws

MOST_CARS_A_YEAR: Final = 10_000
_HUNDRED: Final = 100


@dataclass(frozen=True, kw_only=True)
class NotFound:
    """How likely a part is not to be had at the price expected, and what it costs then."""

    chance: float = 0.0
    factor: float = 1.0

    def __post_init__(self) -> None:
        if not 0 <= self.chance <= 1 or self.factor < 1:
            raise ValueError("A part is not found in 0 to 1 of all cases, and costs more then.")


@dataclass(frozen=True, kw_only=True)
class SharedRisk:
    """What moves all cars together, by the program's rule."""

    sigma: float = 0.0
    not_found: NotFound = NotFound()

    @classmethod
    def of(cls, rules: Mapping[str, int]) -> SharedRisk:
        """Return the shared risk among the policies of a program."""
        return cls(
            sigma=rules["shared_risk_percent"] / _HUNDRED,
            not_found=NotFound(
                chance=rules["not_found_percent"] / _HUNDRED,
                factor=rules["not_found_cost_percent"] / _HUNDRED,
            ),
        )


@dataclass(frozen=True, kw_only=True)
class CarRisk:
    """The points of one car among the others, moved by what all share."""

    p50: int
    p80: int
    mean: int


@dataclass(frozen=True, kw_only=True)
class ManyRisk:
    """The points of all cars together, in the unit that went in, and of each.

    `spread` is the 80 percent point of the whole shared back over the cars by their means, to the
    last unit; it is less than the sum of the cars' own 80 percent points.
    """

    p50: int
    p80: int
    mean: int
    cars: Mapping[int, CarRisk]
    spread: Mapping[int, int]


@dataclass(frozen=True, kw_only=True)
class YearRisk:
    """What a year of cars costs, from cars of the past; `behind` says how many those are."""

    p50: int
    p80: int
    mean: int
    cars: int
    behind: int


def simulate_many(
    cars: Mapping[int, Sequence[EstimateItem]],
    *,
    draws: int = SCREEN_DRAWS,
    seed: int | tuple[int, ...] = 0,
    shared_sigma: float = 0.0,
    not_found: NotFound = NotFound(),
) -> ManyRisk:
    """Return the odds of many cars together; the seed repeats them exactly, in any order.

    Args:
        cars: by the number of a car, its items; those that are `bought` may not be found.
        draws: trials; `SCREEN_DRAWS` for pages, `APPROVAL_DRAWS` where somebody signs.
        seed: whole numbers of 0 and up, such as the number of a plan.
        shared_sigma: what moves all cars together (price level, labor rate), as the deviation of
            the logarithm of a factor with mean 1.
        not_found: how often a part costs more than its three points say, each on its own.

    Raises:
        ValueError: too few or many draws, or one number twice among the items of a car.
    """
    import numpy as np  # noqa: PLC0415 (loading it takes longer than most callers' whole work)

    chance = Chance.of(seed, draws)
    shared = chance.common(shared_sigma) if shared_sigma else np.ones(draws)
    total, found = np.zeros(draws), {}
    for car in sorted(cars):
        own = _of_car(cars[car], chance.under(car), not_found) * shared
        p50, p80 = points_of(own)
        found[car] = CarRisk(p50=p50, p80=p80, mean=mean_of(own))
        total += own
    p50, p80 = points_of(total)
    shares = share_out(p80, [one.mean for one in found.values()])
    spread = dict(zip(found, shares, strict=True))
    return ManyRisk(p50=p50, p80=p80, mean=mean_of(total), cars=found, spread=spread)


def _of_car(items: Sequence[EstimateItem], chance: Chance, not_found: NotFound) -> Draws:
    """Return what one car costs in each trial, before what moves all cars."""
    import numpy as np  # noqa: PLC0415 (as above)

    total = np.zeros(chance.draws)
    for item, amounts in drawn(in_order(items), chance):
        if item.bought and not_found.chance:
            missed = chance.uniform(FINDING, item.id) < not_found.chance
            total += amounts * np.where(missed, not_found.factor, 1.0)
        else:
            total += amounts
    return total


def year(
    past_cars: Sequence[int],
    *,
    cars_a_year: int,
    draws: int = SCREEN_DRAWS,
    seed: int | tuple[int, ...] = 0,
    shared_sigma: float = 0.0,
) -> YearRisk:
    """Return the odds of a year of cars, each like one drawn from the program's own past.

    Few cars behind it make a narrow range: what none of them had, no year has. Say `behind`.

    Args:
        past_cars: what each car of the past did cost, in cents.
        cars_a_year: how many cars a year has.
        draws: trials.
        seed: whole numbers of 0 and up.
        shared_sigma: what moves all cars of a year together, as in `simulate_many`.

    Raises:
        ValueError: no car of the past, or a number of cars that no year has.
    """
    import numpy as np  # noqa: PLC0415 (as above)

    if not past_cars:
        raise ValueError("No car’s cost is on record yet.")
    if not 0 <= cars_a_year <= MOST_CARS_A_YEAR:
        raise ValueError(f"A year has 0 to {MOST_CARS_A_YEAR:,} cars, not {cars_a_year}.")
    chance = Chance.of(seed, draws)
    costs = np.array(sorted(past_cars), dtype=float)
    total = np.zeros(draws)
    for slot in range(cars_a_year):
        total += costs[chance.stream(PICKING, slot).integers(len(costs), size=draws)]
    if shared_sigma:
        total *= chance.common(shared_sigma)
    p50, p80 = points_of(total)
    return YearRisk(p50=p50, p80=p80, mean=mean_of(total), cars=cars_a_year, behind=len(past_cars))
