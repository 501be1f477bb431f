"""Reading what is known of the fluids of a stay."""

from __future__ import annotations

from typing import TYPE_CHECKING

from vehicles.fluids.models import FluidReading, FluidRule, TopUp

if TYPE_CHECKING:
    from vehicles.intake.models import Intake


def rules_of(stay: Intake, fluid: str = "") -> list[FluidRule]:
    """Return what the maker says of the fluids of this car, oldest first, replaced ones too."""
    rows = FluidRule.objects.filter(program=stay.program_id, vehicle=stay.vehicle_id)
    return list((rows.filter(fluid=fluid) if fluid else rows).select_related("by"))


def readings_of(stay: Intake, fluid: str = "") -> list[FluidReading]:
    """Return the readings of a stay, oldest first, those taken back too."""
    rows = FluidReading.objects.filter(program=stay.program_id, intake=stay)
    return list((rows.filter(fluid=fluid) if fluid else rows).select_related("finding", "by"))


def top_ups_of(stay: Intake, fluid: str = "") -> list[TopUp]:
    """Return what was poured in on a stay, oldest first, what was taken back too."""
    rows = TopUp.objects.filter(program=stay.program_id, reading__intake=stay)
    rows = rows.filter(reading__fluid=fluid) if fluid else rows
    return list(rows.select_related("reading", "by"))
