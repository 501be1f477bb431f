"""What a booking is for, and what can go wrong with a day.

>>> BookingKind("rest").label
'Curing or drying'
>>> TroubleKind.PART_LATE.label
'A part is late'
"""

from enum import StrEnum


class BookingKind(StrEnum):
    """What a booking is for."""

    WORK = "work"
    REST = "rest"
    AWAY = "away"
    FINAL = "final"

    @property
    def label(self) -> str:
        """The kind at the start of a sentence."""
        return _KINDS[self]


class TroubleKind(StrEnum):
    """What went wrong with a day."""

    PERSON_AWAY = "person_away"
    BAY_CLOSED = "bay_closed"
    PART_LATE = "part_late"
    RAN_OVER = "ran_over"

    @property
    def label(self) -> str:
        """The kind at the start of a sentence."""
        return _TROUBLES[self]


class Answered(StrEnum):
    """What a person made of days that were laid out anew."""

    ACCEPTED = "accepted"
    KEPT = "not taken"


_KINDS = {
    BookingKind.WORK: "Work",
    BookingKind.REST: "Curing or drying",
    BookingKind.AWAY: "Away",
    BookingKind.FINAL: "Final inspection",
}
_TROUBLES = {
    TroubleKind.PERSON_AWAY: "Somebody is away",
    TroubleKind.BAY_CLOSED: "A bay is closed",
    TroubleKind.PART_LATE: "A part is late",
    TroubleKind.RAN_OVER: "Work ran over",
}
