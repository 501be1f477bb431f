"""Whether a part fits a car: it fits, it does not, because, or somebody has to ask.

>>> corolla = Fitment(make="Toyota", model="Corolla", year_from=2009, year_to=2013)
>>> pads = Part(kind="brake_pads", system=System.BRAKES, fitment=corolla)
>>> str(fits(pads, Car(make="Toyota", model="Corolla", year=2010)).answer)
'fits'
>>> str(fits(pads, Car(make="Toyota", model="Corolla", year=2007)).reason)
'It is for model years 2009 to 2013; the car is of 2007.'

Nothing is guessed on brakes, steering, restraint or tires: a missing fact there is asked for. An
answer here is no release: before fitting, the part is held against the old one, or looked up by
VIN at the counter, and that is recorded.
"""

from __future__ import annotations

from dataclasses import replace
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.say import say
from vehicles.repairs.parts import Car, Fitment, Part, PartCondition
from vehicles.repairs.specifications import key, overlaps, words
from vehicles.repairs.substitutes import wear
from vehicles.repairs.suitability import (
    STRICT,
    Answer,
    Fit,
    application,
    ask,
    battery,
    no,
    of_kind,
    specification,
    tire,
    yes,
)
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Iterator

__all__ = ["Answer", "Car", "Fit", "Fitment", "Part", "System", "fits", "made_sure", "serves"]

SURE: Final = say("Somebody made sure that this one fits.")
_BADNESS: Final = MappingProxyType({answer: at for at, answer in enumerate(Answer)})
_TIRES: Final = frozenset({"tire", "tires"})


def fits(part: Part, vehicle: Car) -> Fit:
    """Return whether the part fits the car, with the reason: the worst answer of all its checks.

    The car's own part number, looked up by VIN, settles what would have to be asked about the
    application; it overrides no difference that was seen.
    """
    found = list(_checks(part, vehicle))
    number, known = part.fitment.part_number, of_kind(vehicle.part_numbers, part.kind)
    if number and key(number) in {key(one) for one in known}:
        own = yes(say("It has the part number of the car’s own: {number}.", number=number))
        found = [own, *(fit for fit in found if fit.answer is not Answer.ASK)]
    elif number and known and part.system in STRICT:
        found.append(ask(say("Its part number is not the car’s own: hold both parts together.")))
    return _worst([*found, *wear(part)])


def serves(part: Part, need: Part, car: Car) -> Fit:
    """Return whether an offered part fills a need on a car: same kind, unit and position, and fits.

    What the need states goes before what is known of the car.
    """
    if key(part.kind) != key(need.kind):
        return no(say("It is another part."))
    # The need's system counts, so that no offer makes itself less strict than the work is.
    judged = part if part.system is need.system else replace(part, system=need.system)
    found = [fits(judged, _with_need(car, need)), *_place(part.fitment, need)]
    if need.may_be and part.used and PartCondition.USED not in need.may_be:
        found.append(no(say("It is used; no used one is taken for this need.")))
    return _worst(found)


def made_sure(fit: Fit, unit: int, kind: str, car: Car) -> Fit:
    """Return that a unit fits, where it was only to be asked and a person made sure of it."""
    asked = fit.answer is Answer.ASK and str(unit) in of_kind(car.sure, kind)
    return yes(SURE) if asked else fit


def _worst(found: list[Fit]) -> Fit:
    """Return the first of the worst answers."""
    return max(found, key=lambda fit: _BADNESS[fit.answer])


def _place(offer: Fitment, need: Part) -> Iterator[Fit]:
    unit, position = need.fitment.unit, need.fitment.position
    if key(offer.unit) != key(unit):
        yield no(
            say("The unit offered is {one}, the unit needed is {two}.", one=offer.unit, two=unit)
        )
    if position and not overlaps(offer.position, position):
        yield no(say("It is for {one}; needed is {two}.", one=offer.position, two=position))
    elif offer.position and not position:
        yield ask(say("It is for {one}; where it is needed is not said.", one=offer.position))
    elif position and not offer.position and need.system in STRICT:
        yield ask(say("It does not say whether it is for {two}.", two=position))


def _with_need(car: Car, need: Part) -> Car:
    """Return the car with what the need states put over what is known of it."""
    wanted = need.fitment
    if wanted == Fitment():
        return car
    return replace(
        car,
        year=car.year or (wanted.year_from if wanted.year_from == wanted.year_to else None),
        make=car.make or wanted.make,
        model=car.model or wanted.model,
        engine=car.engine or wanted.engine,
        transmission=car.transmission or wanted.transmission,
        tire_size=wanted.tire_size or car.tire_size,
        load_index=wanted.load_index or car.load_index,
        speed_symbol=wanted.speed_symbol or car.speed_symbol,
        bci_group=wanted.bci_group or car.bci_group,
        cold_cranking_amps=wanted.cold_cranking_amps or car.cold_cranking_amps,
        specifications=_stated(need.kind, wanted.specification) or car.specifications,
        part_numbers=_stated(need.kind, wanted.part_number) or car.part_numbers,
    )


def _stated(kind: str, text: str) -> tuple[tuple[str, str], ...]:
    return ((kind, text),) if text else ()


def _checks(part: Part, car: Car) -> Iterator[Fit]:
    """Yield the answer to everything by which such a part is chosen, at least one."""
    stated = part.fitment
    by_size = bool(stated.tire_size or _TIRES & words(part.kind))
    by_group = bool(stated.bci_group or part.kind == "battery")
    by_text = bool(stated.specification)
    if by_size:
        yield from tire(stated, car)
    if by_group:
        yield from battery(stated, car)
    if by_text:
        yield from specification(part, car)
    if stated.make or stated.model or not (by_size or by_group or by_text):
        yield from application(part, car)
