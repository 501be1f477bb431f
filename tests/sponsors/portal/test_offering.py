from __future__ import annotations

import pytest

from sponsors.portal.offering import offered
from vehicles.repairs.fitment import Answer, serves
from vehicles.repairs.open_needs import Car, OpenNeed, Part, System
from vehicles.repairs.parts import Fitment

FOCUS = Car(
    year=2012,
    make="Ford",
    model="Focus",
    engine="2.0",
    transmission="automatic",
    tire_size="205/55R16",
    load_index=91,
    speed_symbol="V",
    bci_group="96R",
    cold_cranking_amps=500,
    specifications=(("bulb_low_beam", "H11"), ("coolant", "WSS-M97B44-D")),
)


def need(kind: str, system: System, **stated: object) -> OpenNeed:
    fitment = Fitment.from_dict(stated)
    return OpenNeed(
        id=1, title=kind, part=Part(kind=kind, system=system, fitment=fitment), car=FOCUS
    )


@pytest.mark.parametrize(
    "wanted",
    [
        need("radiator", System.COOLING),
        need("alternator", System.CHARGING, part_number="FX-7"),
        need("brake_pads", System.BRAKES, position="front", unit="set"),
        need("ball_joint", System.STEERING, position="front left"),
        need("tire", System.TIRES),
        need("tires", System.TIRES, tire_size="205/55R16", load_index=94, speed_symbol="W"),
        need("battery", System.BATTERY),
        need("battery", System.BATTERY, bci_group="96R", cold_cranking_amps=590),
        need("bulb_low_beam", System.LIGHTS),
        need("coolant", System.FLUIDS, specification="WSS-M97B44-D"),
        need("seat_belt", System.RESTRAINT, position="front right"),
    ],
    ids=lambda one: f"{one.part.kind} {one.part.fitment.to_dict()}",
)
def test_what_the_page_asks_for_serves_the_need(wanted: OpenNeed) -> None:
    fit = serves(offered(wanted), wanted.part, wanted.car)
    assert fit.answer is Answer.FITS, str(fit.reason)


def test_what_the_need_states_goes_before_the_car() -> None:
    wanted = need("radiator", System.COOLING, make="Ford", model="Focus", year_from=2010)
    assert offered(wanted).fitment.to_dict() == {
        "make": "Ford",
        "model": "Focus",
        "year_from": 2010,
    }


def test_nothing_is_made_up_about_a_car_of_which_nothing_is_known() -> None:
    wanted = OpenNeed(
        id=1, title="Pads", part=Part(kind="brake_pads", system=System.BRAKES), car=Car()
    )
    assert offered(wanted).fitment == Fitment()
    assert serves(offered(wanted), wanted.part, wanted.car).answer is Answer.ASK


def test_what_is_offered_is_new() -> None:
    part = Part(kind="radiator", system=System.COOLING, used=True)
    assert offered(OpenNeed(id=1, title="Radiator", part=part, car=FOCUS)).used is False
