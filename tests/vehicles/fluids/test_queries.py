"""What is known of the fluids of a stay, replaced and taken back rows too."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.vehicles.fluids.rows import read, say_maker, top_up
from vehicles.fluids.levels import Level
from vehicles.fluids.queries import readings_of, rules_of, top_ups_of

if TYPE_CHECKING:
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


def test_rows_of_a_stay_are_found_by_their_fluid(stay: Intake) -> None:
    say_maker(stay)
    row = read(stay, Level.NONE)
    poured = top_up(row)
    assert readings_of(stay) == readings_of(stay, row.fluid) == [row]
    assert top_ups_of(stay) == top_ups_of(stay, row.fluid) == [poured]
    assert [one.fluid for one in rules_of(stay)] == [row.fluid]
    assert readings_of(stay, "washer") == []
    assert rules_of(stay, "washer") == []
    assert top_ups_of(stay, "washer") == []
