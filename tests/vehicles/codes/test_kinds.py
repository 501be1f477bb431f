"""What the lamp does, in words."""

from __future__ import annotations

from vehicles.codes.kinds import Lamp


def test_a_lamp_says_what_it_does() -> None:
    assert [one.label for one in Lamp] == ["Off", "Steady", "Flashing", "Unknown"]
