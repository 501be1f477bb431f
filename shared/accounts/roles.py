"""The roles that open pages. A user holds any number of them, each with its dates.

>>> RoleKind("treasurer").label
'Treasurer'
>>> RoleKind.SPONSOR in STAFF
False
"""

from enum import StrEnum


class RoleKind(StrEnum):
    """What a person is to the program; the value is the code in sheets and rows."""

    COORDINATOR = "coordinator"
    LEAD_TECHNICIAN = "lead_technician"
    TECHNICIAN = "technician"
    VOLUNTEER = "volunteer"
    CASEWORKER = "caseworker"
    TREASURER = "treasurer"
    BOARD = "board"
    SPONSOR = "sponsor"

    @property
    def label(self) -> str:
        """The role as a person reads it."""
        return self.value.replace("_", " ").capitalize()


STAFF = frozenset(RoleKind) - {RoleKind.SPONSOR}
OFFICE = frozenset({RoleKind.COORDINATOR, RoleKind.TREASURER, RoleKind.BOARD})
SHOP = frozenset(
    {RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN, RoleKind.TECHNICIAN, RoleKind.VOLUNTEER}
)
