"""What is typed about a fluid: a form asks only what its fluid asks, and refuses slips at once."""

from __future__ import annotations

from typing import Any
from uuid import UUID

import pytest

from tests.factories import make_intake
from tests.vehicles.fluids.rows import FLUIDS, say_maker
from vehicles.fluids.forms import DemandForm, PourForm, ReadForm
from vehicles.fluids.levels import Engine, Heat, Level, Look
from vehicles.fluids.values import Demand, Noted, Poured

OIL = FLUIDS["engine-oil"]
READ = {"level": "low", "looks": "clean", "engine": "off", "heat": "hot", "level_ground": "no"}
SAID = {"specification": "5W-30", "engine": "off", "heat": "unknown", "stick": "yes"}
POURED = {
    "reading": "3",
    "specification": "5W-30 API SP",
    "opened": "no",
    "typed": "1/2",
    "unit": "qt",
}
KEY = "3f0d2c7e-5a50-4d0c-9d0e-1f2a3b4c5d6e"


@pytest.mark.parametrize(
    ("fluid", "asked"),
    [
        ("engine-oil", ["engine", "heat", "level_ground", "missing_eighths"]),
        ("coolant", ["heat", "level_ground"]),
        ("brake", ["level_ground"]),
        ("washer", []),
    ],
)
def test_a_reading_asks_only_what_its_fluid_asks(fluid: str, asked: list[str]) -> None:
    always = {"level", "looks", "note", "client_key"}
    assert sorted(set(ReadForm(fluid=FLUIDS[fluid]).fields) - always) == asked


@pytest.mark.parametrize(
    ("fluid", "asked"),
    [
        ("engine-oil", ["between", "engine", "heat", "stick"]),
        ("manual", ["between", "heat"]),
        ("brake", []),
    ],
)
def test_of_the_maker_only_what_its_fluid_takes_is_asked(fluid: str, asked: list[str]) -> None:
    always = {"specification", "capacity", "source", "seen_id"}
    form = DemandForm(fluid=FLUIDS[fluid], rule=None)
    assert sorted(set(form.fields) - always) == asked


def test_a_reading_is_taken_over_as_typed() -> None:
    form = ReadForm(READ | {"missing_eighths": "3", "client_key": KEY}, fluid=OIL)
    assert form.is_valid()
    assert form.noted() == Noted(
        level=Level.LOW,
        look=Look.CLEAN,
        engine=Engine.OFF,
        heat=Heat.HOT,
        level_ground=False,
        missing_eighths=3,
        client_key=UUID(KEY),
    )


def test_without_a_level_nothing_is_taken_over() -> None:
    form = ReadForm({}, fluid=FLUIDS["brake"])
    assert not form.is_valid()
    assert sorted(form.errors) == ["level", "level_ground", "looks"]


def test_what_is_not_known_yet_of_the_maker_stays_open() -> None:
    form = DemandForm(SAID | {"between": "1 L", "source": "On the stick"}, fluid=OIL, rule=None)
    assert form.is_valid()
    assert form.demand() == Demand(
        specification="5W-30", engine=Engine.OFF, between="1 L", source="On the stick"
    )


@pytest.mark.django_db
def test_what_the_maker_says_is_shown_to_be_changed() -> None:
    rule = say_maker(make_intake(), heat=None, between="1 L")
    shown = DemandForm(fluid=OIL, rule=rule).initial
    assert (shown["engine"], shown["heat"], shown["stick"]) == ("off", "unknown", "yes")
    assert (shown["between"], shown["seen_id"]) == ("1 L", rule.pk)


def test_what_went_in_is_taken_over_as_typed() -> None:
    form = PourForm(POURED | {"client_key": KEY}, fluid=OIL)
    assert form.is_valid()
    assert form.poured() == Poured(
        reading=3,
        typed="1/2",
        unit="qt",
        specification="5W-30 API SP",
        opened=False,
        client_key=UUID(KEY),
    )


@pytest.mark.parametrize(
    ("typed", "unit", "said"),
    [
        ("-1", "qt", ["-1 qt is not an amount of a fluid. Type more than 0."]),
        ("9", "qt", ["9 qt is not possible here. Type at most 8 qt."]),
        ("9", "L", ["9 qt is not possible here. Type at most 8 qt."]),
        ("1 mm", "qt", ["A number in millimeters can't be turned into quarts."]),
        ("", "qt", ["Amount that went in: an answer is missing."]),
        ("8", "L", ["8 L is not possible here. Type at most 8 qt."]),
    ],
)
def test_an_amount_nobody_pours_in_is_refused_at_its_field(
    typed: str, unit: str, said: list[str]
) -> None:
    form = PourForm(POURED | {"typed": typed, "unit": unit}, fluid=OIL)
    assert not form.is_valid()
    assert dict(form.errors) == {"typed": said}


@pytest.mark.parametrize("change", [{"unit": "psi"}, {"opened": "maybe"}])
def test_an_answer_that_is_not_offered_is_refused(change: dict[str, Any]) -> None:
    form = PourForm(POURED | change, fluid=OIL)
    assert not form.is_valid()
    assert dict(form.errors) == {next(iter(change)): ["Choose one of the answers."]}


def test_of_washer_fluid_no_specification_is_asked() -> None:
    form = PourForm(POURED | {"specification": ""}, fluid=FLUIDS["washer"])
    assert form.is_valid()
