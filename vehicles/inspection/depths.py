"""How much of a car is read: the look, the full sheet, and the final sheet before it leaves.

>>> Depth("look").label
'20-minute look'
>>> [depth.value for depth in Depth]
['look', 'full', 'final']
"""

from __future__ import annotations

from enum import StrEnum


class Depth(StrEnum):
    """Which points are read, in the order a stay goes through them."""

    LOOK = "look"
    FULL = "full"
    FINAL = "final"

    @property
    def label(self) -> str:
        """The depth at the start of a sentence."""
        return _LABELS[self]


_LABELS = {
    Depth.LOOK: "20-minute look",
    Depth.FULL: "Full sheet",
    Depth.FINAL: "Final sheet",
}
