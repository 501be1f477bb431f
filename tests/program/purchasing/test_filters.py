"""Narrowing the list of needs."""

from __future__ import annotations

from typing import Any

import pytest

from program.purchasing.filters import NeedFilter
from program.purchasing.queries import LOOK_UP, Asking, NeedRow
from program.purchasing.stages import Stage
from tests.factories import make_item, make_need
from vehicles.repairs.prerequisites import Costed
from vehicles.repairs.states import NeedState

pytestmark = pytest.mark.django_db


def row(**fields: Any) -> NeedRow:
    defaults: dict[str, Any] = {
        "stage": Stage.OPEN,
        "kept": 0,
        "case": "26-043",
        "held": None,
        "asking": Asking(),
    }
    need = fields.pop("need", None) or make_need()
    return NeedRow(need=need, **defaults | fields)


def count(asked: dict[str, str], *rows: NeedRow) -> int:
    return len(NeedFilter(asked).narrowed(rows))


def test_without_a_question_all_are_shown() -> None:
    assert count({}, row(), row(stage=Stage.KEPT)) == 2


def test_a_stage_shows_what_stands_there() -> None:
    assert count({"stage": "kept"}, row(), row(stage=Stage.KEPT)) == 1


def test_what_somebody_has_to_ask_and_what_a_gate_holds_are_shown_alone() -> None:
    gate = Costed(id=1, title="Head gasket", tier=1, likely_cents=900_00)
    rows = row(), row(asking=Asking(what=(LOOK_UP,))), row(held=gate)
    assert (count({"stage": "ask"}, *rows), count({"stage": "held"}, *rows)) == (1, 1)


@pytest.mark.parametrize(
    ("typed", "shown"), [("26-043", 2), ("corolla RADIATOR", 1), ("hose", 1), ("26-9", 0)]
)
def test_words_are_looked_for_in_case_car_part_and_job(typed: str, shown: int) -> None:
    hose = make_need(item=make_item(title="Hose"), title="Hose")
    assert count({"q": typed}, row(), row(need=hose)) == shown


def test_a_system_shows_its_parts() -> None:
    assert count({"system": "brakes"}, row(), row(need=make_need(system="brakes"))) == 1


def test_a_choice_that_is_not_there_is_said_and_narrows_nothing() -> None:
    asked = NeedFilter({"stage": "lost", "q": "x" * 61})
    assert set(asked.form.errors) == {"stage", "q"}
    assert len(asked.narrowed([row()])) == 1


def test_closed_needs_are_asked_of_the_database() -> None:
    assert NeedFilter({"stage": "fitted"}).closed is NeedState.FILLED
    assert NeedFilter({"stage": "withdrawn"}).closed is NeedState.WITHDRAWN
    assert NeedFilter({"stage": "open"}).closed is None
