"""Where an offered gift, a grant and a claim stand, and how a grant pays."""

from enum import StrEnum


class OfferState(StrEnum):
    """What became of a restricted gift that somebody offered."""

    OFFERED = "offered"
    ACCEPTED = "accepted"
    REFUSED = "refused"


class GrantPays(StrEnum):
    """When the money of a grant comes."""

    AHEAD = "ahead"
    AFTER = "after"


class ClaimCycle(StrEnum):
    """How often costs are claimed, or reported where the money came ahead."""

    MONTHLY = "monthly"
    QUARTERLY = "quarterly"
    ONCE = "once"


class ClaimState(StrEnum):
    """Where one claim stands."""

    DRAFT = "draft"
    SENT = "sent"
    PAID = "paid"
    WITHDRAWN = "withdrawn"
