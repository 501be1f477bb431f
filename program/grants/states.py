"""How a grant pays, and where a claim stands."""

from enum import StrEnum


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


class Answer(StrEnum):
    """What a funder does with an amount of a claim."""

    PAID = "paid"
    REFUSED = "refused"
