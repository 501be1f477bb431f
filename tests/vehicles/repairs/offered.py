"""Findings with their readings, as proposals are made for them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.factories import make_finding, make_reading

if TYPE_CHECKING:
    from vehicles.models import Finding, Intake


def read(
    stay: Intake,
    criterion: str = "tire-tread",
    at: str = "LF",
    reason: str = "5.2.3 e.2",
    **more: Any,
) -> Finding:
    """Return a finding that follows from a reading: by default a bald tire, front left."""
    reading = make_reading(intake=stay, criterion=criterion, position=at)
    title = more.pop("title", f"{criterion} {at}")
    return make_finding(intake=stay, reading=reading, reason_key=reason, title=title, **more)
