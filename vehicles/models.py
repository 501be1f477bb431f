"""The models of the vehicles rooms, gathered for Django."""

from vehicles.codes.models import CodeScan, TroubleCode
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
from vehicles.diagnosis.models import (
    Conclusion,
    Diagnosis,
    Held,
    KeptModel,
    Observation,
    SetupMade,
)
from vehicles.estimates.models import Quote
from vehicles.fluids.models import FluidReading, FluidRule, TopUp
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
from vehicles.shop.models import Bay, BayClosure, Equipment, EquipmentInspection, Space
from vehicles.wheels.models import WheelTorque

__all__ = [
    "Bay",
    "BayClosure",
    "CodeScan",
    "Conclusion",
    "Condition",
    "Consent",
    "Content",
    "Departure",
    "Diagnosis",
    "Equipment",
    "EquipmentInspection",
    "Estimate",
    "EstimateLine",
    "Finding",
    "FluidReading",
    "FluidRule",
    "Held",
    "Inspection",
    "Intake",
    "KeptModel",
    "KeyMove",
    "KeyTag",
    "LocalLimit",
    "Need",
    "NotRead",
    "Observation",
    "Owner",
    "Photo",
    "Prerequisite",
    "Quote",
    "Reading",
    "Regrade",
    "RepairItem",
    "SetupMade",
    "Space",
    "Standing",
    "TopUp",
    "Tow",
    "TroubleCode",
    "Upload",
    "Vehicle",
    "WalkRoundMark",
    "WheelTorque",
]
