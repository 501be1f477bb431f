"""Words of the intake: how a car came, what a photo is of, what shifts the gears."""

from __future__ import annotations

from vehicles.intake.kinds import Arrival, PhotoAbout, Transmission


def test_the_ways_to_come_read_as_answers() -> None:
    assert [kind.label for kind in Arrival] == ["Driven", "Towed", "Pushed"]


def test_photos_stand_under_headings() -> None:
    labels = [kind.label for kind in PhotoAbout]
    assert labels == ["Walk-round", "Reading", "Diagnosis", "Contents", "Papers", "Other"]


def test_what_shifts_without_steps_or_not_at_all_says_so() -> None:
    assert [kind.label for kind in Transmission] == [
        "Automatic",
        "Manual",
        "CVT (no steps)",
        "Dual clutch",
        "Single speed (electric)",
    ]
