"""The models of the vehicles rooms, gathered for Django."""

from vehicles.custody.models import (
    Condition,
    Consent,
    Content,
    Departure,
    KeyMove,
    KeyTag,
    Owner,
    Standing,
    Tow,
)
from vehicles.inspection.models import (
    Finding,
    Inspection,
    LocalLimit,
    NotRead,
    Reading,
    Regrade,
)
from vehicles.intake.models import Intake, Photo, Upload, Vehicle, WalkRoundMark
from vehicles.repairs.models import Estimate, EstimateLine, Need, Prerequisite, RepairItem
from vehicles.shop.models import Bay, Equipment

__all__ = [
    "Bay",
    "Condition",
    "Consent",
    "Content",
    "Departure",
    "Equipment",
    "Estimate",
    "EstimateLine",
    "Finding",
    "Inspection",
    "Intake",
    "KeyMove",
    "KeyTag",
    "LocalLimit",
    "Need",
    "NotRead",
    "Owner",
    "Photo",
    "Prerequisite",
    "Reading",
    "Regrade",
    "RepairItem",
    "Standing",
    "Tow",
    "Upload",
    "Vehicle",
    "WalkRoundMark",
]
