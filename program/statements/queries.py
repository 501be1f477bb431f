"""The statements of a span, from the books."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.ledger import ledger
from program.ledger.chart import load
from program.ledger.models import Fund
from program.ledger.queries import pure_funds, transfers

if TYPE_CHECKING:
    import datetime as dt

    from shared.accounts.models import Program


def statements_of(program: Program, *, from_on: dt.date, until_on: dt.date) -> ledger.Statements:
    """Return the statements of a span; two queries."""
    funds = pure_funds(Fund.objects.filter(program=program))
    return ledger.statements(transfers(program), load(), funds, from_on=from_on, until_on=until_on)
