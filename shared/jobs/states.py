"""Where a job stands, and how long a failed one waits.

>>> retry_minutes(1), retry_minutes(3), retry_minutes(30)
(2, 8, 360)
>>> JobState.PENDING.value
'pending'
"""

from enum import StrEnum

MAX_ATTEMPTS = 8
LONGEST_WAIT_MINUTES = 6 * 60


class JobState(StrEnum):
    """A job waits, runs under a lease, is done, or has failed for good."""

    PENDING = "pending"
    RUNNING = "running"
    DONE = "done"
    FAILED = "failed"


def retry_minutes(attempts: int) -> int:
    """Return the minutes to wait after the given number of failed attempts: 2, 4, 8 … 360."""
    return int(min(2 ** min(attempts, 20), LONGEST_WAIT_MINUTES))
