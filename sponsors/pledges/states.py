"""Where a pledge and a unit of supply stand, and what became of a pledge in one sentence.

>>> SupplyState("on_shelf").label
'On shelf'
>>> str(what_became("radiator", [SupplyState.FITTED], on_the_road=1))
'Your radiator put a car back on the road.'
"""

from __future__ import annotations

from enum import StrEnum
from typing import TYPE_CHECKING

from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shared.say import Say


class PledgeState(StrEnum):
    """A pledge is an intention; it may be taken back, arrive, or run out."""

    INTENDED = "intended"
    ARRIVED = "arrived"
    TAKEN_BACK = "taken_back"
    EXPIRED = "expired"


class SupplySource(StrEnum):
    """Where a unit comes from."""

    PLEDGE = "pledge"
    ORDER = "order"
    SHELF = "shelf"


class SupplyState(StrEnum):
    """How far a unit has come."""

    PLEDGED = "pledged"
    ON_ORDER = "on_order"
    ON_SHELF = "on_shelf"
    FITTED = "fitted"
    GONE = "gone"

    @property
    def label(self) -> str:
        """The state at the start of a sentence."""
        return self.value.replace("_", " ").capitalize()


USABLE = frozenset({SupplyState.PLEDGED, SupplyState.ON_ORDER, SupplyState.ON_SHELF})

# The mark of how far a unit has come; the furthest unit speaks for its pledge.
MARKS = {
    SupplyState.FITTED: "fitted",
    SupplyState.ON_SHELF: "received",
    SupplyState.ON_ORDER: "promised",
    SupplyState.PLEDGED: "promised",
    SupplyState.GONE: "none",
}

_THERE = {
    SupplyState.ON_SHELF: say("Received: it lies on our shelf."),
    SupplyState.PLEDGED: say("Promised: we wait for it."),
}
_ENDED = {
    PledgeState.EXPIRED: say("It ran out before it was handed over."),
    None: say("Taken back."),
}


def furthest(units: Sequence[SupplyState]) -> SupplyState:
    """Return how far the furthest unit has come; gone when there is none."""
    return next((state for state in MARKS if state in units), SupplyState.GONE)


def what_became(
    part: str,
    units: Sequence[SupplyState],
    *,
    on_the_road: int = 0,
    ended: PledgeState | None = None,
) -> Say:
    """Return what became of a pledge, as its sponsor reads it: nothing about whom it helped.

    `units` are the states of its units, `on_the_road` how many of them are in cars that were handed
    back, `ended` is how a pledge without any unit left ended.
    """
    if on_the_road == 1:
        return say("Your {part} put a car back on the road.", part=part)
    if on_the_road:
        return say("{count} cars are back on the road with what you gave.", count=on_the_road)
    state = furthest(units)
    if state is SupplyState.FITTED:
        return say("{count} of {all} fitted.", count=units.count(state), all=len(units))
    if state is SupplyState.GONE:
        return _ENDED.get(ended, _ENDED[None])
    return _THERE.get(state, _THERE[SupplyState.PLEDGED])
