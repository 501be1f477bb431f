"""What a vehicle's number says about itself."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from vehicles.intake import vin

if TYPE_CHECKING:
    from vehicles.intake.models import Vehicle


@dataclass(frozen=True, kw_only=True)
class VinCheck:
    """Whether a number passes its check, and the sentences to say about it."""

    passes: bool
    sentences: tuple[str, ...]


def check_vin(vehicle: Vehicle) -> VinCheck:
    """Return what the check digit, the year and the recorded note say of a vehicle's VIN."""
    if not vehicle.vin:
        return VinCheck(passes=False, sentences=("No VIN is recorded.",))
    try:
        vin.validate(vehicle.vin)
        passes, said = True, ["Its check digit is right."]
    except ValueError as error:
        passes, said = False, [str(vin.why_no_check_digit(vehicle.vin) or error)]
    year = vin.model_year(vehicle.vin)
    if passes and vin.model_year_is_sure(vehicle.vin) and year != vehicle.year:
        said.append(f"It says model year {year}; {vehicle.year} is recorded.")
    if vehicle.vin_note:
        said.append(f"Recorded with it: {vehicle.vin_note}.")
    return VinCheck(passes=passes, sentences=tuple(said))
