"""The models of the vehicles rooms, gathered for Django."""

from vehicles.custody.models import Condition, Consent, Owner
from vehicles.inspection.models import Finding, Reading
from vehicles.intake.models import Intake, Vehicle
from vehicles.repairs.models import Estimate, EstimateLine, Need, Prerequisite, RepairItem
from vehicles.shop.models import Bay, Equipment

__all__ = [
    "Bay",
    "Condition",
    "Consent",
    "Equipment",
    "Estimate",
    "EstimateLine",
    "Finding",
    "Intake",
    "Need",
    "Owner",
    "Prerequisite",
    "Reading",
    "RepairItem",
    "Vehicle",
]
