"""Why a unit is kept for a need no more, where no person decided it.

>>> Freed("The unit is not to be had any more.") is Freed.UNIT_GONE
True
"""

from enum import StrEnum


class Freed(StrEnum):
    """The sentences of jobs and plans; any other reason was written by a person."""

    MOVED = "Another pair serves the more urgent need."
    NEED_CLOSED = "The need is not open any more."
    UNIT_GONE = "The unit is not to be had any more."
    PLANNED = "An approved plan gives it to another car."
    RETURNED = "The car was returned unrepaired."
