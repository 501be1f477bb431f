"""How far a need has come: from open to fitted, by the unit that is furthest behind.

>>> stage_of(NeedState.OPEN, 2, [Unit(state=SupplyState.ON_SHELF, settled=True)], asked=True)
<Stage.ASKED: 'asked'>
>>> str(stage_of(NeedState.OPEN, 1, [Unit(state=SupplyState.ON_SHELF, settled=True)]).label)
'Kept for it'

A unit on the shelf that a person or a plan settled is kept for the need; one that matching alone
put there may still go to a more urgent one.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from sponsors.pledges.states import SupplyState
from vehicles.repairs.states import NeedState

if TYPE_CHECKING:
    from collections.abc import Sequence


class Stage(StrEnum):
    """Where a need stands, the furthest behind first."""

    OPEN = "open"
    ASKED = "asked"
    PLEDGED = "pledged"
    ON_ORDER = "on_order"
    RECEIVED = "received"
    KEPT = "kept"
    FITTED = "fitted"
    WITHDRAWN = "withdrawn"

    @property
    def label(self) -> str:
        """The stage at the start of a sentence."""
        return _LABELS[self]

    @property
    def mark(self) -> str:
        """The name of its mark."""
        return _MARKS[self]

    @property
    def is_closed(self) -> bool:
        """Whether nothing more is to be done for it."""
        return self in (Stage.FITTED, Stage.WITHDRAWN)


_LABELS: Final = MappingProxyType(
    {
        Stage.OPEN: "Open",
        Stage.ASKED: "Asked for",
        Stage.PLEDGED: "Pledged",
        Stage.ON_ORDER: "On order",
        Stage.RECEIVED: "On the shelf",
        Stage.KEPT: "Kept for it",
        Stage.FITTED: "Fitted",
        Stage.WITHDRAWN: "Withdrawn",
    }
)
_MARKS: Final = MappingProxyType(
    {
        Stage.OPEN: "none",
        Stage.ASKED: "unread",
        Stage.PLEDGED: "promised",
        Stage.ON_ORDER: "promised",
        Stage.RECEIVED: "received",
        Stage.KEPT: "met",
        Stage.FITTED: "fitted",
        Stage.WITHDRAWN: "none",
    }
)
_OF_UNIT: Final = MappingProxyType(
    {
        SupplyState.PLEDGED: Stage.PLEDGED,
        SupplyState.ON_ORDER: Stage.ON_ORDER,
        SupplyState.ON_SHELF: Stage.RECEIVED,
        SupplyState.FITTED: Stage.FITTED,
    }
)


@dataclass(frozen=True, kw_only=True)
class Unit:
    """One unit that is kept for a need: how far it is, and whether a person or plan settled it."""

    state: SupplyState
    settled: bool = False

    @property
    def stage(self) -> Stage:
        """The stage of the need as far as this unit goes."""
        found = _OF_UNIT.get(self.state, Stage.OPEN)
        return Stage.KEPT if found is Stage.RECEIVED and self.settled else found


def stage_of(
    state: NeedState, quantity: int, units: Sequence[Unit], *, asked: bool = False
) -> Stage:
    """Return where a need stands that asks for so many; `asked`: a sponsor was asked for it."""
    if state is NeedState.FILLED:
        return Stage.FITTED
    if state is NeedState.WITHDRAWN:
        return Stage.WITHDRAWN
    lacking = Stage.ASKED if asked else Stage.OPEN
    stages = [unit.stage for unit in units]
    if len(stages) < quantity:
        return lacking
    behind = min(stages, key=list(Stage).index)
    return lacking if behind is Stage.OPEN else behind
