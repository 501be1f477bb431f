"""The notice with which a car goes back unrepaired, as the household reads it.

Our own words, for no law gives any: who charged nothing has as a rule no claim on the car (from
memory), and counsel of the program's state decides what such a notice has to say.

>>> tire = Danger(system=System.TIRES, place="LF", seen="Tread depth: 1/32 in.")
>>> str(danger_line(tire))
'A tire may lose its grip or burst (front left).'
>>> found = Found(car="2012 Toyota Corolla", garage="Osier Street", phone="", dangers=(tire,))
>>> str(notice(found).box[0])
'Do not drive this 2012 Toyota Corolla. It is not safe.'
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Mapping

__all__ = [
    "After",
    "Danger",
    "Found",
    "How",
    "Notice",
    "Section",
    "System",
    "danger_line",
    "notice",
]


class After(StrEnum):
    """What becomes of the case: it waits for a decision, or it closes with the car's leaving."""

    DECIDE = "decide"
    REFERRED = "referred"
    WITHDRAWN = "withdrawn"

    @property
    def label(self) -> str:
        """The answer as a choice."""
        return _AFTER[self]


class How(StrEnum):
    """How the notice is taken."""

    SCREEN = "screen"
    PAPER = "paper"
    DECLINED = "declined"

    @property
    def label(self) -> str:
        """The way as a choice."""
        return _HOW[self]


_AFTER: Final = {
    After.DECIDE: "The case stays open: decide what they get in place of the repair",
    After.REFERRED: "It closes: another organization helps them",
    After.WITHDRAWN: "It closes: they want no repair",
}
_HOW: Final = {
    How.SCREEN: "Signed on the screen",
    How.PAPER: "Signed on paper, which is kept",
    How.DECLINED: "Declined to sign, before a witness",
}


@dataclass(frozen=True, kw_only=True)
class Danger:
    """One dangerous thing: its system, its place as a code, and what the shop wrote of it."""

    system: System
    seen: Say | str
    place: str = ""


@dataclass(frozen=True, kw_only=True)
class Found:
    """What the notice is made of. `unread` counts the points that nobody looked at."""

    car: str
    garage: str
    phone: str
    dangers: tuple[Danger, ...] = ()
    others: tuple[Say | str, ...] = ()
    unread: int = 0


@dataclass(frozen=True, kw_only=True)
class Section:
    """One part of the notice under its heading."""

    heading: Say
    lines: tuple[Say, ...]


@dataclass(frozen=True, kw_only=True)
class Notice:
    """The whole text: what nobody may overlook first, then its parts."""

    title: Say
    box: tuple[Say, ...]
    sections: tuple[Section, ...]
    dangers: tuple[Say, ...] = ()


def notice(found: Found) -> Notice:
    """Return the notice; the same findings give the same words."""
    sections = [
        *_dangerous(found),
        *_others(found),
        *_unread(found),
        Section(heading=say("What this means for you"), lines=_no_claim(found)),
        Section(heading=say("Towing"), lines=_TOWING),
        Section(heading=say("Be careful"), lines=_careful(found)),
        Section(heading=say("Who decides"), lines=(_DECIDES,)),
    ]
    return Notice(
        title=say("Your car goes back to you unrepaired"),
        box=_box(found),
        sections=tuple(sections),
        dangers=tuple(danger_line(danger) for danger in found.dangers),
    )


def danger_line(danger: Danger) -> Say:
    """Return what a dangerous thing may do, in plain words, and where on the car."""
    plain = _MAY_HAPPEN[danger.system]
    corner = _CORNERS.get(danger.place.partition("-")[0])
    if corner is None:
        return say("{plain}.", plain=plain)
    return say("{plain} ({corner}).", plain=plain, corner=corner)


def tow_line(answer: str) -> Say:
    """Return what the household said to the offered tow."""
    return _TOW[answer]


def payer_word(payer: str) -> Say:
    """Return who pays the tow."""
    return _PAYERS[payer]


def _box(found: Found) -> tuple[Say, ...]:
    if not found.dangers:
        return (
            say("We did not repair this {car}.", car=found.car),
            say("We found nothing dangerous in what we looked at. That does not make it safe."),
        )
    return (
        say("Do not drive this {car}. It is not safe.", car=found.car),
        say(
            "It can hurt you, those with you and others on the road. It leaves here on a tow"
            " truck and stays parked until a licensed technician has repaired it."
        ),
    )


def _dangerous(found: Found) -> list[Section]:
    lines = tuple(
        say("{plain} The shop wrote: {seen}", plain=danger_line(danger), seen=danger.seen)
        for danger in found.dangers
    )
    return [Section(heading=say("What is dangerous"), lines=lines)] if lines else []


def _others(found: Found) -> list[Section]:
    lines = tuple(say("The shop wrote: {seen}", seen=seen) for seen in found.others)
    return [Section(heading=say("What else is wrong"), lines=lines)] if lines else []


def _unread(found: Found) -> list[Section]:
    if not found.unread:
        return []
    said = say(
        "Points of the inspection that nobody looked at: {count}. They may be good or bad.",
        count=found.unread,
    )
    return [Section(heading=say("What we did not look at"), lines=(said,))]


def _no_claim(found: Found) -> tuple[Say, ...]:
    return (
        say("{garage} did not repair the car and ends its work on it today.", garage=found.garage),
        say("You owe us nothing. We charge nothing for looking at it or for keeping it."),
        say("The car stays yours. We make no claim on it and keep nothing that belongs to it."),
    )


def _careful(found: Found) -> tuple[Say, ...]:
    lines = [
        say("Nobody drives it, not even a short way, and it is not pulled on a rope or strap.")
        if found.dangers
        else say("Have it looked at by a licensed technician before you rely on it."),
        say("If you smell fuel or see smoke, step away from it and call 911."),
        say("If you sell it or give it away, hand this notice on with it."),
    ]
    if found.phone:
        lines.append(say("Call us about other help: {phone}.", phone=found.phone))
    return tuple(lines)


# Common practice, no source: what a household has to be told before a car leaves on a truck.
_TOWING: Final = (
    say("We offered to have the car towed to a place that you choose."),
    say("On a flatbed truck no wheel of it turns on the road; ask for one."),
)
_DECIDES: Final = say(
    "This notice says what we found; it is no official inspection. State law says what a garage"
    " and an owner may and must do. A licensed technician, local inspection law and, where you"
    " need one, a lawyer decide."
)
_TOW: Final[Mapping[str, Say]] = MappingProxyType(
    {
        "taken": say("You took the tow that we offered."),
        "refused": say("You refused the tow that we offered."),
        "own": say("You arrange your own tow."),
    }
)
_PAYERS: Final[Mapping[str, Say]] = MappingProxyType(
    {
        "program": say("We pay it."),
        "household": say("You pay it."),
        "insurer": say("Your insurer pays it."),
        "sponsor": say("A sponsor pays it."),
    }
)
_CORNERS: Final[Mapping[str, Say]] = MappingProxyType(
    {
        "LF": say("front left"),
        "RF": say("front right"),
        "LR": say("rear left"),
        "RR": say("rear right"),
    }
)
# What each system may do when it fails: our own words, common practice, no source.
_MAY_HAPPEN: Final[Mapping[System, Say]] = MappingProxyType(
    {
        System.BRAKES: say("The brakes may not stop the car"),
        System.STEERING: say("The steering may fail"),
        System.SUSPENSION: say("A part that holds a wheel may break"),
        System.TIRES: say("A tire may lose its grip or burst"),
        System.WHEELS: say("A wheel may come off"),
        System.LIGHTS: say("Others may not see the car, or you may not see the road"),
        System.GLASS: say("You may not see the road"),
        System.RESTRAINT: say("The belts or airbags may not protect you in a crash"),
        System.BODY: say("The body may give way, on the road or in a crash"),
        System.EXHAUST: say("Poisonous exhaust gas may come into the car"),
        System.FUEL: say("Fuel may leak and catch fire"),
        System.ENGINE: say("The engine may fail while you drive"),
        System.COOLING: say("The engine may overheat, and its steam can burn you"),
        System.TRANSMISSION: say("The car may lose its drive, or move by itself"),
        System.BATTERY: say("The battery may burn or leak acid"),
        System.CHARGING: say("The car may lose its electric power while you drive"),
        System.ELECTRICAL: say("A wire may burn, or lamps may fail"),
        System.HEATING: say("The windows may fog or freeze, so that you can't see"),
        System.EMISSIONS: say("Hot or poisonous gas may come out where it should not"),
        System.FLUIDS: say("Fluid may leak onto hot parts or onto the road"),
    }
)
