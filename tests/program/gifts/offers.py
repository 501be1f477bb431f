"""Offered gifts for tests: every default is valid."""

from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Any

from program.gifts.actions import accept_offer, enter_offer
from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_program, make_user

if TYPE_CHECKING:
    from program.models import Offer
    from shared.models import User


def treasurer() -> User:
    return make_user(RoleKind.TREASURER)


def make_offer(**fields: Any) -> Offer:
    """Return an offered gift of $600.00 for tires, whose money is here, in a fund that is new."""
    defaults: dict[str, Any] = {
        "giver": "Moss Lane Grange",
        "cents": 60_000,
        "income": "4020",
        "on": TODAY,
        "terms": "Tires for people who drive to work.",
        "fund_name": "Moss Lane gift",
        "rule": {"systems": ["tires"]},
        "program": make_program(),
        "client_key": uuid.uuid4(),
    }
    by = fields.pop("by", None) or treasurer()
    return enter_offer(**defaults | fields, by=by)


def accept(offer: Offer, **fields: Any) -> Offer:
    """Accept a gift as another treasurer than the one who entered it."""
    defaults: dict[str, Any] = {
        "on": TODAY,
        "reason": "It fits.",
        "version": offer.version,
        "by": treasurer(),
    }
    return accept_offer(offer=offer, **defaults | fields)
