"""Reading what the board has set."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.policy.defaults import DEFAULTS
from shared.policy.models import Policy

if TYPE_CHECKING:
    import datetime as dt

    from shared.accounts.models import Program


def policies(program: Program, on: dt.date) -> dict[str, int]:
    """Return every policy's value in force on a day, by name; one query."""
    rows = Policy.objects.in_force(program, on)
    return DEFAULTS | {row.name: row.value for row in rows}
