"""A report with one dangerous tire, and what its pages say."""

from __future__ import annotations

from io import BytesIO
from typing import Any

from pypdf import PdfReader

from shared.say import say
from tests.factories import TODAY
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.values import Report, Wrong


def a_wrong(**fields: Any) -> Wrong:
    """Return a tread of 1/32 in, dangerous."""
    defaults: dict[str, Any] = {
        "title": "Tread depth",
        "place": "front left",
        "system": "tires",
        "deficiency": DeficiencyClass.DANGEROUS,
        "sentence": "1/32 in of tread, the limit is 2/32 in.",
        "said": say("{text}.", text="Tread is below the legal minimum"),
        "eu_class": DeficiencyClass.DANGEROUS,
        "us_reject": True,
        "source": "49 CFR 570.9(a)",
        "on": TODAY,
        "by": "R. Amadi, ASE A4",
    }
    return Wrong(**defaults | fields)


def a_report(**fields: Any) -> Report:
    """Return the report of a car on which 5 of 5 points were read."""
    defaults: dict[str, Any] = {
        "garage": "Osier Street Garage",
        "number": "R-7-1",
        "day": TODAY,
        "car": "2012 Toyota Corolla",
        "facts": (("VIN", "1ZZAA00A0B0000001"),),
        "odometer_mi": 148_190,
        "looks": (),
        "readers": ("R. Amadi, ASE A4, last on Monday, November 30, 2026",),
        "read": 5,
        "total": 5,
        "wrong": (a_wrong(),),
        "skipped": (),
        "not_needed": (),
        "noted": (),
        "near": (),
        "pairs": (),
        "good": (),
        "cautions": (),
        "shots": (),
    }
    return Report(**defaults | fields)


def text_of(content: bytes) -> str:
    """Return what a PDF says, on one line."""
    pages = PdfReader(BytesIO(content)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).split())
