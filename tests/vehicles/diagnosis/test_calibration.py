"""Whether what was said came true."""

from __future__ import annotations

from math import log2
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.calibration import (
    MOST_BITS,
    MOST_CARS,
    Forecast,
    bins,
    review,
    scores,
    wilson,
)
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.inference import believe
from vehicles.diagnosis.learning import Car, learn


def a_car(*causes: str, **seen: str) -> Car:
    return Car(causes=frozenset(causes), seen=tuple(seen.items()))


def one_of(right: str, **said: float) -> Forecast:
    return Forecast(said=said, right=frozenset({right}), is_one=True)


@pytest.mark.parametrize(
    ("right", "count", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_an_interval_is_the_one_of_the_published_table(
    right: int, count: int, low: float, high: float
) -> None:
    """Newcombe 1998, Statistics in Medicine 17, table I, score without correction; from memory."""
    assert [round(end, 4) for end in wilson(right, count)] == [low, high]


@pytest.mark.parametrize(("right", "count"), [(0, 1), (1, 1), (7, 9), (50, 400)])
def test_an_interval_is_the_one_of_an_independent_library(right: int, count: int) -> None:
    stats = pytest.importorskip("scipy.stats", reason="scipy of requirements-oracles.txt is absent")
    theirs = stats.binomtest(right, count).proportion_ci(method="wilson")
    assert wilson(right, count) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


@pytest.mark.parametrize(("right", "count"), [(0, 0), (3, 2), (-1, 2)])
def test_more_right_than_counted_is_no_share(right: int, count: int) -> None:
    with pytest.raises(ValueError, match=rf"^{right} of {count} is no share\.$"):
        wilson(right, count)


@pytest.mark.parametrize(
    ("said", "right", "published"),
    [(1.0, {"rain"}, 0.0), (0.7, {"rain"}, 0.09), (0.3, {"rain"}, 0.49), (0.5, set(), 0.25)],
)
def test_the_squared_miss_of_rain_is_the_published_one(
    said: float, right: set[str], published: float
) -> None:
    """The usual worked example of the Brier score, one event; from memory."""
    found = Forecast(said={"rain": said}, right=frozenset(right), is_one=False)
    assert found.brier == pytest.approx(published)


def test_of_several_classes_the_squared_misses_add_up() -> None:
    """Brier 1950: the sum runs over all classes, so that a sure miss costs 2."""
    assert one_of("fan", hose=1.0, fan=0.0).brier == 2
    assert one_of("fan", hose=0.2, fan=0.7, cap=0.1).brier == pytest.approx(0.04 + 0.09 + 0.01)


def test_surprise_counts_the_halvings_of_what_was_said() -> None:
    assert one_of("fan", hose=0.75, fan=0.25).bits == 2
    assert one_of("fan", hose=0.0, fan=1.0).bits == 0


def test_a_cause_that_was_excluded_costs_so_many_bits() -> None:
    assert one_of("fan", hose=1.0, fan=0.0).bits == MOST_BITS


def test_where_several_may_be_there_an_absent_one_surprises_too() -> None:
    said = {"hose": 0.5, "cap": 0.25}
    found = Forecast(said=said, right=frozenset({"hose"}), is_one=False)
    assert found.bits == pytest.approx(1 - log2(0.75))


def test_scores_are_means_over_cars_and_zero_without_any() -> None:
    both = scores([one_of("fan", hose=0.5, fan=0.5), one_of("fan", hose=0.0, fan=1.0)])
    assert (both.cars, both.bits, both.brier) == (2, 0.5, 0.25)
    assert (scores([]).cars, scores([]).bits) == (0, 0.0)


def test_a_bin_holds_what_was_said_and_how_often_it_came_true() -> None:
    found = bins([(0.72, True), (0.78, False), (1.0, True), (0.0, False)])
    assert [(one.low, one.said, one.right, one.count) for one in found] == [
        (0.0, 0.0, 0, 1),
        (0.7, 0.75, 1, 2),
        (0.9, 1.0, 1, 1),
    ]
    assert found[1].interval == wilson(1, 2)
    assert found[1].share == 0.5


@given(st.lists(st.tuples(st.floats(0, 1), st.booleans()), max_size=60))
def test_each_forecast_is_in_one_bin_that_holds_it(pairs: list[tuple[float, bool]]) -> None:
    found = bins(pairs)
    assert sum(one.count for one in found) == len(pairs)
    assert sum(one.right for one in found) == sum(came for _, came in pairs)
    for one in found:
        assert one.low - 1e-9 <= one.said <= one.high + 1e-9
        assert one.interval[0] <= one.share <= one.interval[1]


def test_a_car_never_teaches_its_own_forecast() -> None:
    cars = [a_car("hose", level="empty"), a_car("fan"), a_car("fan", **{"fan-runs": "yes"})]
    found = review(a_model(), cars, 5)
    others = learn(a_model(), cars[:2], 5).model
    belief = believe(others, {"fan-runs": "yes"})
    assert found.learned[2].said == pytest.approx({**belief.root, "": belief.unlisted})
    assert found.learned[2].right == {"fan"}


def test_the_shipped_figures_forecast_the_same_cars() -> None:
    found = review(a_model(), [a_car("hose", level="empty"), a_car("fan")], 5)
    belief = believe(a_model(), {"level": "empty"})
    assert found.shipped[0].said == {**belief.root, "": belief.unlisted}
    assert len(found.shipped) == len(found.learned) == 2


def test_a_single_car_is_forecast_by_the_shipped_figures_alone() -> None:
    found = review(a_model(), [a_car("hose", level="low")], 5)
    assert found.learned == found.shipped


def test_a_car_with_two_roots_is_not_forecast_where_the_model_has_one() -> None:
    assert review(a_model(), [a_car("fan", "hose")], 5).learned == ()


def test_a_car_that_shows_what_the_model_excludes_is_counted_apart() -> None:
    sure = a_check(sound=(1.0, 0.0), given={"hose": (1.0, 0.0)})
    model = a_model([a_fault("hose", 0.6), a_fault("fan", 0.4)], [sure])
    found = review(model, [a_car("hose", level="yes")], 5)
    assert (found.learned, found.contradicted) == ((), 1)


def test_a_check_that_the_model_has_no_longer_is_passed_over() -> None:
    found = review(a_model(), [a_car("hose", radio="on", level="half")], 5)
    assert found.learned[0].said["hose"] == pytest.approx(0.4)


def test_where_several_may_be_there_each_fault_is_forecast() -> None:
    model = a_model([a_fault("hose", 0.4), a_fault("fan", 0.1)], [a_check()], causes=Causes.SEVERAL)
    found = review(model, [a_car("hose", "fan"), a_car("")], 5)
    assert [sorted(one.right) for one in found.shipped] == [["fan", "hose"], []]
    assert found.shipped[0].said == pytest.approx({"hose": 0.4, "fan": 0.1})


def test_only_the_latest_cars_are_forecast() -> None:
    assert len(review(a_model(), [a_car("hose")] * (MOST_CARS + 5), 5).learned) == MOST_CARS


def test_two_complaints_are_taken_together() -> None:
    one, two = review(a_model(), [a_car("hose")], 5), review(a_model(), [a_car("fan")] * 2, 5)
    assert len(one.plus(two).learned) == 3


def test_where_the_garage_differs_its_own_cars_forecast_better() -> None:
    """Cars of a garage where thermostats fail thrice as often as shipped; seed 8."""
    chance = Random(8)
    truth = {"fan": 0.1, "hose": 0.2, "thermostat": 0.6, "gasket": 0.05, "": 0.05}
    roots = chance.choices(list(truth), list(truth.values()), k=150)
    found = review(a_model(), [a_car(root) for root in roots], 20)
    learned, shipped = scores(found.learned), scores(found.shipped)
    assert learned.bits < shipped.bits - 0.3
    assert learned.brier < shipped.brier - 0.1
