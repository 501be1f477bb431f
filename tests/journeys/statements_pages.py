"""The addresses of the statements."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.statements.queries import TITLES
from tests.journeys.looked_into import each

if TYPE_CHECKING:
    from tests.journeys.looked_into import Rows


def statements() -> Rows:
    """Return the addresses of each statement: its page, its paper, its sheet."""
    names = [[name] for name in TITLES]
    kinds = ("statement", "statement_pdf", "statement_csv")
    return [*each(names, *(f"statements:{kind}" for kind in kinds))]
