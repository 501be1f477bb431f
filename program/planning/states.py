"""Where a plan stands.

>>> PlanState("ready").value
'ready'
"""

from enum import StrEnum


class PlanState(StrEnum):
    """A plan is asked for, computed by a job, approved by a person, and followed by the next."""

    ASKED = "asked"
    READY = "ready"
    FAILED = "failed"
    APPROVED = "approved"
    SUPERSEDED = "superseded"
    CANCELED = "canceled"


class PinDirection(StrEnum):
    """A person keeps a case in the plan, or out of it."""

    IN = "in"
    OUT = "out"
