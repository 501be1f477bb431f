"""How urgent trouble codes are, and what is said before any of them is believed.

>>> print(first_words(["P0420"], Signs())[1])
Battery first: its state is unknown.
>>> urgency(Severity.FIX, Signs(lamp=Lamp.FLASHING))
<Severity.STOP: 'stop-driving'>
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.codes.kinds import Lamp
from vehicles.codes.trouble_codes import POINTER, POINTS, Severity, decode
from vehicles.inspection.units import convert, parse, show

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

#: A battery at rest below this is charged before codes are believed; common practice, no source.
WEAK_VOLTS: Final = Fraction("12.4")
#: More than any charging system gives to a 12 V battery; common practice, no source.
MOST_VOLTS: Final = 20
#: Codes that a weak battery sets by itself more than others; common practice, no source.
BATTERY_FIRST: Final = ("P0562", "U0100", "U0101")


@dataclass(frozen=True, kw_only=True)
class Signs:
    """What was seen of the car while its codes were read; volts of the battery at rest, or None."""

    lamp: Lamp = Lamp.UNKNOWN
    smoke: bool = False
    fuel_smell: bool = False
    overheating: bool = False
    brakes_lost: bool = False
    steering_lost: bool = False
    battery_volts: Fraction | None = None

    @property
    def danger(self) -> tuple[Say, ...]:
        """The signs that raise every code's severity by one step."""
        there = (
            (self.lamp == Lamp.FLASHING, say("the check-engine lamp flashes")),
            (self.smoke, say("smoke")),
            (self.fuel_smell, say("smell of fuel")),
            (self.overheating, say("overheating")),
            (self.brakes_lost, say("loss of braking")),
            (self.steering_lost, say("loss of steering")),
        )
        return tuple(words for seen, words in there if seen)

    @property
    def raising(self) -> Say | None:
        """Why every code counts one step worse, or None where it does not."""
        if not self.danger:
            return None
        return say("Every code counts one step worse: {signs}.", signs=_listed(self.danger))

    @property
    def battery_weak(self) -> bool:
        """Whether the battery was measured, and is weak."""
        return self.battery_volts is not None and self.battery_volts < WEAK_VOLTS

    @property
    def battery_known_good(self) -> bool:
        """Whether the battery was measured, and is not weak."""
        return self.battery_volts is not None and self.battery_volts >= WEAK_VOLTS


def signs_of(lit: Collection[str]) -> Signs:
    """Return what the lit warning lamps say, by their codes in `vehicles.intake.lamps`."""
    flashing, steady = "engine_flashing" in lit, "engine" in lit
    return Signs(
        lamp=Lamp.FLASHING if flashing else Lamp.STEADY if steady else Lamp.UNKNOWN,
        overheating="temperature" in lit,
        brakes_lost="brake" in lit,
        steering_lost="power_steering_red" in lit,
    )


def volts_of(typed: str) -> Fraction | None:
    """Return the volts of a battery as they were typed; None where nothing was.

    Raises:
        ValueError: it is not a voltage, or no car has it.
    """
    if not typed.strip():
        return None
    found = parse(typed, "V")
    volts = convert(found.value, found.unit, "V")
    if not 0 <= volts <= MOST_VOLTS:
        raise ValueError(f"{show(volts, 'V')} is not possible. Type 0 to {MOST_VOLTS} V.")
    return volts


def urgency(severity: Severity | None, signs: Signs) -> Severity | None:
    """Return the severity with the signs counted: one step worse where there is any of them.

    A code that no table knows has none; with a sign of danger it is fixed before return (ours).
    """
    if not signs.danger:
        return severity
    return Severity.FIX if severity is None else severity.raised


def first_words(codes: Iterable[str], signs: Signs) -> tuple[Say, ...]:
    """Return what is said over a list of codes before any of them is believed."""
    plain = {decode(code).code for code in codes}
    if not plain:
        return ()
    said = [
        say(
            "Write down the codes and the freeze frame before anybody clears them: "
            "clearing also resets the readiness monitors."
        )
    ]
    if not signs.battery_known_good:
        said += _about_battery(plain, signs.battery_volts)
    if POINTER in plain:
        said.append(POINTS)
    return (*said, signs.raising) if signs.raising else tuple(said)


def _about_battery(codes: set[str], volts: Fraction | None) -> list[Say]:
    """Return why the codes have to wait for the battery."""
    first = (
        say("Battery first: its state is unknown.")
        if volts is None
        else say("Battery first: {volts} at rest is weak.", volts=show(volts, "V"))
    )
    why = say("Codes set on a weak battery are believed after it is charged and they return.")
    suspects = [code for code in BATTERY_FIRST if code in codes]
    if not suspects:
        return [first, why]
    most = say("This goes most of all for {codes}.", codes=", ".join(suspects))
    return [first, why, most]


def _listed(words: Sequence[Say]) -> Say:
    """Return the words with commas between them, each still to be translated."""
    if len(words) == 1:
        return words[0]
    return say("{first}, {rest}", first=words[0], rest=_listed(words[1:]))
