"""Where a supplement stands.

>>> SupplementState("asked").is_open
True
"""

from enum import StrEnum


class SupplementState(StrEnum):
    """More than was authorized: asked for, agreed to by both, declined, or taken back."""

    ASKED = "asked"
    AGREED = "agreed"
    DECLINED = "declined"
    WITHDRAWN = "withdrawn"

    @property
    def is_open(self) -> bool:
        """Whether somebody still has to answer."""
        return self is SupplementState.ASKED
