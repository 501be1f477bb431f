"""What a private link opens.

>>> LinkPurpose("status").label
'Status page of a household'
"""

from enum import StrEnum


class LinkPurpose(StrEnum):
    """One purpose a link; a token for one opens nothing of another."""

    STATUS = "status"
    PORTAL = "portal"
    UNSUBSCRIBE = "unsubscribe"
    CALENDAR = "calendar"

    @property
    def label(self) -> str:
        """What the link opens, in words."""
        return {
            LinkPurpose.STATUS: "Status page of a household",
            LinkPurpose.PORTAL: "Portal of a sponsor",
            LinkPurpose.UNSUBSCRIBE: "Stop mail to one address",
            LinkPurpose.CALENDAR: "Calendar of the shop",
        }[self]
