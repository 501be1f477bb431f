"""The pictures of a bare fault model."""

from __future__ import annotations

from dataclasses import replace

import pytest

from tests.vehicles.diagnosis.models import a_fault, a_model
from tests.vehicles.diagnosis.rows import HOT
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.modelfile import read
from vehicles.diagnosis.pictures import effect_bars, graph_of_model, shipped_bars


def rows(chart: object) -> list[list[str]]:
    return [[str(cell) for cell in row] for row in chart.rows]  # type: ignore[attr-defined]


def test_weights_stand_as_the_text_has_them_with_the_unlisted_last() -> None:
    assert rows(shipped_bars(a_model())) == [
        ["Hose", "40 in 100"],
        ["Fan", "30 in 100"],
        ["Thermostat", "20 in 100"],
        ["Gasket", "5 in 100"],
        ["Cause not listed", "5 in 100"],
    ]


def test_where_several_causes_may_be_nothing_is_unlisted() -> None:
    faults = [a_fault("fan", 0.3), a_fault("hose", 0.1)]
    model = a_model(faults, causes=Causes.SEVERAL)
    assert rows(shipped_bars(model)) == [["Fan", "30 in 100"], ["Hose", "10 in 100"]]


def test_the_effect_of_a_change_counts_what_faults_bring_about() -> None:
    """By hand: the hose brings the gasket about in 20 of 100, so 5 + 0.2 x 40 = 13 in 100."""
    before = a_model()
    hose, fan = before.fault("hose"), before.fault("fan")
    changed = {"hose": replace(hose, weight=0.5), "fan": replace(fan, weight=0.2)}
    after = replace(before, faults=tuple(changed.get(one.code, one) for one in before.faults))
    found = {row[0]: row[1:] for row in rows(effect_bars(before, after))}
    assert found["Gasket"] == ["15 in 100", "13 in 100"]
    assert found["Hose"] == ["50 in 100", "40 in 100"]


def test_a_fault_that_went_or_came_stands_at_nothing_on_the_other_side() -> None:
    before = read(HOT)
    other = HOT.replace("faults.hose", "faults.pipe").replace("hose = [", "pipe = [")
    after = read(other.replace("Hose leaks", "Pipe leaks").replace("names]\nhose", "names]\npipe"))
    found = {row[0]: row[1:] for row in rows(effect_bars(before, after))}
    assert found["Pipe leaks"] == ["40 in 100", "0 in 100"]
    assert found["Hose leaks"] == ["0 in 100", "40 in 100"]


def test_the_graph_has_the_faults_that_are_linked_and_no_others() -> None:
    chart = graph_of_model(a_model())
    assert chart is not None
    assert rows(chart) == [["Hose brings about Gasket", "20 in 100"]]
    said = {str(one.words) for one in chart.wide.shapes if one.words}
    assert said == {"Hose", "Gasket", "40 in 100", "13 in 100"}


def test_without_links_there_is_no_graph() -> None:
    assert graph_of_model(a_model([a_fault("hose", 1.0)])) is None


@pytest.mark.parametrize("phone", [True, False])
def test_the_graph_fits_a_page(*, phone: bool) -> None:
    chart = graph_of_model(a_model())
    assert chart is not None
    assert (chart.narrow if phone else chart.wide).width == (360 if phone else 960)
