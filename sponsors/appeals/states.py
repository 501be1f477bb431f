"""Where an appeal stands.

>>> AppealState("drafted").value
'drafted'
"""

from enum import StrEnum


class AppealState(StrEnum):
    """An appeal is drafted by a job, approved or dropped by a person, and sent once."""

    DRAFTED = "drafted"
    APPROVED = "approved"
    SENT = "sent"
    DROPPED = "dropped"
