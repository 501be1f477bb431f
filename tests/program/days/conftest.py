"""Days are laid out from Monday morning on."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import time_machine

if TYPE_CHECKING:
    from collections.abc import Iterator

EARLY = "2026-11-30 12:00:00+00:00"  # 7:00 where the garage is


@pytest.fixture
def monday() -> Iterator[time_machine.Traveller]:
    """Let it be 7:00 on the Monday of the factories' week, where the garage is."""
    with time_machine.travel(EARLY, tick=False) as traveller:
        yield traveller
