"""Need weight: points that the program sets in the open, each with its sentence.

Only what a car would change counts: children, work, care, no other way to travel, the wait, a dated
threat. Who somebody is (origin, belief, sex, age, disability as such) has no field here, and a
weight for it is refused.

>>> need = need_weight(Circumstances(children=2, works_by_car=True), today=date(2026, 11, 25))
>>> need.weight
6
>>> [str(point.sentence) for point in need.points]
['Accepted: 1.', 'Children at home: 2.', 'Needs the car for work: 3.']
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.dates import long_date
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Mapping

#: Points of a new program; its board sets its own (mark: program policy, no source).
DEFAULT_WEIGHTS: Final[Mapping[str, int]] = MappingProxyType(
    {
        "accepted": 1,
        "children": 2,
        "work": 3,
        "care": 2,
        "no_transit": 2,
        "thirty_days_waiting": 1,
        "dated_threat": 3,
    }
)
THREAT_DAYS: Final = 30  # a threat counts when it is at most so far off (program policy)
WAITING_STEP_DAYS: Final = 30
MOST_WAITING_STEPS: Final = 3


@dataclass(frozen=True, kw_only=True)
class Circumstances:
    """What the household told about its need for the car. `threat` is what happens on that day."""

    children: int = 0
    works_by_car: bool = False
    cares_for_someone: bool = False
    no_transit: bool = False
    days_waiting: int = 0
    threat: str = ""
    threat_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class Point:
    """Points for one circumstance, and the sentence that says so."""

    key: str
    points: int
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class Need:
    """A household's points, in a fixed order; `weight` is their sum."""

    points: tuple[Point, ...]

    @property
    def weight(self) -> int:
        return sum(point.points for point in self.points)


def need_weight(
    told: Circumstances, *, today: date, weights: Mapping[str, int] = DEFAULT_WEIGHTS
) -> Need:
    """Return the points of a household; circumstances that count nothing are left out.

    Raises:
        ValueError: a weight that isn't one of `DEFAULT_WEIGHTS`, or one below zero.
    """
    values = {**DEFAULT_WEIGHTS, **check_weights(weights)}
    steps = min(max(told.days_waiting, 0) // WAITING_STEP_DAYS, MOST_WAITING_STEPS)
    counted = {
        "accepted": 1,
        "children": int(told.children > 0),
        "work": int(told.works_by_car),
        "care": int(told.cares_for_someone),
        "no_transit": int(told.no_transit),
        "thirty_days_waiting": steps,
        "dated_threat": int(_near(told.threat_on, today)),
    }
    sums = {key: values[key] * times for key, times in counted.items()}
    return Need(
        points=tuple(
            Point(key=key, points=points, sentence=_sentence(key, points, told))
            for key, points in sums.items()
            if points
        )
    )


def check_weights(weights: Mapping[str, int]) -> Mapping[str, int]:
    """Return the weights, once each is known and not below zero.

    Raises:
        ValueError: one isn't; the sentence names it.
    """
    for key, points in weights.items():
        if key not in DEFAULT_WEIGHTS:
            known = ", ".join(DEFAULT_WEIGHTS)
            raise ValueError(f"“{key}” does not count toward need. These do: {known}.")
        if points < 0:
            raise ValueError(f"“{key}” would take away {-points} points. Give 0 or more.")
    return weights


def _near(threat_on: date | None, today: date) -> bool:
    """Return whether something is threatened from today on, and soon enough to count."""
    return threat_on is not None and today <= threat_on <= today + timedelta(days=THREAT_DAYS)


def _sentence(key: str, points: int, told: Circumstances) -> Say:
    sentences = {
        "accepted": say("Accepted: {points}.", points=points),
        "children": say("Children at home: {points}.", points=points),
        "work": say("Needs the car for work: {points}.", points=points),
        "care": say("Drives somebody who depends on it: {points}.", points=points),
        "no_transit": say("No bus or train will do: {points}.", points=points),
        "thirty_days_waiting": say(
            "Waiting for {days} days: {points}.", days=told.days_waiting, points=points
        ),
        "dated_threat": say(
            "{what} on {day}: {points}.",
            what=told.threat or "Something is at stake",
            day=long_date(told.threat_on) if told.threat_on else "",
            points=points,
        ),
    }
    return sentences[key]
