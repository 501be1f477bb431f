"""One job that is done: what was estimated, and what it came to.

>>> from vehicles.shop.systems import System
>>> job = Job(id=1, system=System.COOLING, low=60, likely=90, high=180, actual=110)
>>> round(job.ratio, 2), point(job, 0.8)
(1.22, 119)
>>> missing_of(took_minutes=None, cost_cents=None, bought=True)
('minutes', 'cost')

Amounts are whole minutes, or whole cents. The three points of a job stand for a beta distribution
whose two parameters add up to 6, so that its odds follow from one function of one variable.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from math import exp, lgamma, log
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from vehicles.shop.systems import System

_WEIGHT: Final = 4  # of the likely value in a beta-PERT
_SUM: Final = 2 + _WEIGHT  # of the two parameters, always
_STEPS: Final = 60  # each halves the interval in which a point lies
_CLOSE: Final = 1e-15  # what a term adds at least, as a share of the sum


class Kind(StrEnum):
    """What of a job is held against its estimate."""

    LABOR = "labor"
    CASH = "cash"

    @property
    def label(self) -> str:
        """The kind at the start of a sentence."""
        return "Labor" if self is Kind.LABOR else "Parts and work elsewhere"


@dataclass(frozen=True, kw_only=True)
class Job:
    """One repair item that is done, with its three points and what it took or cost."""

    id: int
    system: System
    low: int
    likely: int
    high: int
    actual: int
    title: str = ""

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.likely <= self.high or self.actual < 0:
            raise ValueError(
                f"Job {self.id}: {self.low}, {self.likely}, {self.high} and {self.actual} are not "
                "three points in order and an amount of 0 or more."
            )

    @property
    def counts(self) -> bool:
        """Whether it can be held against its estimate: something was likely, and something came."""
        return self.likely > 0 and self.actual > 0

    @property
    def ratio(self) -> float:
        """What it came to over what was likely."""
        return self.actual / self.likely


def point(job: Job, share: float) -> int:
    """Return the amount that so many of such jobs stay below, rounded to the unit."""
    return round(job.low + (job.high - job.low) * _place(_shape(job), share))


def missing_of(
    *, took_minutes: int | None, cost_cents: int | None, bought: bool
) -> tuple[str, ...]:
    """Return what was not written down of a job; the cost only where something was bought."""
    asked = (("minutes", took_minutes is None), ("cost", bought and cost_cents is None))
    return tuple(name for name, lacks in asked if lacks)


def _shape(job: Job) -> float:
    """Return where the likely value lies between low and high, 0 to 1."""
    return (job.likely - job.low) / (job.high - job.low) if job.high > job.low else 0.5


def _odds(shape: float, x: float) -> float:
    """Return the odds of a beta-PERT on 0 to 1 to stay below `x`."""
    if x <= 0 or x >= 1:
        return float(x >= 1)
    return beta_below(1 + _WEIGHT * shape, _SUM - 1 - _WEIGHT * shape, x)


@lru_cache(maxsize=4096)
def _place(shape: float, share: float) -> float:
    low, high = 0.0, 1.0
    for _ in range(_STEPS):
        middle = (low + high) / 2
        low, high = (middle, high) if _odds(shape, middle) < share else (low, middle)
    return (low + high) / 2


def beta_below(a: float, b: float, x: float) -> float:
    """Return the regularized incomplete beta function, for `x` between 0 and 1, both excluded.

    Source: Abramowitz and Stegun, 26.5.4 (series) and 26.5.2 (symmetry); from memory.
    """
    if x > (a + 1) / (a + b + 2):
        return 1 - beta_below(b, a, 1 - x)
    term = total = 1.0
    count = 0
    while term > _CLOSE * total:
        term *= x * (a + b + count) / (a + 1 + count)
        total += term
        count += 1
    return total / a * exp(lgamma(a + b) - lgamma(a) - lgamma(b) + a * log(x) + b * log(1 - x))
