"""Words of the estimates room, known before any model.

>>> PriceSource("counter").label
'At the counter'
>>> PartCondition.REBUILT.value
'rebuilt'
"""

from __future__ import annotations

from enum import StrEnum


class PriceSource(StrEnum):
    """How a price became known."""

    WRITTEN = "written"
    COUNTER = "counter"
    PHONE = "phone"
    PRICE_LIST = "price_list"
    BOUGHT_BEFORE = "bought_before"
    GUESS = "guess"

    @property
    def label(self) -> str:
        """The source at the start of a sentence."""
        return _LABELS[self]


class PartCondition(StrEnum):
    """What a part has behind it."""

    NEW = "new"
    REBUILT = "rebuilt"
    USED = "used"


_LABELS = {
    PriceSource.WRITTEN: "In writing",
    PriceSource.COUNTER: "At the counter",
    PriceSource.PHONE: "On the phone",
    PriceSource.PRICE_LIST: "Price list",
    PriceSource.BOUGHT_BEFORE: "Bought before",
    PriceSource.GUESS: "Guess",
}
