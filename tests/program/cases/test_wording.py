from __future__ import annotations

from program.cases.wording import PLAIN, SERVED
from program.households.stages import Stage
from vehicles.custody.conditions import Step


def test_each_place_of_a_car_that_is_served_has_its_words() -> None:
    lost = {Step.RETURNED_UNREPAIRED, Step.SCRAPPED, Step.ABANDONED}
    assert set(SERVED) == set(Step) - lost


def test_the_stages_that_need_no_other_fact_have_their_words() -> None:
    reckoned = {Stage.ACCEPTED, Stage.WAITING, Stage.BEING_SERVED, Stage.BACK_ON_ROAD}
    assert set(PLAIN) == set(Stage) - reckoned
