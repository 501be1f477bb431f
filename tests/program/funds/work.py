"""Cars with open work, for what funds are asked about."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.factories import make_case, make_household, make_intake, make_item, make_need

if TYPE_CHECKING:
    from program.models import Case
    from vehicles.models import RepairItem


def make_ready(number: str = "26-041", **household: Any) -> Case:
    """Return an open case whose car is here."""
    case = make_case(number=number, household=make_household(**household))
    assert case.vehicle is not None
    make_intake(vehicle=case.vehicle)
    return case


def make_work(case: Case, *, cents: int | None = 12_000, **fields: Any) -> RepairItem:
    """Return an open item of a case that lacks one part, of its system, at a price."""
    assert case.vehicle is not None
    kind = fields.pop("kind", "tire")
    item = make_item(intake=case.vehicle.intakes.get(), **fields)
    prices = dict.fromkeys(("price_low_cents", "price_cents", "price_high_cents"), cents)
    make_need(item=item, kind=kind, system=item.system, **prices)
    return item
