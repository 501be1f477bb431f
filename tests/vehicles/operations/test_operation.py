from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.intake.car import Brake, CarFacts, Fuel
from vehicles.operations.operation import (
    Applies,
    Clears,
    Operation,
    Per,
    Points,
    UsualPart,
    in_words,
    where,
)
from vehicles.shop.systems import System

CORNERS = ("LF", "RF", "LR", "RR")


def make_operation(**fields: object) -> Operation:
    plain: dict[str, object] = {
        "code": "hub",
        "title": "Replace wheel hub and bearing",
        "system": System.WHEELS,
        "per": Per.PLACE,
        "minutes": Points(low=60, likely=90, high=150),
        "shared_minutes": 20,
        "positions": CORNERS,
    }
    return Operation(**(plain | fields))  # type: ignore[arg-type]


def make_part(**fields: object) -> UsualPart:
    plain: dict[str, object] = {
        "kind": "wheel_hub",
        "title": "Wheel hub",
        "quantity": 1,
        "per_place": True,
        "unit": "each",
        "price": Points(low=50_00, likely=80_00, high=120_00),
        "source": "guess",
    }
    return UsualPart(**(plain | fields))  # type: ignore[arg-type]


def test_what_two_places_share_counts_once() -> None:
    assert make_operation().minutes_for(2) == Points(low=100, likely=160, high=280)
    assert make_operation().minutes_for(1) == Points(low=60, likely=90, high=150)


@given(st.integers(1, 4))
def test_minutes_stay_in_order_on_any_number_of_places(places: int) -> None:
    points = make_operation(shared_minutes=60).minutes_for(places)
    assert (points.low, points.high) == (60, 60 + 90 * places)


def test_a_job_per_axle_asks_the_same_for_one_side_found_as_for_two() -> None:
    pads = make_operation(per=Per.AXLE)
    assert pads.minutes_for(1) == pads.minutes_for(2) == pads.minutes


def test_more_minutes_shared_than_there_are_is_refused() -> None:
    sentence = r"^The minutes shared by several places are more than the low ones\.$"
    with pytest.raises(ValueError, match=sentence):
        make_operation(shared_minutes=61)


def test_points_out_of_order_are_refused() -> None:
    with pytest.raises(ValueError, match=r"^9, 5, 7 don’t go from low over likely to high\.$"):
        Points(low=9, likely=5, high=7)


def test_parts_are_counted_by_place_or_by_job() -> None:
    hub = make_operation()
    assert hub.quantity_for(make_part(quantity=2), 2) == 4
    assert hub.quantity_for(make_part(quantity=2, per_place=False), 2) == 2


def test_work_done_elsewhere_is_paid_for_each_place() -> None:
    assert make_operation(sublet_cents=100_00).sublet_for(2) == 200_00
    assert make_operation(sublet_cents=100_00, per=Per.CAR).sublet_for(2) == 100_00


@pytest.mark.parametrize(
    ("served", "position", "places"),
    [
        (CORNERS, "LF-inner", ("LF",)),
        (CORNERS, "RR", ("RR",)),
        (CORNERS, "front", ("LF", "RF")),
        (("LR", "RR"), "left", ("LR",)),
        (CORNERS, "left", None),
        (("LF", "RF"), "RR", None),
        (("LF", "RF"), "rear", None),
        (("LF", "rear"), "rear", ("rear",)),
        (("driver", "rear-left"), "rear-left", ("rear-left",)),
        ((), "hood", ()),
        (CORNERS, "", ()),
    ],
)
def test_a_position_is_read_as_a_place_of_the_operation(
    served: tuple[str, ...], position: str, places: tuple[str, ...] | None
) -> None:
    assert make_operation(positions=served).served(position) == places


def test_places_of_an_axle_are_one_group() -> None:
    assert make_operation().group(["LF", "RF"]) == make_operation().group(["RF"]) == "front"
    assert make_operation(per=Per.CAR).group(["LF"]) == ""


def test_a_job_for_one_axle_is_at_that_axle_even_where_no_place_is_told() -> None:
    assert make_operation(per=Per.AXLE, positions=("LR", "RR")).group([]) == "rear"
    assert make_operation(per=Per.AXLE).group([]) == ""


def test_a_reason_is_cleared_where_it_is_named_or_all_are() -> None:
    named = Clears(criterion="tail", title="Tail lamps", reasons=frozenset({"4.2.1 a"}))
    whole = Clears(criterion="plate", title="Plate lamp")
    lamp = make_operation(clears=(named, whole))
    assert lamp.clears_what("tail", " 4.2.1  a") == named
    assert lamp.clears_what("tail", "4.2.1 b") is None
    assert lamp.clears_what("tail", "") is None
    assert lamp.clears_what("plate", "") == whole


@pytest.mark.parametrize(
    ("applies", "fits", "not_fits"),
    [
        (Applies.FRONT_DISC, CarFacts(front_brakes=Brake.DISC), CarFacts(front_brakes=Brake.DRUM)),
        (Applies.REAR_DISC, CarFacts(rear_brakes=Brake.DISC), CarFacts(rear_brakes=Brake.DRUM)),
        (Applies.REAR_DRUM, CarFacts(rear_brakes=Brake.DRUM), CarFacts(rear_brakes=Brake.DISC)),
        (Applies.POWER_BRAKES, CarFacts(power_brakes=True), CarFacts(power_brakes=False)),
        (Applies.ENGINE, CarFacts(fuel=Fuel.DIESEL), CarFacts(fuel=Fuel.ELECTRIC)),
        (Applies.GASOLINE, CarFacts(fuel=Fuel.PLUG_IN), CarFacts(fuel=Fuel.DIESEL)),
        (Applies.HIGH_VOLTAGE, CarFacts(fuel=Fuel.HYBRID), CarFacts(fuel=Fuel.GASOLINE)),
        (Applies.NO_HIGH_VOLTAGE, CarFacts(fuel=Fuel.GASOLINE), CarFacts(fuel=Fuel.HYBRID)),
    ],
)
def test_an_operation_fits_the_car_unless_something_known_speaks_against_it(
    applies: Applies, fits: CarFacts, not_fits: CarFacts
) -> None:
    operation = make_operation(applies=(applies,))
    found = [operation.fits(one) for one in (fits, not_fits, CarFacts())]
    assert found == [True, False, True]
    assert applies.holds(CarFacts()) is None


def test_each_condition_has_its_words() -> None:
    assert len({one.label for one in Applies}) == len(Applies)


def test_places_are_told_as_the_trade_says_them() -> None:
    assert where("LR-leading") == "rear left leading"
    assert in_words(["RR", "LR"]) == "rear left and right"
    assert in_words(["right", "left"]) == "left and right"
    assert in_words(["rear-center"]) == "rear center"
