"""Wheel nuts by the torque wrench: what counts, what a release asks for, when it is due again.

>>> from datetime import date
>>> first = Torque(id=1, on=date(2026, 11, 25), odometer_mi=98_200)
>>> [str(one.sentence) for one in against_release([first], date(2026, 11, 26))]
['No wheel was torqued after the last work on the wheels, November 26.']
>>> str(again([first]).sentence)
'Tighten the wheel nuts again at 98,250 to 98,300 miles.'

The second time after 50 to 100 miles: wheel makers' advice, read second-hand in our list of
cautions (text seen). The maker's figure, and how it is reached, stand in the car's own manual.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.dates import full_date, long_date
from shared.problems import Problem
from shared.say import say
from vehicles.shop.duty import Standing

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from shared.say import Say
    from vehicles.shop.duty import Piece

WHEELS: Final = ("LF", "RF", "LR", "RR")
AGAIN_FROM_MI: Final = 50
AGAIN_UNTIL_MI: Final = 100
# What a cars' and pickups' wheel nuts may ask for; outside is a slip of the finger. Common
# practice, no source.
LEAST_FOOT_POUNDS: Final = 40
MOST_FOOT_POUNDS: Final = 250


@dataclass(frozen=True, kw_only=True)
class Torque:
    """One tightening of the wheels of one stay. One that is void never counted."""

    id: int
    on: date
    wheels: tuple[str, ...] = WHEELS
    odometer_mi: int | None = None
    is_again: bool = False
    counts: bool = True
    void: bool = False

    @property
    def holds(self) -> bool:
        """Whether it counts still."""
        return self.counts and not self.void


@dataclass(frozen=True, kw_only=True)
class Again:
    """That the nuts are to be tightened a second time: between which readings, where known."""

    sentence: Say
    from_mi: int | None = None
    until_mi: int | None = None


def refusal(wrench: Piece, day: date) -> Say | None:
    """Return why a torque with this wrench doesn't count on a day, or None where it does."""
    standing = wrench.standing(day)
    if standing.usable:
        return None
    if standing is Standing.RETIRED:
        return say("{name} is retired, so this torque doesn’t count.", name=wrench.name)
    if standing is Standing.OVERDUE:
        return say(
            "{name} was due for inspection on {day}, so this torque doesn’t count.",
            name=wrench.name,
            day=full_date(wrench.due_on),
        )
    return say("{name} is tagged out, so this torque doesn’t count.", name=wrench.name)


def too_soon(torques: Iterable[Torque], odometer_mi: int | None) -> Say | None:
    """Return why a second time at this reading doesn't count, or None where it does.

    Raises:
        ValueError: the odometer shows less than the first time, or there was no first time.
    """
    first = _first(torques)
    if first is None:
        raise ValueError("No first time that counts is on record.")
    if first.odometer_mi is None or odometer_mi is None:
        return None
    driven = odometer_mi - first.odometer_mi
    if driven < 0:
        raise ValueError(f"The first time it showed {first.odometer_mi:,} miles.")
    if driven < AGAIN_FROM_MI:
        return say(
            "Driven {driven} miles since the first time: the second counts from {least} on.",
            driven=driven,
            least=AGAIN_FROM_MI,
        )
    return None


def against_release(
    torques: Sequence[Torque], last_wheel_work_on: date | None
) -> tuple[Problem, ...]:
    """Return what is missing of the wheels before a car may leave; empty when nothing is.

    Every wheel was torqued on or after the day of the last work on wheels, with a wrench in date.
    Where no work took a wheel off, any time of this stay will do.
    """
    held = [one for one in torques if one.holds and not one.is_again]
    since = [one for one in held if last_wheel_work_on is None or one.on >= last_wheel_work_on]
    remedy = say("Torque every wheel, on the ground, to the maker’s figure.")
    if not since and last_wheel_work_on and held:
        day = long_date(last_wheel_work_on).partition(", ")[2]
        sentence = say("No wheel was torqued after the last work on the wheels, {day}.", day=day)
        return (Problem(sentence, remedy=remedy, where="torque"),)
    if not since:
        why = say("No wheel torque that counts is on record.")
        return (Problem(why, remedy=remedy, where="torque"),)
    done = {wheel for one in since for wheel in one.wheels}
    lacking = [wheel for wheel in WHEELS if wheel not in done]
    if not lacking:
        return ()
    sentence = say("Not torqued yet: {wheels}.", wheels=", ".join(lacking))
    return (Problem(sentence, remedy=remedy, where="torque"),)


def counts_for_release(torques: Sequence[Torque], last_wheel_work_on: date | None) -> bool:
    """Return whether the wheels stand in no release's way."""
    return not against_release(torques, last_wheel_work_on)


def again(torques: Sequence[Torque]) -> Again | None:
    """Return when the nuts are due a second time; None before the first time and once it is done.

    A later first time, after more work on the wheels, asks for a second time of its own.
    """
    first = _first(torques)
    if first is None:
        return None
    later = (one for one in torques if one.holds and one.is_again)
    if any((one.on, one.id) > (first.on, first.id) for one in later):
        return None
    if first.odometer_mi is None:
        return Again(
            sentence=say(
                "Tighten the wheel nuts again after {least} to {most} miles.",
                least=AGAIN_FROM_MI,
                most=AGAIN_UNTIL_MI,
            )
        )
    least, most = first.odometer_mi + AGAIN_FROM_MI, first.odometer_mi + AGAIN_UNTIL_MI
    sentence = say(
        "Tighten the wheel nuts again at {least} to {most} miles.",
        least=f"{least:,}",
        most=f"{most:,}",
    )
    return Again(sentence=sentence, from_mi=least, until_mi=most)


def _first(torques: Iterable[Torque]) -> Torque | None:
    """Return the latest first time that counts."""
    held = (one for one in torques if one.holds and not one.is_again)
    return max(held, key=lambda one: (one.on, one.id), default=None)
