"""Gifts with a purpose of each kind, and the addresses of gifts and funds."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Any

from program.gifts.actions import accept_offer, enter_offer
from program.models import Fund
from tests.journeys.looked_into import Rows, each

if TYPE_CHECKING:
    from program.models import Offer
    from shared.models import Program, User


def funds() -> Rows:
    """Return the addresses of a fund."""
    about = ("fund_page", "fund_edit", "fund_rule", "fund_close")
    return each([[Fund.objects.get(code="PRU").pk]], *(f"funds:{name}" for name in about))


def gifts(program: Program, by: User) -> Rows:
    """Return the addresses of gifts: one waits, one names a household, one has a condition."""
    waits = _offer(program, by, fund_name="Moss Lane tire drive", rule={"systems": ["tires"]})
    named = _offer(program, by, terms="For the Haskell family's brakes, with our best wishes.")
    taken = _offer(program, by, barrier="Ten cars back on the road by June.", returns=True)
    taken = accept_offer(
        offer=taken,
        on=program.today(),
        reason="Ten cars are planned anyway.",
        version=taken.version,
        by=by,
    )
    steps = ("edit", "rule", "accept", "refuse")
    return [
        ("gifts:offer_page", [[waits.pk], [named.pk], [taken.pk]]),
        *each([[waits.pk]], *(f"gifts:offer_{name}" for name in steps)),
        *each([[taken.pk]], "gifts:offer_receive", "gifts:offer_meet", "gifts:offer_take_back"),
    ]


def _offer(program: Program, by: User, **fields: Any) -> Offer:
    usual = {
        "giver": "Moss Lane Grange",
        "cents": 60_000,
        "income": "4020",
        "on": program.today(),
        "terms": "Tires for people who drive to work.",
        "fund_name": "Moss Lane gift",
    }
    return enter_offer(program=program, client_key=uuid.uuid4(), by=by, **usual | fields)
