"""The single questions behind a fit: application, tire, battery, specification.

>>> from vehicles.repairs.parts import Car, Fitment
>>> part = Fitment(bci_group="35", cold_cranking_amps=640)
>>> [str(fit.answer) for fit in battery(part, Car(bci_group="35", cold_cranking_amps=585))]
['fits', 'fits']
>>> [str(fit.reason) for fit in battery(part, Car(bci_group="24F", cold_cranking_amps=585))]
['It is of BCI group 35; the car takes 24F.', 'It has 640 cold-cranking amperes; 585 are asked.']

Each question yields its answers one by one; which of them counts is decided in `fitment`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from shared.say import say
from vehicles.repairs.specifications import (
    SPEED_SYMBOLS,
    Tire,
    covers,
    key,
    same_make,
    same_name,
)
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shared.say import Say
    from vehicles.repairs.parts import Car, Fitment, Part

#: Systems on which a missing fact is always asked for.
STRICT: Final = frozenset({System.BRAKES, System.STEERING, System.RESTRAINT, System.TIRES})


class Answer(StrEnum):
    """The three answers, best first."""

    FITS = "fits"
    ASK = "ask"
    DOES_NOT_FIT = "does_not_fit"

    @property
    def label(self) -> str:
        """The answer at the start of a sentence."""
        return self.value.replace("_", " ").capitalize()


@dataclass(frozen=True, kw_only=True)
class Fit:
    """An answer and the sentence that says why."""

    answer: Answer
    reason: Say


def yes(reason: Say) -> Fit:
    """Return that it fits."""
    return Fit(answer=Answer.FITS, reason=reason)


def ask(reason: Say) -> Fit:
    """Return that somebody has to ask."""
    return Fit(answer=Answer.ASK, reason=reason)


def no(reason: Say) -> Fit:
    """Return that it does not fit."""
    return Fit(answer=Answer.DOES_NOT_FIT, reason=reason)


def tire(part: Fitment, car: Car) -> Iterator[Fit]:
    """Yield whether size, load index and speed symbol reach those of the car's placard.

    Source: common practice; a lower load index or speed symbol than the placard's is not fitted.
    """
    offered, placard = Tire.parse(part.tire_size), Tire.parse(car.tire_size)
    if not offered:
        yield ask(say("The tire’s size “{size}” can’t be read.", size=part.tire_size))
        return
    if not placard:
        yield ask(say("The car’s tire size “{size}” can’t be read.", size=car.tire_size))
        return
    sizes = {"one": part.tire_size, "two": car.tire_size}
    same = offered.same_size(placard)
    if same is None:
        yield ask(say("The tire is {one}, the placard says {two}: compare the loads.", **sizes))
    else:
        yield (yes if same else no)(say("The tire is {one}; the car takes {two}.", **sizes))
    load = part.load_index or offered.load_index
    yield _load(load, car.load_index or placard.load_index)
    speed = part.speed_symbol or offered.speed_symbol
    yield _speed(speed.upper(), (car.speed_symbol or placard.speed_symbol).upper())


def _load(offered: int | None, asked: int | None) -> Fit:
    if offered is None:
        return ask(say("The tire’s load index is not known."))
    if asked is None:
        return ask(say("The load index of the car’s placard is not known."))
    reason = say("Its load index is {one}; the placard asks for {two}.", one=offered, two=asked)
    return yes(reason) if offered >= asked else no(reason)


def _speed(offered: str, asked: str) -> Fit:
    if offered not in SPEED_SYMBOLS:
        return ask(say("The tire’s speed symbol is not known."))
    if asked not in SPEED_SYMBOLS:
        return ask(say("The speed symbol of the car’s placard is not known."))
    reason = say("Its speed symbol is {one}; the placard asks for {two}.", one=offered, two=asked)
    return yes(reason) if SPEED_SYMBOLS[offered] >= SPEED_SYMBOLS[asked] else no(reason)


def battery(part: Fitment, car: Car) -> Iterator[Fit]:
    """Yield whether the group is the car's and the cold-cranking amperes reach what it asks."""
    if not part.bci_group:
        yield ask(say("The battery’s BCI group is not known."))
    elif not car.bci_group:
        yield ask(say("The BCI group of the car’s battery is not known."))
    else:
        group = say(
            "It is of BCI group {one}; the car takes {two}.", one=part.bci_group, two=car.bci_group
        )
        yield (yes if key(part.bci_group) == key(car.bci_group) else no)(group)
    offered, asked = part.cold_cranking_amps, car.cold_cranking_amps
    if offered is None:
        yield ask(say("The battery’s cold-cranking amperes are not known."))
    elif asked is None:
        yield ask(say("How many cold-cranking amperes the car asks for is not known."))
    else:
        amps = say("It has {one} cold-cranking amperes; {two} are asked.", one=offered, two=asked)
        yield yes(amps) if offered >= asked else no(amps)


def specification(part: Part, car: Car) -> Iterator[Fit]:
    """Yield whether a bulb, fluid or filter is of a specification that the maker names."""
    stated = part.fitment.specification
    named = of_kind(car.specifications, part.kind)
    if not named:
        yield ask(say("The specification that the car’s maker names is not known."))
        return
    reason = say("It is {one}; the maker names {two}.", one=stated, two=", ".join(named))
    yield (yes if key(stated) in {key(one) for one in named} else no)(reason)


def application(part: Part, car: Car) -> Iterator[Fit]:
    """Yield whether make, model, year, engine and transmission are among those it is for."""
    stated = part.fitment
    if not stated.make or not stated.model:
        yield ask(say("The part does not say which make and model it is for."))
        return
    if not car.make or not car.model:
        yield ask(say("The make and model of the car are not known."))
        return
    names = {"one": f"{stated.make} {stated.model}", "two": f"{car.make} {car.model}"}
    same = same_make(stated.make, car.make) and same_name(stated.model, car.model)
    if same is None:
        yield ask(say("It is for a {one}; the car is called {two}.", **names))
    elif same:
        yield yes(say("It is for a {one}.", **names))
    else:
        yield no(say("It is for a {one}; the car is a {two}.", **names))
    yield from _years(part, car.year)
    yield from _driveline(stated, car)


def _years(part: Part, year: int | None) -> Iterator[Fit]:
    first, last = part.fitment.year_from, part.fitment.year_to
    if part.system in STRICT and (first is None or last is None):
        yield ask(say("The part does not say from which to which model year it fits."))
    if first is None and last is None:
        return
    if year is None:
        yield ask(say("The model year of the car is not known."))
    elif first is not None and last is not None and not first <= year <= last:
        yield no(
            say(
                "It is for model years {first} to {last}; the car is of {year}.",
                first=first,
                last=last,
                year=year,
            )
        )
    elif first is not None and year < first:
        yield no(
            say("It is for model years from {first}; the car is of {year}.", first=first, year=year)
        )
    elif last is not None and year > last:
        yield no(
            say("It is for model years up to {last}; the car is of {year}.", last=last, year=year)
        )


def _driveline(part: Fitment, car: Car) -> Iterator[Fit]:
    if part.engine and not car.engine:
        yield ask(say("It is for one engine only; the car’s is not known."))
    elif part.engine and covers(part.engine, car.engine) is not True:
        engines = say("It is for engine {one}; the car has {two}.", one=part.engine, two=car.engine)
        yield (no if covers(part.engine, car.engine) is False else ask)(engines)
    if part.transmission and not car.transmission:
        yield ask(say("It is for one transmission only; the car’s is not known."))
    elif part.transmission and covers(part.transmission, car.transmission) is not True:
        boxes = say(
            "It is for transmission {one}; the car has {two}.",
            one=part.transmission,
            two=car.transmission,
        )
        yield (no if covers(part.transmission, car.transmission) is False else ask)(boxes)


def of_kind(pairs: tuple[tuple[str, str], ...], kind: str) -> list[str]:
    """Return the texts that pairs of part kind and text hold for a kind."""
    return [text for one, text in pairs if key(one) == key(kind)]
