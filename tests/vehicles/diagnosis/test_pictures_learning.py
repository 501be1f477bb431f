"""Learned weights and what came true, as pictures."""

from __future__ import annotations

from tests.vehicles.diagnosis.models import a_model
from vehicles.diagnosis.calibration import bins
from vehicles.diagnosis.learning import Car, learn
from vehicles.diagnosis.pictures import calibration_plot, weight_bars


def test_weights_stand_largest_first_with_their_cars_and_the_unlisted_last() -> None:
    cars = [Car(causes=frozenset({one})) for one in ("thermostat", "thermostat", "")]
    found = weight_bars(a_model(), learn(a_model(), cars, 7))
    assert [[str(cell) for cell in row] for row in found.rows] == [
        ["Thermostat", "34 in 100", "20 in 100", "2"],
        ["Hose", "28 in 100", "40 in 100", "0"],
        ["Fan", "21 in 100", "30 in 100", "0"],
        ["Gasket", "4 in 100", "5 in 100", "0"],
        ["Cause not listed", "14 in 100", "5 in 100", "1"],
    ]
    assert [str(head) for head in found.heads] == ["Fault", "Learned", "Shipped", "Cars"]
    assert "shipped" in [str(one.words) for one in found.wide.shapes]


def test_without_cars_there_is_no_diamond() -> None:
    found = weight_bars(a_model(), learn(a_model(), [], 7))
    assert "shipped" not in [str(one.words) for one in found.wide.shapes]


def test_a_dot_stands_where_said_and_came_true_meet() -> None:
    plot = calibration_plot(bins([(0.5, True), (0.5, False), (0.98, True)]))
    dots = [(one.x, one.y) for one in plot.wide.shapes if one.r]
    assert dots == [(46 + 150, 310 - 150), (46 + 294, 310 - 300)]
    assert [[str(cell) for cell in row] for row in plot.rows] == [
        ["50", "1 of 2", "50", "9 and 91"],
        ["98", "1 of 1", "100", "21 and 100"],
    ]
    assert str(plot.title) == (
        "Said and came true: said 50 in 100: came true 1 of 2 times; "
        "said 98 in 100: came true 1 of 1 times"
    )
