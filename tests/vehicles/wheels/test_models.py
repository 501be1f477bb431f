"""Wheel torques: what the database refuses."""

from __future__ import annotations

from uuid import uuid4

import pytest

from tests.refusals import assert_refused
from tests.vehicles.rows import unsaved
from tests.vehicles.wheels.rows import make_torque

pytestmark = pytest.mark.django_db


def test_a_torque_is_above_zero() -> None:
    assert_refused(
        unsaved(make_torque(), foot_pounds=0),
        "torque_above_zero",
        "A torque must be more than zero.",
    )


def test_a_torque_is_written_once() -> None:
    row = make_torque(client_key=uuid4())
    assert_refused(unsaved(row), "torque_written_once", "This is on record already.")


def test_a_torque_names_itself() -> None:
    row = make_torque()
    assert str(row) == f"80 lb-ft, {row.intake}"
