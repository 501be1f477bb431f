"""What a year's budget may be begun from.

>>> Start.ACTUAL.label, Start("budget").noun
('What happened that year', 'the budget')
"""

from __future__ import annotations

from enum import StrEnum


class Start(StrEnum):
    """What is copied from the year before."""

    BUDGET = "budget"
    ACTUAL = "actual"

    @property
    def label(self) -> str:
        """The choice, as a form offers it."""
        return _LABELS[self]

    @property
    def noun(self) -> str:
        """Its name in a sentence."""
        return "the budget" if self is Start.BUDGET else "the ledger"


_LABELS = {Start.BUDGET: "The budget of that year", Start.ACTUAL: "What happened that year"}
