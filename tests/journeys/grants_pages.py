"""Two grants with their claims, so that each of their pages has something, and their addresses."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING

from program.grants.actions import draft_claim, send_claim
from program.grants.papers import claim_papers
from program.grants.views import STEPS
from program.grants.writing import Award, add_grant
from program.ledger.fiscal import first_of
from program.models import Entry, Fund, Transfer
from tests.journeys.looked_into import Rows, each

if TYPE_CHECKING:
    from program.models import Grant
    from shared.models import Program, User


def grants(program: Program, by: User) -> Rows:
    """Return the addresses of grants and claims, with what they take."""
    grant = _grant(program, by)
    ended = first_of(program.today()) - dt.timedelta(days=1)
    before = first_of(ended) - dt.timedelta(days=1)
    general = Fund.objects.get(program=program, code="GEN")
    for number, on in enumerate((before, ended)):
        _spend(general, on, number)
    claim = draft_claim(grant=grant, until_on=before, by=by)
    claim = send_claim(claim=claim, version=claim.version, on=program.today(), by=by)
    claim_papers({"claim": claim.pk}, program)
    draft = draft_claim(grant=grant, until_on=ended, by=by)
    about = ("grant_page", "grant_edit", "grant_costs", "grant_others", "claim_begin")
    return [
        *each([[grant.pk]], *(f"grants:{name}" for name in about)),
        ("grants:claim_page", [[claim.pk], [draft.pk]]),
        ("grants:claim_do", [[draft.pk, step] for step in STEPS]),
        ("grants:claim_papers", [[draft.pk]]),
        ("grants:claim_file", [[claim.pk, "pdf"], [claim.pk, "zip"]]),
    ]


def _grant(program: Program, by: User) -> Grant:
    today = program.today()
    award = Award(
        funder="Alder County Workforce Board",
        number="AC-26-031",
        cents=900_000,
        pays="after",
        own_percent=20,
        accounts=["6010", "6030"],
        cycle="monthly",
        due_days=20,
        begins_on=first_of(today) - dt.timedelta(days=90),
        ends_on=today + dt.timedelta(days=50),
        terms="A page on how many households kept their work goes with the last claim.",
    )
    return add_grant(
        program=program,
        award=award,
        fund=None,
        fund_code="AWB",
        fund_name="Alder work-trip grant",
        client_key=uuid.uuid4(),
        by=by,
    )


def _spend(fund: Fund, on: dt.date, number: int) -> None:
    key = f"journey:grant:{number}"
    entry = Entry.objects.create(program=fund.program, key=key, on=on, what="Front brake pads")
    Transfer.objects.create(
        program=fund.program, entry=entry, debit="6010", credit="1010", cents=6_400, fund=fund
    )
