"""Words of the intake, known before any model.

>>> Arrival("towed").label
'Towed'
>>> PhotoAbout.WALK_ROUND.value
'walk_round'
"""

from __future__ import annotations

from enum import StrEnum


class Arrival(StrEnum):
    """How the car came."""

    DRIVEN = "driven"
    TOWED = "towed"
    PUSHED = "pushed"

    @property
    def label(self) -> str:
        """The way at the start of a sentence."""
        return self.value.capitalize()


class PhotoAbout(StrEnum):
    """What a photo belongs to; the thing itself is named by a key of its own room."""

    WALK_ROUND = "walk_round"
    READING = "reading"
    DIAGNOSIS = "diagnosis"
    CONTENTS = "contents"
    PAPERS = "papers"
    OTHER = "other"

    @property
    def label(self) -> str:
        """The subject as a heading."""
        return "Walk-round" if self is PhotoAbout.WALK_ROUND else self.value.capitalize()


class Transmission(StrEnum):
    """What shifts the gears; always asked, since no table knows it of the very car."""

    AUTOMATIC = "automatic"
    MANUAL = "manual"
    CVT = "CVT"
    DUAL_CLUTCH = "dual clutch"
    SINGLE_SPEED = "single speed"

    @property
    def label(self) -> str:
        """The kind at the start of a sentence."""
        if self is Transmission.CVT:
            return "CVT (no steps)"
        if self is Transmission.SINGLE_SPEED:
            return "Single speed (electric)"
        return self.value.capitalize()
