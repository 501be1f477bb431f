"""Where a car stands in its stay, whether it moves, and which step may follow which.

The step, the mobility and the place of a car are three facts: a car in repair may be dead, roll or
drive, wherever it is parked. This module holds the first two.

>>> may_move(Step.FINAL_INSPECTION, Step.HANDED_BACK)
True
>>> may_move(Step.REPAIR, Step.HANDED_BACK)
False
"""

from __future__ import annotations

from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Mapping


class Step(StrEnum):
    """One step of a car's stay, in the usual order; the last three end it without a hand-back."""

    EXPECTED = "expected"
    ON_LOT = "on_lot"
    ASSESSMENT = "assessment"
    AWAITING_PARTS = "awaiting_parts"
    REPAIR = "repair"
    SUBLET = "sublet"
    FINAL_INSPECTION = "final_inspection"
    HANDED_BACK = "handed_back"
    RETURNED_UNREPAIRED = "returned_unrepaired"
    SCRAPPED = "scrapped"
    ABANDONED = "abandoned"

    @property
    def label(self) -> str:
        """The step at the start of a sentence."""
        return _LABELS[self]


class Mobility(StrEnum):
    """What it takes to move the car: a driver, a push, or a tow."""

    DRIVES = "drives"
    ROLLS = "rolls"
    DEAD = "dead"

    @property
    def label(self) -> str:
        """The mobility at the start of a sentence."""
        return _MOBILITY_LABELS[self]


_LABELS: Final[Mapping[Step, str]] = MappingProxyType(
    {
        Step.EXPECTED: "Expected",
        Step.ON_LOT: "On the lot",
        Step.ASSESSMENT: "In assessment",
        Step.AWAITING_PARTS: "Awaiting parts",
        Step.REPAIR: "In repair",
        Step.SUBLET: "At another shop",
        Step.FINAL_INSPECTION: "Final inspection",
        Step.HANDED_BACK: "Handed back",
        Step.RETURNED_UNREPAIRED: "Returned unrepaired",
        Step.SCRAPPED: "Scrapped",
        Step.ABANDONED: "Abandoned",
    }
)
_MOBILITY_LABELS: Final[Mapping[Mobility, str]] = MappingProxyType(
    {
        Mobility.DRIVES: "Drives",
        Mobility.ROLLS: "Rolls, does not drive",
        Mobility.DEAD: "Neither drives nor rolls",
    }
)

#: The ways out of a car that will not be repaired here.
_WAYS_OUT: Final = (Step.RETURNED_UNREPAIRED, Step.SCRAPPED, Step.ABANDONED)

#: The steps that may follow each step. A handed-back car returns to assessment as a comeback, and
#: to expected as a new stay for another complaint. Only a scrapped car has no next step.
MOVES: Final[Mapping[Step, tuple[Step, ...]]] = MappingProxyType(
    {
        Step.EXPECTED: (Step.ON_LOT,),
        Step.ON_LOT: (Step.ASSESSMENT, *_WAYS_OUT),
        Step.ASSESSMENT: (
            Step.AWAITING_PARTS,
            Step.REPAIR,
            Step.SUBLET,
            Step.FINAL_INSPECTION,
            *_WAYS_OUT,
        ),
        Step.AWAITING_PARTS: (Step.ASSESSMENT, Step.REPAIR, Step.SUBLET, *_WAYS_OUT),
        Step.REPAIR: (
            Step.ASSESSMENT,
            Step.AWAITING_PARTS,
            Step.SUBLET,
            Step.FINAL_INSPECTION,
            *_WAYS_OUT,
        ),
        Step.SUBLET: (
            Step.ASSESSMENT,
            Step.AWAITING_PARTS,
            Step.REPAIR,
            Step.FINAL_INSPECTION,
            *_WAYS_OUT,
        ),
        Step.FINAL_INSPECTION: (Step.REPAIR, Step.HANDED_BACK, *_WAYS_OUT),
        Step.HANDED_BACK: (Step.EXPECTED, Step.ASSESSMENT),
        Step.RETURNED_UNREPAIRED: (Step.EXPECTED,),
        Step.SCRAPPED: (),
        Step.ABANDONED: (Step.ON_LOT, Step.RETURNED_UNREPAIRED, Step.SCRAPPED),
    }
)

#: The steps in which the program has the car and answers for it.
IN_CARE: Final = (
    Step.ON_LOT,
    Step.ASSESSMENT,
    Step.AWAITING_PARTS,
    Step.REPAIR,
    Step.SUBLET,
    Step.FINAL_INSPECTION,
    Step.ABANDONED,
)

#: The steps in which the repair goes on, here or elsewhere.
WORKED_ON: Final = (Step.REPAIR, Step.SUBLET)


def may_move(now: Step, to: Step) -> bool:
    """Return whether a car in step `now` may go to step `to` next."""
    return to in MOVES[now]


def is_comeback(now: Step, to: Step) -> bool:
    """Return whether this move is a repaired car that returns with the same trouble."""
    return now is Step.HANDED_BACK and to is Step.ASSESSMENT


def move(now: Step, to: Step) -> Step:
    """Return the step `to`, once the table allows it.

    Raises:
        ValueError: the table has no such move; the sentence lists those that it has.
    """
    if may_move(now, to):
        return to
    nexts = ", ".join(step.label for step in MOVES[now])
    allowed = f"It may go to: {nexts}." if nexts else "It stays there."
    raise ValueError(f"A car can’t go from “{now.label}” to “{to.label}”. {allowed}")
