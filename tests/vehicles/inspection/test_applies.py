"""Which points a car has: what is not known hides nothing, what is known leaves out."""

from __future__ import annotations

from dataclasses import fields, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.inspection.applies import (
    applies,
    equipment,
    how_to_read,
    lacked,
    places,
    stands_in_the_way,
)
from vehicles.inspection.catalogue import load
from vehicles.intake.car import Brake, CarFacts, Fuel

CATALOGUE = load()
CRITERIA = CATALOGUE.criteria.values()
DRUMS = CarFacts(year=2011, fuel=Fuel.GASOLINE, front_brakes=Brake.DISC, rear_brakes=Brake.DRUM)

cars = st.builds(
    CarFacts,
    year=st.none() | st.integers(1950, 2030),
    fuel=st.none() | st.sampled_from(Fuel),
    front_brakes=st.none() | st.sampled_from(Brake),
    rear_brakes=st.none() | st.sampled_from(Brake),
    power_brakes=st.none() | st.booleans(),
)


def test_pads_are_read_where_there_are_discs() -> None:
    pads = CATALOGUE["brake-pads"]
    assert places(pads, DRUMS) == ("LF-inner", "LF-outer", "RF-inner", "RF-outer")
    assert places(pads, CarFacts()) == pads.positions
    assert applies(CATALOGUE["brake-shoes"], DRUMS)
    assert not applies(CATALOGUE["brake-shoes"], replace(DRUMS, rear_brakes=Brake.DISC))


def test_a_center_stop_lamp_is_asked_from_1986_on() -> None:
    # 49 CFR 571.108, on cars built from September 1985 (seen in a court's summary).
    lamps = CATALOGUE["stop-lamps"]
    assert places(lamps, CarFacts(year=1984)) == ("left", "right")
    assert places(lamps, CarFacts(year=1986)) == ("left", "right", "center")


@pytest.mark.parametrize(
    ("code", "fuel", "has"),
    [
        ("hv-system", Fuel.HYBRID, True),
        ("hv-system", Fuel.GASOLINE, False),
        ("engine-oil", Fuel.ELECTRIC, False),
        ("fuel", Fuel.ELECTRIC, False),
        ("diesel-smoke", Fuel.DIESEL, True),
        ("catalyst", Fuel.DIESEL, False),
        ("brake-vacuum", Fuel.GASOLINE, False),
    ],
)
def test_fuel_decides_what_belongs_to_the_engine(code: str, fuel: Fuel, *, has: bool) -> None:
    assert applies(CATALOGUE[code], CarFacts(fuel=fuel)) is has


def test_what_cars_here_do_not_have_is_not_asked() -> None:
    asked = {one.code for one in CRITERIA if applies(one, CarFacts())}
    assert asked == {one.code for one in CRITERIA if one.fitted_us}


@given(cars, st.sampled_from([field.name for field in fields(CarFacts)]))
def test_knowing_less_never_hides_a_place(car: CarFacts, fact: str) -> None:
    vaguer = replace(car, **{fact: None})
    for criterion in CRITERIA:
        assert set(places(criterion, car)) <= set(places(criterion, vaguer))


def test_lacking_equipment_with_a_substitute_leaves_the_point_to_be_read() -> None:
    tread = CATALOGUE["tire-tread"]
    assert how_to_read(tread, ["Tread depth gauge"]) == tread.substitute
    assert how_to_read(tread) == tread.method
    assert stands_in_the_way(tread, ["tread depth gauge"])


def test_lacking_equipment_without_a_substitute_does_not_stand_in_the_way() -> None:
    gas = CATALOGUE["exhaust-gas"]
    assert stands_in_the_way(gas)
    assert not stands_in_the_way(gas, ["exhaust gas analyzer"])
    assert how_to_read(gas, ["exhaust gas analyzer"]) == gas.method


def test_one_of_several_tools_lacking_is_named() -> None:
    reserve = CATALOGUE["brake-reserve"]
    assert reserve.equipment_names == ("ruler", "pedal force gauge")
    assert lacked(reserve, ["pedal force gauge", "hoist"]) == ("pedal force gauge",)


def test_a_point_of_which_another_says_the_same_need_not_be_read() -> None:
    # 49 CFR 570.5(d): the brake tester or the stop from 20 mph (memory); 570.7(a): one wheel size.
    assert stands_in_the_way(CATALOGUE["brake-balance-front"])
    assert not stands_in_the_way(CATALOGUE["brake-balance-front"], read=["brake-stop"])
    assert not stands_in_the_way(CATALOGUE["steering-lash-22"], read=["steering-lash-16"])
    assert stands_in_the_way(CATALOGUE["tire-tread"], read=["tire-wear"])


def test_what_reads_another_point_more_closely_never_stands_in_the_way() -> None:
    details = {one.code for one in CRITERIA if one.detail_of}
    assert details == {"tire-tread-across", "tire-wear-across"}
    assert not any(stands_in_the_way(CATALOGUE[code]) for code in details)


def test_what_cars_here_do_not_have_never_stands_in_the_way() -> None:
    assert not stands_in_the_way(CATALOGUE["emergency-call"])


def test_equipment_is_listed_once_in_the_order_of_the_alphabet() -> None:
    names = equipment(CRITERIA)
    assert list(names) == sorted(set(names))
    assert {"brake tester", "micrometer", "scan tool", "voltmeter"} <= set(names)


def test_no_safety_point_drops_out_for_want_of_a_common_tool() -> None:
    """A hand tool, or the nose, does where the gauge is lacking."""
    for code in ("wheel-nuts", "brake-pads", "brake-shoes", "tire-tread", "exhaust-fumes"):
        assert stands_in_the_way(CATALOGUE[code], equipment(CRITERIA)), code
