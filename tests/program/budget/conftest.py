"""The day on which the tests of the budget happen."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import time_machine

if TYPE_CHECKING:
    from collections.abc import Iterator


@pytest.fixture(autouse=True)
def _monday() -> Iterator[None]:
    """Let it be 10:00 on the Monday of the factories' week, where the garage is."""
    with time_machine.travel("2026-11-30 15:00:00+00:00", tick=False):
        yield
