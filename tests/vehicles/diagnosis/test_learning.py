"""What cars whose repair held teach a fault model."""

from __future__ import annotations

from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.vehicles.diagnosis.enumeration import random_model, random_observations
from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.fault_model import (
    Causes,
    FaultModel,
    cumulative,
    net_cumulative,
    outcome_row,
)
from vehicles.diagnosis.inference import believe
from vehicles.diagnosis.learning import (
    FLOOR,
    Car,
    applied,
    causes_in,
    learn,
    learned_from,
    roots_of,
    tally,
    updated,
)
from vehicles.diagnosis.network import is_noisy

HOSE = frozenset({"hose"})


def a_car(*causes: str, **seen: str) -> Car:
    return Car(causes=frozenset(causes), seen=tuple(seen.items()))


def several(**fields: float) -> FaultModel:
    """Return two faults that may both be there, and one check that tells of both."""
    faults = [a_fault("hose", fields.get("hose", 0.4)), a_fault("cap", fields.get("cap", 0.2))]
    level = a_check(given={"hose": (0.2, 0.8), "cap": (0.6, 0.4)})
    return a_model(faults, [level], causes=Causes.SEVERAL)


def test_a_poll_of_three_candidates_gives_the_mean_of_the_textbook() -> None:
    """Gelman et al., Bayesian Data Analysis, 3rd ed., section 3.4; from memory.

    Of 1,447 asked in 1988, 727 were for Bush, 583 for Dukakis, 137 for others or none; the prior is
    uniform, so the posterior is Dirichlet(728, 584, 138).
    """
    even = {"bush": 1 / 3, "dukakis": 1 / 3, "other": 1 / 3}
    found = updated(even, {"bush": 727, "dukakis": 583, "other": 137}, worth=3)
    assert found == pytest.approx({"bush": 728 / 1450, "dukakis": 584 / 1450, "other": 138 / 1450})


@pytest.mark.parametrize(
    ("prior", "worth", "published"),
    [
        (0.500, 2, 0.446),
        (0.485, 2, 0.446),
        (0.485, 5, 0.446),
        (0.485, 10, 0.446),
        (0.485, 20, 0.447),
        (0.485, 100, 0.450),
        (0.485, 200, 0.453),
    ],
)
def test_437_girls_of_980_move_a_prior_as_far_as_the_textbook_says(
    prior: float, worth: int, published: float
) -> None:
    """Gelman et al., section 2.4, table 2.1; from memory.

    The table has medians; with so many births they are the means to its three digits.
    """
    counts = {"girl": 437, "boy": 980 - 437}
    found = updated({"girl": prior, "boy": 1 - prior}, counts, worth=worth)
    assert round(found["girl"], 3) == published


def test_a_mean_is_the_one_of_an_independent_library() -> None:
    stats = pytest.importorskip("scipy.stats", reason="scipy of requirements-oracles.txt is absent")
    shares, counts = {"a": 0.5, "b": 0.3, "c": 0.15, "d": 0.05}, {"a": 4, "b": 0, "c": 7, "d": 1}
    theirs = stats.dirichlet.mean([40 * share + counts[one] for one, share in shares.items()])
    ours = updated(shares, counts, worth=40)
    assert list(ours.values()) == pytest.approx(list(theirs), abs=1e-12)


def test_a_mean_is_the_one_of_brute_force_integration() -> None:
    """Prior times likelihood, summed over a fine grid of all shares of three causes."""
    shares, counts, worth, steps = (0.5, 0.3, 0.2), (2, 3, 1), 10, 400
    middle = (np.arange(steps) + 0.5) / steps
    one, two = np.meshgrid(middle, middle, indexing="ij")
    three = 1 - one - two
    inside = three > 0
    powers = [worth * share - 1 + n for share, n in zip(shares, counts, strict=True)]
    weight = np.where(inside, one ** powers[0] * two ** powers[1] * np.abs(three) ** powers[2], 0.0)
    by_grid = [float((weight * each).sum() / weight.sum()) for each in (one, two, three)]
    ours = updated(
        dict(zip("abc", shares, strict=True)), dict(zip("abc", counts, strict=True)), worth=worth
    )
    assert list(ours.values()) == pytest.approx(by_grid, abs=1e-4)


def test_without_a_car_the_shipped_figures_stand() -> None:
    model = a_model()
    assert learn(model, [], 100).model == model


def test_each_car_adds_one_to_its_root_cause() -> None:
    found = learn(a_model(), [a_car("fan"), a_car("fan"), a_car("hose")], 7)
    assert found.weights == pytest.approx(
        {"fan": 0.41, "hose": 0.38, "thermostat": 0.14, "gasket": 0.035, "": 0.035}
    )
    assert found.model.unlisted == pytest.approx(0.035)


def test_a_cause_that_is_not_listed_counts_there() -> None:
    found = learn(a_model(), [a_car("")], 19)
    assert found.weights[""] == pytest.approx(0.0975)


def test_a_fault_that_the_model_has_no_longer_counts_as_not_listed() -> None:
    assert causes_in(a_model(), a_car("hose", "radiator")) == {"hose", ""}


def test_what_a_root_brought_about_is_no_root() -> None:
    assert roots_of(a_model(), frozenset({"hose", "gasket"})) == HOSE


def test_a_car_with_two_roots_is_left_out_where_the_model_has_one() -> None:
    found = learn(a_model(), [a_car("fan", "hose"), a_car("hose")], 100)
    assert (found.cars, found.tally.left_out) == (1, 1)


def test_with_own_cars_alone_a_cause_never_seen_keeps_a_thousandth() -> None:
    found = learn(a_model(), [a_car("hose")] * 9 + [a_car("fan")], 0)
    rest = 1 - 3 * FLOOR
    assert found.weights == pytest.approx(
        {"fan": 0.1 * rest, "hose": 0.9 * rest, "thermostat": FLOOR, "gasket": FLOOR, "": FLOOR}
    )


def test_with_own_cars_alone_nothing_becomes_likelier_by_the_floor() -> None:
    assert updated({"a": 0.9999, "b": 0.0001}, {"a": 5}, worth=0) == {"a": 0.9999, "b": 0.0001}


def test_the_shipped_figures_count_for_no_negative_number_of_cars() -> None:
    with pytest.raises(
        ValueError, match=r"^The shipped weights can’t count for fewer than no cars\."
    ):
        learn(a_model(), [], -1)


def test_where_several_may_be_there_each_fault_learns_by_itself() -> None:
    found = learn(several(), [a_car("hose", "cap"), a_car("hose"), a_car("")], 7)
    assert found.weights == pytest.approx({"hose": 0.48, "cap": 0.24})


def test_a_fault_that_another_may_have_brought_about_teaches_nothing_of_itself() -> None:
    faults = [a_fault("hose", 0.4), a_fault("gasket", 0.1, caused_by={"hose": 0.5})]
    model = a_model(faults, [a_check()], causes=Causes.SEVERAL)
    found = learn(model, [a_car("hose", "gasket"), a_car("hose"), a_car("gasket")], 9)
    assert found.weights["gasket"] == pytest.approx((0.9 + 1) / 10)


def test_a_check_learns_from_the_one_cause_that_acts_on_it() -> None:
    found = learn(a_model(), [a_car("hose", level="empty"), a_car("fan", level="low")], 19)
    assert found.rows["level"]["hose"] == pytest.approx((0.095, 0.38, 0.525))
    assert found.rows["level"][""] == pytest.approx((0.855, 0.126, 0.019))
    assert found.model.check("level").given["hose"] == found.rows["level"]["hose"]
    assert found.model.check("level").sound == found.rows["level"][""]


def test_several_causes_that_act_on_a_check_teach_it_nothing() -> None:
    found = learn(a_model(), [a_car("hose", "gasket", level="empty", bubbles="yes")], 19)
    assert (list(found.rows), found.tally.mixed) == (["bubbles"], 1)


def test_an_unlisted_cause_teaches_no_check_where_there_is_one_cause() -> None:
    assert learn(a_model(), [a_car("", level="low")], 19).rows == {}


def test_a_car_without_listed_faults_teaches_what_a_sound_one_shows() -> None:
    found = learn(several(), [a_car("", level="yes")], 19)
    assert found.rows["level"][""] == pytest.approx((0.855, 0.145))


def test_an_outcome_that_the_check_has_no_longer_teaches_nothing() -> None:
    assert learn(a_model(), [a_car("hose", level="half", radio="on")], 9).rows == {}


def test_one_car_never_makes_an_outcome_impossible() -> None:
    found = learn(a_model(), [a_car("hose", level="empty")], 0)
    assert found.rows["level"]["hose"] == pytest.approx((1 / 11, 4 / 11, 6 / 11))


def test_where_several_act_a_learned_row_stays_a_noisy_max() -> None:
    """The cap shows “no” oftener than a sound car does after these, which no noisy-MAX can."""
    cars = [a_car("cap", level="no")] * 200 + [a_car("", level="yes")] * 5
    found = learn(several(), cars, 10)
    level = found.model.check("level")
    assert found.raised == (("level", "cap"),)
    assert level.given["cap"] == pytest.approx(level.sound)
    leak, net = cumulative(level.sound), net_cumulative(level.sound, level.given["cap"])
    assert outcome_row(level, {"cap"})[0] == pytest.approx(leak[0] * net[0])


def test_what_is_kept_in_a_row_gives_the_same_model_again() -> None:
    model = a_model()
    found = learn(model, [a_car("hose", level="empty"), a_car("fan", level="full")], 30)
    kept = {
        check: {of: list(row) for of, row in rows.items()} for check, rows in found.rows.items()
    }
    assert applied(model, found.weights, kept) == found.model


def test_a_car_taken_out_leaves_what_the_others_taught() -> None:
    cars = [a_car("hose", level="empty"), a_car("fan", level="full"), a_car("fan", "hose")]
    model = a_model()
    for place, car in enumerate(cars):
        others = tally(model, cars[:place] + cars[place + 1 :])
        assert learned_from(model, tally(model, cars).without(tally(model, [car])), 9) == (
            learned_from(model, others, 9)
        )


CARS = st.lists(
    st.builds(
        Car,
        causes=st.frozensets(
            st.sampled_from(["fan", "hose", "thermostat", "gasket", ""]), min_size=1, max_size=3
        ),
        seen=st.sampled_from([(), (("level", "low"),), (("level", "empty"), ("bubbles", "yes"))]),
    ),
    max_size=12,
)


@given(cars=CARS, worth=st.integers(0, 300), seed=st.integers(0, 99))
def test_the_order_of_the_cars_never_matters(cars: list[Car], worth: int, seed: int) -> None:
    mixed = cars.copy()
    Random(seed).shuffle(mixed)
    assert learn(a_model(), mixed, worth) == learn(a_model(), cars, worth)


@given(cars=CARS, worth=st.integers(0, 300))
def test_learned_weights_are_shares_of_one_and_rows_too(cars: list[Car], worth: int) -> None:
    found = learn(a_model(), cars, worth)
    assert sum(found.weights.values()) == pytest.approx(1, abs=1e-12)
    assert min(found.weights.values()) > 0
    for rows in found.rows.values():
        assert [sum(row) for row in rows.values()] == pytest.approx([1.0] * len(rows), abs=1e-12)


@given(cars=CARS, worth=st.integers(0, 300))
def test_a_learned_model_can_be_asked(cars: list[Car], worth: int) -> None:
    found = learn(a_model(), cars, worth)
    belief = believe(found.model, {})
    assert belief.root == pytest.approx(
        {code: p for code, p in found.weights.items() if code}, abs=1e-12
    )


@pytest.mark.parametrize("seed", range(20))
def test_after_learning_each_check_is_still_a_noisy_max_where_several_act(seed: int) -> None:
    model = random_model(seed, Causes.SEVERAL)
    chance = Random(seed)
    cars = [
        Car(
            causes=frozenset(chance.sample([one.code for one in model.faults], 1)),
            seen=tuple(random_observations(chance.randrange(999), model).items()),
        )
        for _ in range(30)
    ]
    found = learn(model, cars, 5)
    assert found.rows
    assert all(is_noisy(check) for check in found.model.checks)
