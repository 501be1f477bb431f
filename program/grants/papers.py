"""What a worker does for a claim: put its paper and the papers behind it together."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from program.grants.models import Claim
from program.grants.pdf import claim_paper
from program.grants.sheet import claim_sheet
from program.grants.storing import keep_papers

if TYPE_CHECKING:
    from shared.accounts.models import Program


def claim_papers(payload: dict[str, Any], program: Program) -> None:
    """Draw the paper of a claim and keep it beside the archive; twice does no harm."""
    claims = Claim.objects.filter(program=program, pk=payload["claim"])
    for claim in claims.select_related("grant__fund", "program", "by"):
        sheet = claim_sheet(claim)
        keep_papers(claim, sheet, claim_paper(sheet))
