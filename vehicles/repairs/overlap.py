"""Labor that several jobs on one car share, counted once: what comes off comes off once.

>>> pads = Job(id=1, title="Replace front brake pads", access="wheels_front", minutes=15)
>>> hose = Job(id=2, title="Replace brake hose", access="wheels_front", minutes=10)
>>> [shared] = shared_access([pads, hose])
>>> str(shared.sentence)[:49], shared.saved_minutes
('The front wheels come off once for “Replace front', 10)
>>> saved([pads, hose])
{'wheels_front': 10}

The longest of one access counts, the others are saved. This is the rule by which the planner counts
too. Source: labor guides subtract such overlap; how much is common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.say import Say, say
from vehicles.operations.overlap import comes_off

if TYPE_CHECKING:
    from collections.abc import Iterable


@dataclass(frozen=True, kw_only=True)
class Job:
    """One job on a car: what comes off for it, and how many of its minutes that takes."""

    id: int
    title: str
    access: str = ""
    minutes: int = 0


@dataclass(frozen=True, kw_only=True)
class Shared:
    """What comes off once for several jobs, and how many minutes that saves."""

    access: str
    jobs: tuple[Job, ...]
    saved_minutes: int

    @property
    def sentence(self) -> Say:
        """Who shares what, and what it saves."""
        *others, last = (f"“{job.title}”" for job in self.jobs)
        return say(
            "{off} once for {others} and {last}: {minutes} minute{s} less.",
            off=comes_off(self.access),
            others=", ".join(others),
            last=last,
            minutes=self.saved_minutes,
            s="" if self.saved_minutes == 1 else "s",
        )


def shared_access(jobs: Iterable[Job]) -> list[Shared]:
    """Return what the open jobs of one car share, by the code of what comes off."""
    groups: dict[str, list[Job]] = {}
    for job in sorted(jobs, key=lambda job: job.id):
        if job.access and job.minutes:
            groups.setdefault(job.access, []).append(job)
    return [
        Shared(access=access, jobs=tuple(group), saved_minutes=_saved(group))
        for access, group in sorted(groups.items())
        if len(group) > 1
    ]


def saved(jobs: Iterable[Job]) -> dict[str, int]:
    """Return the minutes that are saved on one car, by what comes off once."""
    return {shared.access: shared.saved_minutes for shared in shared_access(jobs)}


def _saved(group: Iterable[Job]) -> int:
    minutes = [job.minutes for job in group]
    return sum(minutes) - max(minutes)
