"""A car whose fluids are read."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.factories import make_intake

if TYPE_CHECKING:
    from vehicles.models import Intake


@pytest.fixture
def stay(db: None) -> Intake:
    """Return a stay to whose diagnosis the owner consented."""
    return make_intake()
