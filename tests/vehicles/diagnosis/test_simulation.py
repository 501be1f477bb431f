from __future__ import annotations

from collections import Counter
from functools import cache
from math import sqrt
from typing import TYPE_CHECKING, Any

import pytest

from tests.vehicles.diagnosis.enumeration import enumerate_all, random_model
from tests.vehicles.diagnosis.models import a_fault, a_model
from tests.vehicles.diagnosis.technicians import (
    CARS,
    SEED,
    a_car,
    any_car,
    gone_through,
    proving,
    some_cars,
    terms,
    two_faults,
)
from vehicles.diagnosis.complaints import load
from vehicles.diagnosis.conclusions import conclude
from vehicles.diagnosis.fault_model import (
    Causes,
    Damage,
    Effort,
)
from vehicles.diagnosis.inference import Reasoner
from vehicles.diagnosis.simulation import (
    Bill,
    Car,
    Trial,
    drawn_car,
    is_right,
    misread,
    run,
    try_out,
)
from vehicles.diagnosis.textbook import Technician, Way

if TYPE_CHECKING:
    from collections.abc import Callable


SEVERAL = ("brake-noise", "lamps-wiring")
ONE = ("charging", "no-start", "overheats", "soft-pedal", "stalls")


def with_two(car: Car) -> bool:
    return len(car.present) > 1


@cache
def trial(code: str, fits: Callable[[Car], bool] = any_car) -> Trial:
    model = load()[code]
    return try_out(model, terms(), some_cars(model, fits))


def assert_advice_is_no_longer_than_the_textbook(tried: Trial) -> None:
    """Fewer checks in the mean; dollars and conclusions no worse than chance explains."""
    advised, textbook = tried.tally(Way.ADVISED), tried.tally(Way.TEXTBOOK)
    saved = tried.saved(Way.TEXTBOOK)
    assert advised.checks <= textbook.checks - 1
    assert saved.dollars >= -2 * saved.error
    assert advised.right >= textbook.right - 1.5 / len(tried.cars)


@pytest.mark.parametrize("code", ONE)
def test_advice_finds_the_cause_with_fewer_checks_than_the_textbook(code: str) -> None:
    tried = trial(code)
    assert_advice_is_no_longer_than_the_textbook(tried)
    assert tried.tally(Way.ADVISED).right >= 0.9
    # Taking the first proof for the cause blames what is sound much more often.
    assert tried.tally(Way.PROOF).wrong >= tried.tally(Way.ADVISED).wrong + 0.2
    assert tried.saved(Way.PROOF).dollars > 0


@pytest.mark.parametrize("code", SEVERAL)
def test_of_two_faults_at_once_both_are_found_with_fewer_checks(code: str) -> None:
    tried = trial(code, with_two)
    assert_advice_is_no_longer_than_the_textbook(tried)
    # These thirty are hard, by the textbook too; of 480 of other seeds 93 in 100 ended right.
    assert tried.tally(Way.ADVISED).right >= 0.7
    advised = zip(tried.cars, tried.runs[Way.ADVISED], strict=True)
    assert all(car.present == set(done.found) for car, done in advised if not done.handed_over)


def test_with_one_reading_wrong_most_cars_still_end_right() -> None:
    model = load()["no-crank"]
    advised, textbook = (Technician(model, way, terms()) for way in (Way.ADVISED, Way.TEXTBOOK))
    ends = []
    for number in range(4 * CARS):
        car = misread(model, drawn_car(model, SEED, number), SEED, number)
        done = run(advised, car)
        if car.misread in done.checks:
            ends.append((is_right(car, done), len(done.checks), len(run(textbook, car).checks)))
    rights, checks, of_the_textbook = (
        sum(column) / len(ends) for column in zip(*ends, strict=True)
    )
    assert len(ends) >= CARS
    assert rights >= 0.85
    assert checks <= of_the_textbook


def test_where_the_cause_lies_upstream_it_is_found_and_stands_behind_what_it_did() -> None:
    model = load()["charging"]
    reasoner, technician = Reasoner(model), Technician(model, Way.ADVISED, terms())
    linked, cars = 0, some_cars(model, with_two)
    for car in cars:
        done = run(technician, car)
        assert done.found[-1] == car.root
        observed = done.state.observed
        chains = conclude(model, reasoner.believe(observed), observed).chains
        linked += any(
            car.root in one.look_for or (len(one.faults) > 1 and one.root == car.root)
            for one in chains
        )
    assert linked >= 10
    assert_advice_is_no_longer_than_the_textbook(try_out(model, terms(), cars))


@pytest.mark.slow
@pytest.mark.parametrize("code", sorted(load()))
def test_no_shipped_model_needs_more_checks_as_advised_than_in_its_own_order(code: str) -> None:
    tried = try_out(load()[code], terms(), some_cars(load()[code]))
    saved = tried.saved(Way.TEXTBOOK)
    assert saved.checks > 0
    assert saved.dollars >= -3 * saved.error


@pytest.mark.slow
def test_two_steps_ahead_cost_no_more_than_one() -> None:
    model = load()["overheats"]
    cars = some_cars(model)
    two = try_out(model, terms(), cars, steps=2).tally(Way.ADVISED)
    assert two.dollars <= trial("overheats").tally(Way.ADVISED).dollars + 5


def test_a_number_of_a_seed_is_always_the_same_car() -> None:
    model = load()["overheats"]
    assert drawn_car(model, 7, 3) == drawn_car(model, 7, 3)
    assert len({drawn_car(model, 7, number).root for number in range(60)}) > 8
    first = try_out(model, terms(), some_cars(model, wanted=5))
    assert first == try_out(model, terms(), some_cars(model, wanted=5))


@pytest.mark.parametrize("causes", Causes)
def test_cars_are_drawn_as_often_as_the_model_says(causes: Causes) -> None:
    model = random_model(3, causes, faults=4, checks=4)
    cars = [drawn_car(model, SEED, number) for number in range(4000)]
    whole = enumerate_all(model, {})
    for fault, p in whole.present.items():
        assert near(sum(fault in car.present for car in cars), p)
    for check in model.checks:
        seen = Counter(car.outcomes[check.code] for car in cars)
        for outcome in check.outcomes:
            p = enumerate_all(model, {check.code: outcome.code}).evidence
            assert near(seen[outcome.code], p)
    unlisted = sum(not car.is_listed for car in cars)
    assert near(unlisted, whole.unlisted)


def near(count: int, p: float, cars: int = 4000) -> bool:
    """Return whether a count is within four standard deviations of what is expected."""
    return abs(count - cars * p) <= 4 * sqrt(cars * p * (1 - p)) + 1e-9


def test_a_setup_is_paid_once_and_what_a_check_breaks_on_this_car_too() -> None:
    warm: dict[str, Any] = {"setups": ("warm",), "effort": Effort(minutes=10, cents=1_00)}
    breaks = (Damage(fault="hose", cents=50_00, because="It bursts."),)
    model = two_faults(proving(**warm), proving("leaks", "hose", damages=breaks, **warm))
    car = a_car("hose", root="hose", spins="no", leaks="yes")
    done = gone_through(model, Way.PROOF, car)
    # 15 minutes of warming up, twice 10, 20 to get there, 60 to repair it.
    assert done.bill == Bill(minutes=115, cents=72_00, damage=50_00)
    assert (done.checks, done.found, done.blamed) == (("spins", "leaks"), ("hose",), ())


def test_a_sound_part_that_was_blamed_is_paid_for_and_the_search_goes_on() -> None:
    model = two_faults(proving(), proving("leaks", "hose"))
    car = a_car("hose", root="hose", spins="yes", leaks="yes")
    for way in Way:
        done = gone_through(model, way, car)
        assert (done.found, done.blamed, done.handed_over) == (("hose",), ("fan",), False)
        assert not is_right(car, done)
    assert done.bill == Bill(minutes=180, cents=40_00)


def test_what_is_not_listed_ends_with_the_specialist_and_is_right() -> None:
    model = two_faults(proving(), unlisted=0.5)
    car = a_car(spins="no")
    done = gone_through(model, Way.PROOF, car)
    assert done.bill == Bill(minutes=10 + 30, cents=300_00)
    assert (done.handed_over, is_right(car, done)) == (True, True)
    assert not is_right(a_car("hose", root="hose", spins="no"), done)


def test_the_repair_of_what_the_root_brought_about_is_left_out_of_the_bill() -> None:
    model = a_model(
        [a_fault("fan", 0.5), a_fault("hose", 0.5, caused_by={"fan": 0.5})],
        [proving("leaks", "hose"), proving()],
    )
    car = a_car("fan", "hose", root="fan", leaks="yes", spins="yes")
    done = gone_through(model, Way.PROOF, car)
    assert done.found == ("hose", "fan")
    assert done.bill == Bill(minutes=10 + 20 + 10 + 20 + 60, cents=20_00)


def test_a_misread_check_shows_something_else_and_all_others_stay() -> None:
    model = load()["overheats"]
    for number in range(20):
        car = drawn_car(model, SEED, number)
        other = misread(model, car, SEED, number)
        differing = [code for code, seen in car.outcomes.items() if other.outcomes[code] != seen]
        assert differing == [other.misread]


def test_without_cars_nothing_is_tried() -> None:
    with pytest.raises(ValueError, match=r"^Without cars nothing can be tried\.$"):
        try_out(a_model(), terms(), [])
