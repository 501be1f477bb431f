"""What is answered when a car arrives, as an action takes it and as a form sends it."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

from tests.factories import TODAY
from vehicles.intake.values import ArrivalAnswers, CarAnswers

VIN = "2T1BURHE4FC300009"  # invented serial; check digit by 49 CFR 565.15(c)


def car(**answers: Any) -> CarAnswers:
    known: dict[str, Any] = {"vin": VIN, "year": 2015, "make": "Toyota", "model": "Corolla"}
    return CarAnswers(**known | {"transmission": "automatic"} | answers)


def told(**answers: Any) -> ArrivalAnswers:
    known: dict[str, Any] = {"arrived_on": TODAY, "complaint": "It grinds.", "odometer_mi": 88_000}
    return ArrivalAnswers(**known | {"miles_per_week": 150} | answers)


def sent(**answers: Any) -> dict[str, Any]:
    """Return what the form of an arrival sends."""
    return {
        "vin": VIN,
        "year": "2015",
        "make": "Toyota",
        "model": "Corolla",
        "transmission": "automatic",
        "complaint": "It grinds when I brake.",
        "driver": "The mother, to work",
        "miles_per_week": "150",
        "sleeps_in": "no",
        "power_brakes": "yes",
        "arrived_on": f"{TODAY:%Y-%m-%d}",
        "arrived_by": "towed",
        "odometer_mi": "88,000",
        "fuel_eighths": "3",
        "lamps": ["oil", "engine"],
        "plate": "bwk 1",
        "plate_state": "oh",
        "client_key": str(uuid4()),
    } | answers
