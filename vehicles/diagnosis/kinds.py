"""Words of a diagnosis, known before any model.

>>> Verified.NOT_SHOWN.label
'Could not be shown'
>>> [one.value for one in Ended]
['concluded', 'not_shown', 'specialist', 'dropped']
"""

from __future__ import annotations

from enum import StrEnum


class Origin(StrEnum):
    """Where the text of a fault model comes from."""

    SHIPPED = "shipped"
    OWN = "own"
    IMPORTED = "imported"

    @property
    def label(self) -> str:
        """The origin at the start of a sentence."""
        return {"own": "Our own", "imported": "From another program"}.get(self, "Shipped")


class Source(StrEnum):
    """How an observation came about."""

    SEEN = "seen"
    ASKED = "asked"
    CODES = "codes"

    @property
    def label(self) -> str:
        """The source as the page says it."""
        return {"asked": "household", "codes": "trouble codes"}.get(self, "seen")


class Verified(StrEnum):
    """Whether the complaint was shown before anything else was done."""

    NOT_YET = "not_yet"
    SHOWN = "shown"
    NOT_SHOWN = "not_shown"

    @property
    def label(self) -> str:
        """The state at the start of a sentence."""
        return _VERIFIED[self]


class Ended(StrEnum):
    """How a diagnosis ended."""

    CONCLUDED = "concluded"
    NOT_SHOWN = "not_shown"
    SPECIALIST = "specialist"
    DROPPED = "dropped"

    @property
    def label(self) -> str:
        """The end at the start of a sentence."""
        return _ENDED[self]


class Sureness(StrEnum):
    """On what a conclusion stands: the rule for confirming, or a person against it."""

    CONFIRMED = "confirmed"
    OVERRULED = "overruled"

    @property
    def label(self) -> str:
        """The word at the start of a sentence."""
        return "Confirmed" if self is Sureness.CONFIRMED else "Set by a person"


_VERIFIED = {
    Verified.NOT_YET: "Not tried yet",
    Verified.SHOWN: "Shown",
    Verified.NOT_SHOWN: "Could not be shown",
}
_ENDED = {
    Ended.CONCLUDED: "Concluded",
    Ended.NOT_SHOWN: "Could not be shown",
    Ended.SPECIALIST: "Handed to a specialist",
    Ended.DROPPED: "Dropped",
}
