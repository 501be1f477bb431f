"""A car of which one big job comes first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.models import Commitment
from tests.factories import make_case, make_entry, make_fund, make_intake, make_item, make_need

if TYPE_CHECKING:
    from vehicles.models import Need


def make_gated() -> tuple[Need, Need]:
    """Return the need of a gate of $900 and that of other work on the same car."""
    stay = make_intake()
    big = make_item(intake=stay, title="Head gasket", system="engine", tier=1)
    small = make_item(intake=stay, title="Radiator", system="cooling", tier=1)
    facts = {"price_cents": 900_00, "price_high_cents": None}
    gate = make_need(item=big, kind="head_gasket", title="Gasket set", system="engine", **facts)
    return gate, make_need(item=small)


def paid_for(gate: Need) -> Commitment:
    """Return the money that a plan set aside for a gate."""
    return Commitment.objects.create(
        program=gate.program,
        cause="plan:1",
        case=make_case(vehicle=gate.item.intake.vehicle),
        item_id=gate.item_id,
        fund=make_fund(),
        cents=900_00,
        entry=make_entry(),
    )
