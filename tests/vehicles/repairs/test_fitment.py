from __future__ import annotations

from dataclasses import fields, replace
from typing import Any, TypeVar

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.say import say
from vehicles.repairs.fitment import (
    Answer,
    Car,
    Fit,
    Fitment,
    Part,
    System,
    fits,
    made_sure,
    serves,
)

Facts = TypeVar("Facts", Car, Fitment)
FITS, ASK, DOES_NOT_FIT = Answer.FITS, Answer.ASK, Answer.DOES_NOT_FIT
STRICT = [System.BRAKES, System.STEERING, System.RESTRAINT, System.TIRES]
FACTS = Fitment(make="Subaru", model="Forester", year_from=2009, year_to=2013)
FORESTER = Car(make="Subaru", model="Forester", year=2011, engine="2.5L")


def said(fit: Fit) -> tuple[Answer, str]:
    return fit.answer, str(fit.reason)


def make_part(kind: str = "radiator", system: System = System.COOLING, **stated: Any) -> Part:
    return Part(kind=kind, system=system, fitment=replace(FACTS, **stated))


def make_need(kind: str = "radiator", system: System = System.COOLING, **stated: Any) -> Part:
    return Part(kind=kind, system=system, fitment=Fitment.from_dict(stated))


def without(facts: Facts, name: str) -> Facts:
    [default] = [one.default for one in fields(facts) if one.name == name]
    change: dict[str, Any] = {name: default}
    return replace(facts, **change)


def test_a_part_for_the_car_fits_and_says_for_which() -> None:
    assert said(fits(make_part(), FORESTER)) == (FITS, "It is for a Subaru Forester.")


def test_a_difference_outweighs_what_would_have_to_be_asked() -> None:
    part = make_part(year_to=2010, transmission="manual")
    assert said(fits(part, FORESTER)) == (
        DOES_NOT_FIT,
        "It is for model years 2009 to 2010; the car is of 2011.",
    )


def test_a_part_that_says_nothing_is_asked_about() -> None:
    assert fits(Part(kind="radiator", system=System.COOLING), FORESTER).answer is ASK


def test_the_number_looked_up_by_vin_settles_what_would_be_asked() -> None:
    part = Part(kind="radiator", system=System.COOLING, fitment=Fitment(part_number="45111-SC0"))
    car = replace(FORESTER, part_numbers=(("radiator", "45111 sc0"),))
    assert said(fits(part, car)) == (FITS, "It has the part number of the car’s own: 45111-SC0.")


def test_the_same_number_overrides_no_difference_that_was_seen() -> None:
    part = make_part(year_to=2010, part_number="45111-SC0")
    car = replace(FORESTER, part_numbers=(("radiator", "45111SC0"),))
    assert fits(part, car).answer is DOES_NOT_FIT


@pytest.mark.parametrize(("system", "answer"), [(System.STEERING, ASK), (System.COOLING, FITS)])
def test_another_number_is_asked_about_where_the_work_is_strict(
    system: System, answer: Answer
) -> None:
    part = make_part("pump", system, part_number="X1")
    assert fits(part, replace(FORESTER, part_numbers=(("pump", "Y1"),))).answer is answer


def test_the_same_number_does_not_make_a_used_belt_new() -> None:
    belt = replace(make_part("seat_belt", System.RESTRAINT, part_number="B7"), used=True)
    car = replace(FORESTER, part_numbers=(("seat_belt", "B7"),))
    assert said(fits(belt, car)) == (DOES_NOT_FIT, "A used part of belts or airbags is not taken.")


def test_a_tire_is_judged_by_its_sidewall_and_not_by_the_name_of_the_car() -> None:
    tire = Part(
        kind="tire", system=System.TIRES, fitment=Fitment(tire_size="225/55R17", load_index=97)
    )
    car = replace(FORESTER, tire_size="225/55R17 97V")
    assert said(fits(tire, car)) == (ASK, "The tire’s speed symbol is not known.")


def test_a_tire_without_a_size_is_asked_about_even_for_the_right_car() -> None:
    assert fits(make_part("tire", System.TIRES), FORESTER).answer is ASK


def test_a_bulb_by_specification_for_another_car_does_not_fit() -> None:
    bulb = make_part("bulb_low_beam", System.LIGHTS, specification="H11", model="Outback")
    car = replace(FORESTER, specifications=(("bulb_low_beam", "H11"),))
    assert fits(bulb, car).answer is DOES_NOT_FIT


def test_another_kind_of_part_serves_no_need() -> None:
    assert said(serves(make_part(), make_need("water_pump"), FORESTER)) == (
        DOES_NOT_FIT,
        "It is another part.",
    )


def test_a_single_piece_does_not_serve_a_need_for_a_pair() -> None:
    need = make_need("brake_rotor", System.BRAKES, unit="pair")
    assert said(serves(make_part("brake_rotor", System.BRAKES), need, FORESTER)) == (
        DOES_NOT_FIT,
        "The unit offered is each, the unit needed is pair.",
    )


@pytest.mark.parametrize(
    ("offered", "needed", "system", "answer"),
    [
        ("front", "front left", System.BRAKES, FITS),
        ("rear", "front left", System.BRAKES, DOES_NOT_FIT),
        ("", "front", System.BRAKES, ASK),
        ("", "front", System.LIGHTS, FITS),
        ("left", "", System.LIGHTS, ASK),
    ],
)
def test_a_position_has_to_agree(offered: str, needed: str, system: System, answer: Answer) -> None:
    need = make_need("part", system, position=needed)
    assert serves(make_part("part", system, position=offered), need, FORESTER).answer is answer


def test_what_a_need_states_goes_before_what_is_known_of_the_car() -> None:
    need = make_need("battery", System.BATTERY, bci_group="35", cold_cranking_amps=550)
    offer = Part(
        kind="battery",
        system=System.BATTERY,
        fitment=Fitment(bci_group="35", cold_cranking_amps=640),
    )
    assert serves(offer, need, replace(FORESTER, bci_group="24F")).answer is FITS


def test_a_need_lends_its_application_to_a_car_of_which_nothing_is_known() -> None:
    need = make_need(make="Subaru", model="Forester", year_from=2011, year_to=2011)
    assert serves(make_part(), need, Car()).answer is FITS


def test_an_offer_can_not_make_itself_less_strict_than_the_work() -> None:
    offer = Part(
        kind="tie_rod_end",
        system=System.BODY,
        fitment=Fitment(make="Subaru", model="Forester"),
    )
    assert said(serves(offer, make_need("tie_rod_end", System.STEERING), FORESTER)) == (
        ASK,
        "The part does not say from which to which model year it fits.",
    )


def test_no_offer_fits_when_any_fact_that_it_rests_on_is_taken_away() -> None:
    for system in STRICT[:3]:
        for name in ("make", "model", "year_from", "year_to"):
            gone = without(FACTS, name)
            assert fits(Part(kind="part", system=system, fitment=gone), FORESTER).answer is ASK


FACT_NAMES = [one.name for one in fields(Car)]
TEXTS = st.sampled_from(["", "Subaru", "Forester", "2.5L", "manual", "225/55R17 97V", "35"])
STATED = st.builds(
    Fitment,
    make=TEXTS,
    model=TEXTS,
    engine=TEXTS,
    transmission=TEXTS,
    tire_size=TEXTS,
    bci_group=TEXTS,
    specification=TEXTS,
    year_from=st.none() | st.integers(2009, 2011),
    year_to=st.none() | st.integers(2010, 2013),
)
KNOWN = st.builds(
    Car,
    make=TEXTS,
    model=TEXTS,
    engine=TEXTS,
    transmission=TEXTS,
    tire_size=TEXTS,
    bci_group=TEXTS,
    year=st.none() | st.integers(2008, 2012),
)


@given(STATED, KNOWN, st.sampled_from(STRICT), st.sampled_from(FACT_NAMES))
def test_knowing_less_of_a_car_never_turns_a_no_or_an_ask_into_a_yes(
    stated: Fitment, car: Car, system: System, name: str
) -> None:
    part = Part(kind="part", system=system, fitment=stated)
    less = without(car, name)
    if fits(part, less).answer is FITS:
        assert fits(part, car).answer is FITS


def test_only_the_unit_that_a_person_looked_at_is_sure() -> None:
    car = Car(sure=(("radiator", "7"),))
    asked = Fit(answer=ASK, reason=say("The part does not say which make and model it is for."))
    assert made_sure(asked, 7, "radiator", car).answer is FITS
    assert [made_sure(asked, 8, "radiator", car), made_sure(asked, 7, "hose", car)] == [asked] * 2


def test_no_look_overrides_a_difference_that_is_known() -> None:
    other = Fit(answer=DOES_NOT_FIT, reason=say("It is another part."))
    assert made_sure(other, 7, "radiator", Car(sure=(("radiator", "7"),))) == other
