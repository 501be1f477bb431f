"""How far a program's own estimates miss, in one direction and in width, from its own jobs.

>>> jobs = [
...     Job(id=at, system=System.BRAKES, low=60, likely=80, high=120, actual=actual)
...     for at, actual in enumerate((70, 80, 84, 88, 90, 92, 96, 100, 104, 130))
... ]
>>> found = bias(jobs)
>>> found.count, found.correction_percent, found.held
(10, 115, 6)
>>> str(found.sentence(Kind.LABOR))
'Labor took 1.15 times what was likely: 10 jobs, between 1.02 and 1.30 in 95 of 100 such records.'

The mean is geometric, since twice and half as much as likely cancel out. About 80 in 100 jobs stay
below their 80 percent point when the ranges are right; people's ranges are usually too narrow
(common practice, no source). Nothing here changes an estimate: the program adopts a correction or
doesn't.

Source: Student's t by Abramowitz and Stegun 26.7.5 (from memory); the interval of a share is
Wilson's.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, exp, fsum, log, sqrt
from statistics import NormalDist
from typing import TYPE_CHECKING, Final

from shared.say import say
from vehicles.diagnosis.calibration import wilson
from vehicles.estimates.actuals import Job, Kind, point
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shared.say import Say

__all__ = ["LEAST_JOBS", "Bias", "Job", "Kind", "System", "bias", "by_system", "student_t", "wait"]

LEAST_JOBS: Final = 8  # below, an interval is so wide that it only misleads (program policy)
EXPECTED: Final = 0.8
LEAST_PERCENT, MOST_PERCENT = 50, 200  # a correction beyond is looked into, not adopted
WIDE_ENOUGH: Final = 1.05  # nobody types ranges more exactly
_HUNDRED: Final = 100
_NORMAL: Final = NormalDist().inv_cdf(0.975)


@dataclass(frozen=True, kw_only=True)
class Bias:
    """What the jobs say of the estimates; `low` and `high` hold the ratio in 95 of 100 records.

    `held` of `count` jobs stayed at or below their 80 percent point, `share` is the interval of
    that share. `widening` is how many times as far above the likely value the 80 percent point has
    to lie for eight in ten to hold, once the ratio is corrected; None where no job has a range.
    """

    count: int
    ratio: float
    low: float
    high: float
    held: int
    share: tuple[float, float]
    widening: float | None

    @property
    def correction_percent(self) -> int:
        """The ratio in whole percent, as a policy holds it, within what may be adopted."""
        return min(max(round(self.ratio * _HUNDRED), LEAST_PERCENT), MOST_PERCENT)

    @property
    def is_sure(self) -> bool:
        """Whether the interval leaves out 1, so that chance alone hardly explains the ratio."""
        return not self.low <= 1 <= self.high

    def sentence(self, kind: Kind) -> Say:
        """Return the ratio in words, with the number of jobs behind it."""
        numbers = {"ratio": self.ratio, "low": self.low, "high": self.high}
        values = {name: f"{number:.2f}" for name, number in numbers.items()}
        if kind is Kind.LABOR:
            return say(
                "Labor took {ratio} times what was likely: {count} jobs, between {low} and {high} "
                "in 95 of 100 such records.",
                count=self.count,
                **values,
            )
        return say(
            "Parts and work elsewhere cost {ratio} times what was likely: {count} jobs, between "
            "{low} and {high} in 95 of 100 such records.",
            count=self.count,
            **values,
        )

    @property
    def sure_sentence(self) -> Say:
        """Return whether chance alone explains it."""
        if not self.is_sure:
            return say("That is no more than chance: there is nothing to correct yet.")
        if self.ratio > 1:
            return say("The estimates are too low.")
        return say("The estimates are too high.")

    @property
    def held_sentence(self) -> Say:
        """Return how many stayed below their 80 percent point, and how many should have."""
        low, high = (round(_HUNDRED * one) for one in self.share)
        return say(
            "{held} of {count} stayed at or below their 80 percent point: {share} in 100, between "
            "{low} and {high} in 95 of 100 such records. With right ranges it is 80.",
            held=self.held,
            count=self.count,
            share=round(_HUNDRED * self.held / self.count),
            low=low,
            high=high,
        )

    @property
    def widening_sentence(self) -> Say:
        """Return how wide the range has to be."""
        if self.widening is None:
            return say("No job had a range to look at.")
        if self.widening <= WIDE_ENOUGH:
            return say("Once that is corrected, the ranges are wide enough.")
        return say(
            "Once that is corrected, the 80 percent point has to lie {times} times as far above "
            "the likely value for eight in ten to hold.",
            times=f"{self.widening:.1f}",
        )


def bias(jobs: Sequence[Job]) -> Bias | None:
    """Return what the jobs that count say, or None where they are fewer than `LEAST_JOBS`."""
    counted = [job for job in jobs if job.counts]
    if len(counted) < LEAST_JOBS:
        return None
    logs = [log(job.ratio) for job in counted]
    middle, half = _interval(logs)
    held = sum(job.actual <= point(job, EXPECTED) for job in counted)
    return Bias(
        count=len(counted),
        ratio=exp(middle),
        low=exp(middle - half),
        high=exp(middle + half),
        held=held,
        share=wilson(held, len(counted)),
        widening=_widening(counted, exp(middle)),
    )


def by_system(jobs: Sequence[Job]) -> dict[System, Bias]:
    """Return the same for each system that has jobs enough, in the order of the systems."""
    found = ((system, bias([job for job in jobs if job.system is system])) for system in System)
    return {system: one for system, one in found if one is not None}


def wait(jobs: Sequence[Job]) -> Say:
    """Return that there are too few jobs, and how many."""
    return say(
        "{count} jobs are on record; from {least} on they say something.",
        count=sum(job.counts for job in jobs),
        least=LEAST_JOBS,
    )


def student_t(degrees: int) -> float:
    """Return what 95 of 100 values of Student's t lie within, for 4 degrees of freedom and up.

    >>> round(student_t(9), 3)
    2.262
    """
    z = _NORMAL
    terms = (
        (z**3 + z) / 4,
        (5 * z**5 + 16 * z**3 + 3 * z) / 96,
        (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384,
        (79 * z**9 + 776 * z**7 + 1482 * z**5 - 1920 * z**3 - 945 * z) / 92160,
    )
    return z + fsum(term / degrees**power for power, term in enumerate(terms, start=1))


def _interval(logs: Sequence[float]) -> tuple[float, float]:
    count = len(logs)
    middle = fsum(logs) / count
    deviation = sqrt(fsum((one - middle) ** 2 for one in logs) / (count - 1))
    return middle, student_t(count - 1) * deviation / sqrt(count)


def _widening(jobs: Sequence[Job], ratio: float) -> float | None:
    """Return the 80 percent point of how far jobs lie above likely, in their own half ranges."""
    far = [
        (job.actual / ratio - job.likely) / (edge - job.likely)
        for job in jobs
        if (edge := point(job, EXPECTED)) > job.likely
    ]
    if not far:
        return None
    return max(sorted(far)[ceil(EXPECTED * len(far)) - 1], 0.0)
