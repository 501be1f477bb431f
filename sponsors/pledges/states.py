"""Where a pledge and a unit of supply stand.

>>> SupplyState("on_shelf").label
'On shelf'
"""

from enum import StrEnum


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
