"""Where an offered gift stands."""

from enum import StrEnum


class OfferState(StrEnum):
    """What became of a restricted gift that somebody offered."""

    OFFERED = "offered"
    ACCEPTED = "accepted"
    REFUSED = "refused"
