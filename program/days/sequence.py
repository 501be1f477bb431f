"""What comes before what on a car, and which of its jobs share one stay in a bay.

>>> jobs = [Job(id="a", car_id="1", title="Subframe down", place=Place.LIFT),
...         Job(id="b", car_id="1", title="Bushings", after=("a",), place=Place.LIFT),
...         Job(id="c", car_id="1", title="Wipers")]
>>> [(stay.lift, stay.job_ids) for stay in stays_of(jobs)]
[(True, ('a', 'b')), (False, ('c',))]
>>> before(jobs)["b"]
frozenset({'a'})
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.days.bookings import Job, Place

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


@dataclass(frozen=True, kw_only=True)
class Stay:
    """Jobs of one car for which it stands in one bay without a break; on a lift where one is.

    A car can't roll before the last job on a lift is done, with all that had to come before it.
    What else there is to do is a stay of its own: the car may move to another bay for it.
    """

    car_id: str
    lift: bool
    job_ids: tuple[str, ...]

    @property
    def id(self) -> str:
        """A name that no other stay of any car has."""
        return f"{self.car_id} {self.job_ids[0]}"


def before(jobs: Iterable[Job]) -> dict[str, frozenset[str]]:
    """Return for each job all that has to be done before it, near and far.

    Raises:
        ValueError: a job waits for itself, or for one that isn't there.
    """
    rows = {job.id: job for job in jobs}
    found: dict[str, frozenset[str]] = {}
    for name in sorted(rows):
        _trace(name, rows, found, ())
    return found


def _trace(
    name: str, rows: Mapping[str, Job], found: dict[str, frozenset[str]], path: tuple[str, ...]
) -> frozenset[str]:
    if name in path:
        raise ValueError(f"“{rows[name].title}” would have to be done before itself.")
    if name not in found:
        known: set[str] = set()
        for first in rows[name].after:
            if first not in rows:
                raise ValueError(f"“{rows[name].title}” waits for {first}, which isn’t there.")
            known |= {first, *_trace(first, rows, found, (*path, name))}
        found[name] = frozenset(known)
    return found[name]


def stays_of(jobs: Iterable[Job]) -> list[Stay]:
    """Return the stays of all cars in bays, in order of car and of what comes first."""
    rows = {job.id: job for job in jobs}
    earlier = before(rows.values())
    groups: dict[tuple[str, int, bool], list[str]] = {}
    held = _held_on_lift(rows, earlier)
    for name in sorted(rows, key=lambda name: (len(earlier[name]), name)):
        job = rows[name]
        if job.in_bay:
            key = (job.car_id, _stage(name, rows, earlier), name not in held)
            groups.setdefault(key, []).append(name)
    return [
        Stay(car_id=car, lift=not flat, job_ids=tuple(names))
        for (car, _, flat), names in sorted(groups.items())
    ]


def _stage(name: str, rows: Mapping[str, Job], earlier: Mapping[str, frozenset[str]]) -> int:
    """Return how many times the car was away before a job: it left its bay each time."""
    return sum(rows[one].place == Place.AWAY for one in earlier[name])


def _held_on_lift(rows: Mapping[str, Job], earlier: Mapping[str, frozenset[str]]) -> set[str]:
    """Return the jobs on a lift, and those in a bay that come before one in the same stage."""
    found = set()
    for name, job in rows.items():
        if job.place == Place.LIFT:
            stage = _stage(name, rows, earlier)
            same = (one for one in earlier[name] if rows[one].in_bay)
            found |= {name, *(one for one in same if _stage(one, rows, earlier) == stage)}
    return found
