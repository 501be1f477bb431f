"""Prices for tests; every default is valid."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from tests.factories import TODAY, make_need
from vehicles.models import Quote


def make_quote(**fields: Any) -> Quote:
    """Return a price in writing: $110.00 for one radiator, new, said today."""
    about = fields.get("item") or fields.get("need") or make_need()
    if "item" not in fields:
        fields["need"] = about
    defaults = {
        "program": about.program,
        "supplier": "Quayside Auto Parts",
        "source": "written",
        "cents": 11_000,
        "quoted_on": TODAY,
        "client_key": uuid4(),
    }
    return Quote.objects.create(**defaults | fields)
