"""Where a repair item and a need stand.

>>> ItemState("done").value
'done'
>>> NeedState("filled").value
'filled'
"""

from enum import StrEnum


class ItemState(StrEnum):
    """A repair item is open, done, or withdrawn with a reason."""

    OPEN = "open"
    DONE = "done"
    WITHDRAWN = "withdrawn"


class NeedState(StrEnum):
    """A need is open, filled by a fitted part, or withdrawn."""

    OPEN = "open"
    FILLED = "filled"
    WITHDRAWN = "withdrawn"
