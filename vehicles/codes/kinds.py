"""Words of trouble codes, known before any model.

>>> Lamp("flashing").label
'Flashing'
"""

from __future__ import annotations

from enum import StrEnum


class Lamp(StrEnum):
    """What the malfunction indicator lamp does."""

    OFF = "off"
    STEADY = "steady"
    FLASHING = "flashing"
    UNKNOWN = "unknown"

    @property
    def label(self) -> str:
        """The state at the start of a sentence."""
        return self.value.capitalize()
