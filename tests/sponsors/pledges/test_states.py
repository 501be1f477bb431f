from __future__ import annotations

import pytest

from sponsors.pledges.states import MARKS, USABLE, PledgeState, SupplyState, furthest, what_became

ON_SHELF, FITTED, GONE = SupplyState.ON_SHELF, SupplyState.FITTED, SupplyState.GONE
PLEDGED, ON_ORDER = SupplyState.PLEDGED, SupplyState.ON_ORDER


def test_each_state_of_a_unit_has_a_mark() -> None:
    assert set(MARKS) == set(SupplyState)
    assert set(SupplyState) - {FITTED, GONE} == USABLE


@pytest.mark.parametrize(
    ("units", "state"),
    [([], GONE), ([PLEDGED, GONE], PLEDGED), ([PLEDGED, ON_SHELF], ON_SHELF), ([FITTED], FITTED)],
)
def test_the_furthest_unit_speaks_for_the_pledge(
    units: list[SupplyState], state: SupplyState
) -> None:
    assert furthest(units) is state


@pytest.mark.parametrize(
    ("units", "on_the_road", "ended", "sentence"),
    [
        ([PLEDGED], 0, PledgeState.INTENDED, "Promised: we wait for it."),
        ([ON_ORDER], 0, PledgeState.INTENDED, "Promised: we wait for it."),
        ([PLEDGED, ON_SHELF], 0, PledgeState.ARRIVED, "Received: it lies on our shelf."),
        ([ON_SHELF, FITTED], 0, PledgeState.ARRIVED, "1 of 2 fitted."),
        ([FITTED], 1, PledgeState.ARRIVED, "Your alternator put a car back on the road."),
        (
            [FITTED, FITTED],
            2,
            PledgeState.ARRIVED,
            "2 cars are back on the road with what you gave.",
        ),
        ([], 0, PledgeState.EXPIRED, "It ran out before it was handed over."),
        ([], 0, PledgeState.TAKEN_BACK, "Taken back."),
    ],
)
def test_what_became_of_a_pledge_is_one_sentence(
    units: list[SupplyState], on_the_road: int, ended: PledgeState, sentence: str
) -> None:
    said = what_became("alternator", units, on_the_road=on_the_road, ended=ended)
    assert str(said) == sentence
