"""Words of the estimates room, known before any model.

>>> PriceSource("counter").label
'At the counter'
>>> priced_around(150_00, PriceSource.GUESS, (100_00, 120_00, 160_00))
(12500, 15000, 20000)
>>> priced_around(150_00, PriceSource.WRITTEN, (100_00, 120_00, 160_00))
(15000, 15000, 15000)
"""

from __future__ import annotations

from enum import StrEnum

Points = tuple[int | None, int | None, int | None]


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

    @property
    def is_named(self) -> bool:
        """Whether a supplier named this price for this part, so that nothing is left to guess."""
        return self in {PriceSource.WRITTEN, PriceSource.COUNTER, PriceSource.PHONE}


_LABELS = {
    PriceSource.WRITTEN: "In writing",
    PriceSource.COUNTER: "At the counter",
    PriceSource.PHONE: "On the phone",
    PriceSource.PRICE_LIST: "Price list",
    PriceSource.BOUGHT_BEFORE: "Bought before",
    PriceSource.GUESS: "Guess",
}


def priced_around(cents: int, source: PriceSource, before: Points) -> tuple[int, int, int]:
    """Return low, likely and high cents once a price is chosen.

    A price that a supplier named is one figure. Another one keeps the range that was there, in
    proportion (program policy, no source).
    """
    low, likely, high = before
    if source.is_named or not likely:
        return cents, cents, cents
    least = cents if low is None else cents * low // likely
    most = cents if high is None else -(-cents * high // likely)
    return least, cents, most
