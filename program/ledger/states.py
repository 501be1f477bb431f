"""Where a spend that needs two people stands."""

from enum import StrEnum


class ProposalState(StrEnum):
    """What became of a spend that waits for a second person."""

    WAITING = "waiting"
    BOOKED = "booked"
    DECLINED = "declined"
    WITHDRAWN = "withdrawn"
