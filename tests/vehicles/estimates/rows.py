"""Prices for tests; every default is valid."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from tests.factories import TODAY, make_need, make_user
from vehicles.estimates.actions import record_quote
from vehicles.models import Quote

if TYPE_CHECKING:
    from collections.abc import Callable

    from vehicles.models import Need, RepairItem


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


def said(action: Callable[..., Any], **fields: Any) -> list[str]:
    """Return the sentences with which an action refuses."""
    with pytest.raises(ValidationError) as refusal:
        action(by=fields.pop("by", None) or make_user(), **fields)
    return refusal.value.messages


def recorded(about: Need | RepairItem, **fields: Any) -> Quote:
    """Record a price that was said at the counter."""
    defaults: dict[str, Any] = {
        "supplier": "Quayside Auto Parts",
        "source": "counter",
        "cents": 11_000,
        "quoted_on": TODAY,
        "paper": b"",
        "client_key": uuid4(),
        "by": make_user(),
    }
    return record_quote(about=about, **defaults | fields)
