"""What was typed of one reading."""

from __future__ import annotations

from dataclasses import fields

from vehicles.codes.urgency import Signs
from vehicles.codes.values import Sign


def test_each_sign_is_one_that_urgency_counts() -> None:
    known = {one.name for one in fields(Signs)}
    assert {one.value for one in Sign} == known - {"lamp", "battery_volts"}
