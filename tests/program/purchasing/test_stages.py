"""The stage of a need is that of the unit that is furthest behind."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.purchasing.stages import Stage, Unit, stage_of
from sponsors.pledges.states import SupplyState
from vehicles.repairs.states import NeedState

PLEDGED = Unit(state=SupplyState.PLEDGED)
ORDERED = Unit(state=SupplyState.ON_ORDER)
SHELF = Unit(state=SupplyState.ON_SHELF)
KEPT = Unit(state=SupplyState.ON_SHELF, settled=True)
FITTED = Unit(state=SupplyState.FITTED, settled=True)
GONE = Unit(state=SupplyState.GONE)


@pytest.mark.parametrize(
    ("quantity", "units", "asked", "stage"),
    [
        (1, [], False, Stage.OPEN),
        (1, [], True, Stage.ASKED),
        (2, [KEPT], False, Stage.OPEN),
        (1, [PLEDGED], True, Stage.PLEDGED),
        (1, [ORDERED], False, Stage.ON_ORDER),
        (1, [SHELF], False, Stage.RECEIVED),
        (1, [KEPT], False, Stage.KEPT),
        (2, [KEPT, PLEDGED], False, Stage.PLEDGED),
        (2, [FITTED, KEPT], False, Stage.KEPT),
        (1, [GONE], False, Stage.OPEN),
        (1, [GONE], True, Stage.ASKED),
    ],
)
def test_an_open_need_stands_where_its_last_unit_does(
    quantity: int,
    units: list[Unit],
    asked: bool,  # noqa: FBT001 - a parameter of the cases
    stage: Stage,
) -> None:
    assert stage_of(NeedState.OPEN, quantity, units, asked=asked) is stage


def test_a_closed_need_stands_where_it_was_closed() -> None:
    assert stage_of(NeedState.FILLED, 1, []) is Stage.FITTED
    assert stage_of(NeedState.WITHDRAWN, 1, [KEPT], asked=True) is Stage.WITHDRAWN


@given(st.lists(st.sampled_from([PLEDGED, ORDERED, SHELF, KEPT, FITTED]), max_size=5))
def test_one_more_unit_never_moves_a_need_that_lacked_one_back(units: list[Unit]) -> None:
    places = list(Stage)
    before = stage_of(NeedState.OPEN, len(units) + 1, units)
    after = stage_of(NeedState.OPEN, len(units) + 1, [*units, PLEDGED])
    assert places.index(before) <= places.index(after)


def test_each_stage_has_a_word_and_a_mark() -> None:
    assert [stage.label for stage in Stage if stage.is_closed] == ["Fitted", "Withdrawn"]
    assert all(stage.mark for stage in Stage)
