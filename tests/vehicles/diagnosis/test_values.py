"""A diagnosis as plain values."""

from __future__ import annotations

from tests.vehicles.diagnosis.rows import HOT
from vehicles.diagnosis.modelfile import read
from vehicles.diagnosis.values import Session, Step


def test_what_was_seen_and_what_was_not_are_kept_apart() -> None:
    steps = (Step(check="when", outcome="standing"), Step(check="gas", could_not="Tool not here"))
    session = Session(model=read(HOT), steps=steps, rate=3_400)
    assert session.observed == {"when": "standing"}
    assert session.missed == {"gas": "Tool not here"}
    assert session.step("gas") == steps[1]
    assert session.step("level") is None
