"""A purchase of the demonstration that waits for a second person."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.ledger.itemizing import Line, stored
from program.models import Fund, Proposal
from tests.journeys.looked_into import each

if TYPE_CHECKING:
    from shared.models import User
    from tests.journeys.looked_into import Rows


def proposals(by: User) -> Rows:
    """Return the pages of what waits, after somebody asked for a lift."""
    assert by.program
    fund = Fund.objects.get(program=by.program, code="GEN")
    asked = Proposal.objects.create(
        program=by.program,
        key="form:6",
        on=by.program.today(),
        what="A used lift",
        lines=[stored(Line(debit="1410", credit="2010", cents=120_000, fund=fund))],
        why="The program asks for two people over $1,000.00. This is $1,200.00.",
        by=by,
    )
    pages = ("proposal_page", "proposal_agree", "proposal_decline", "proposal_take_back")
    return each([[asked.pk]], *(f"ledger:{page}" for page in pages))
