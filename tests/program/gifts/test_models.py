"""What the database itself refuses of a gift."""

from __future__ import annotations

import pytest
from django.db import IntegrityError

from program.models import Offer
from tests.program.gifts.offers import make_offer

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("fields", "constraint"),
    [
        ({"state": "lost"}, "offer_state_known"),
        ({"cents": 0}, "offer_cents_above_zero"),
        ({"state": "accepted"}, "offer_decided_by_somebody"),
        ({"state": "refused"}, "offer_refused_with_reason"),
    ],
)
def test_an_impossible_gift_is_refused(fields: dict[str, object], constraint: str) -> None:
    offer = make_offer()
    if constraint in {"offer_state_known", "offer_refused_with_reason"}:
        fields = fields | {"decided_by": offer.by}
    with pytest.raises(IntegrityError, match=constraint):
        Offer.objects.filter(pk=offer.pk).update(**fields)


def test_a_gift_is_written_once() -> None:
    """The constraint is `offer_written_once`; SQLite names its columns."""
    offer = make_offer()
    offer.pk = None
    offer._state.adding = True
    with pytest.raises(IntegrityError, match=r"client_key|offer_written_once"):
        offer.save(force_insert=True)
