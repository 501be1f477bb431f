"""What somebody says of one inspection of equipment, as the form hands it over.

>>> from datetime import date
>>> Inspected(on=date(2026, 11, 25), by_name="Lister Lift Service").passed
True
>>> Inspected(on=date(2026, 11, 25), by_name="R. Amadi", passed=False, note="The lock slips").note
'The lock slips'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date


@dataclass(frozen=True, kw_only=True)
class Inspected:
    """One inspection. Without `next_due_on` the next is due after the piece's own interval."""

    on: date
    by_name: str
    passed: bool = True
    next_due_on: date | None = None
    paper: str = ""
    note: str = ""
