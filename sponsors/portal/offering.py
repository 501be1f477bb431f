"""The part that a sponsor promises who answers one need: it states what it has to fit.

>>> from vehicles.repairs.open_needs import Car, OpenNeed, Part, System
>>> bulb = Part(kind="bulb_low_beam", system=System.LIGHTS)
>>> car = Car(year=2012, make="Ford", model="Focus", specifications=(("bulb_low_beam", "H11"),))
>>> offered(OpenNeed(id=1, title="Bulb", part=bulb, car=car)).fitment.to_dict()
{'specification': 'H11'}
>>> pads = Part(kind="brake_pads", system=System.BRAKES)
>>> offered(OpenNeed(id=2, title="Pads", part=pads, car=car)).fitment.to_dict()
{'year_from': 2012, 'year_to': 2012, 'make': 'Ford', 'model': 'Focus'}

What the need states goes before what is known of the car. A sponsor promises what the page asks
for; before it is fitted, the part itself is compared.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from vehicles.repairs.suitability import of_kind

if TYPE_CHECKING:
    from vehicles.repairs.open_needs import OpenNeed
    from vehicles.repairs.parts import Car, Fitment, Part


def offered(need: OpenNeed) -> Part:
    """Return the part to pledge for a need, with the fitment that its page asks for."""
    fitment = _by_choice(need.part, need.car)
    return replace(need.part, fitment=fitment, used=False)


def _by_choice(part: Part, car: Car) -> Fitment:
    """Return the fitment by that which such a part is chosen by: size, group, text or car."""
    stated = part.fitment
    named = of_kind(car.specifications, part.kind)
    if stated.tire_size or part.kind in ("tire", "tires"):
        return replace(
            stated,
            tire_size=stated.tire_size or car.tire_size,
            load_index=stated.load_index or car.load_index,
            speed_symbol=stated.speed_symbol or car.speed_symbol,
        )
    if stated.bci_group or part.kind == "battery":
        return replace(
            stated,
            bci_group=stated.bci_group or car.bci_group,
            cold_cranking_amps=stated.cold_cranking_amps or car.cold_cranking_amps,
        )
    if stated.specification or named:
        return replace(stated, specification=stated.specification or named[0])
    return _by_car(stated, car)


def _by_car(stated: Fitment, car: Car) -> Fitment:
    known = stated.year_from is not None or stated.year_to is not None
    return replace(
        stated,
        make=stated.make or car.make,
        model=stated.model or car.model,
        year_from=stated.year_from if known else car.year,
        year_to=stated.year_to if known else car.year,
    )
