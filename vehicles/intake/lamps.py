"""Warning lamps of a dashboard: what each means, and whether it forbids driving while it is lit.

>>> str(lamp("oil").name)
'Oil pressure'
>>> [one.code for one in stopping(["abs", "oil"])]
['oil']

Source: 49 CFR 571.101, tables 1 and 2, and ISO 2575 for the lamps and their colors, from memory.
What each forbids is common practice, no source; for brakes, oil and temperature it is the program's
rule that such a car is not released.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable


class LampColor(StrEnum):
    """The color of a lamp, always also said as a word: red is danger, amber is a fault."""

    RED = "red"
    AMBER = "amber"

    @property
    def label(self) -> Say:
        """The color at the start of a sentence."""
        return say("Red") if self is LampColor.RED else say("Amber")


@dataclass(frozen=True, kw_only=True)
class Lamp:
    """One warning lamp. `stops`: while it is lit the car is not driven."""

    code: str
    color: LampColor
    name: Say
    means: Say
    stops: bool = False


_RED, _AMBER = LampColor.RED, LampColor.AMBER

LAMPS: Final = (
    Lamp(
        code="brake",
        color=_RED,
        name=say("Brakes"),
        means=say("The parking brake is on, brake fluid is low, or half of the brakes has failed."),
        stops=True,
    ),
    Lamp(
        code="oil",
        color=_RED,
        name=say("Oil pressure"),
        means=say("Oil does not reach the engine, which is ruined within minutes."),
        stops=True,
    ),
    Lamp(
        code="temperature",
        color=_RED,
        name=say("Engine temperature"),
        means=say("The engine is too hot. The cap stays closed until the hoses are cold."),
        stops=True,
    ),
    Lamp(
        code="power_steering_red",
        color=_RED,
        name=say("Power steering"),
        means=say("The help in steering is gone or may go at any moment."),
        stops=True,
    ),
    Lamp(
        code="high_voltage",
        color=_RED,
        name=say("Hybrid or electric drive"),
        means=say("A fault in the high-voltage system. Nobody touches orange cables."),
        stops=True,
    ),
    Lamp(
        code="engine_flashing",
        color=_AMBER,
        name=say("Check engine, flashing"),
        means=say(
            "The engine misfires. Unburned fuel overheats the catalyst and can start a fire."
        ),
        stops=True,
    ),
    Lamp(
        code="charging",
        color=_RED,
        name=say("Battery charging"),
        means=say("The battery is not charged. The engine and the lamps will soon give out."),
    ),
    Lamp(
        code="airbag",
        color=_RED,
        name=say("Airbag"),
        means=say("Airbags or belt tensioners may stay idle in a crash, or go off without one."),
    ),
    Lamp(
        code="belt",
        color=_RED,
        name=say("Seat belt"),
        means=say("A belt is open, or its switch is faulty."),
    ),
    Lamp(
        code="door",
        color=_RED,
        name=say("Door open"),
        means=say("A door, the hood or the trunk is not latched, or its switch is faulty."),
    ),
    Lamp(
        code="abs",
        color=_AMBER,
        name=say("Anti-lock brakes (ABS)"),
        means=say("The brakes work, but the wheels can lock. With the red brake lamp: no driving."),
    ),
    Lamp(
        code="stability",
        color=_AMBER,
        name=say("Stability control"),
        means=say("Lit steadily, the help against skidding is off or faulty."),
    ),
    Lamp(
        code="engine",
        color=_AMBER,
        name=say("Check engine, steady"),
        means=say("A fault of the engine or its exhaust cleaning is stored; codes are read first."),
    ),
    Lamp(
        code="tires",
        color=_AMBER,
        name=say("Tire pressure"),
        means=say("A tire is a quarter below its pressure. Flashing first, the system is faulty."),
    ),
    Lamp(
        code="power_steering",
        color=_AMBER,
        name=say("Power steering fault"),
        means=say("A fault in the help in steering; the wheel may become heavy."),
    ),
    Lamp(
        code="transmission",
        color=_AMBER,
        name=say("Transmission"),
        means=say("The transmission is too hot or has stored a fault."),
    ),
    Lamp(
        code="pads",
        color=_AMBER,
        name=say("Brake pads worn"),
        means=say("A wear contact has touched the disc."),
    ),
    Lamp(
        code="bulb",
        color=_AMBER,
        name=say("Lamp out"),
        means=say("An outside lamp does not light."),
    ),
    Lamp(
        code="fuel",
        color=_AMBER,
        name=say("Low fuel"),
        means=say("Fuel for a short way only. An empty tank can harm the pump."),
    ),
    Lamp(
        code="glow",
        color=_AMBER,
        name=say("Glow plugs (diesel)"),
        means=say("Flashing or lit while driving, the preheating or the engine has a fault."),
    ),
    Lamp(
        code="theft",
        color=_AMBER,
        name=say("Theft protection"),
        means=say("The key is not recognized; the car may not start."),
    ),
    Lamp(
        code="washer",
        color=_AMBER,
        name=say("Washer fluid"),
        means=say("The washer tank is nearly empty."),
    ),
)
_BY_CODE: Final = {one.code: one for one in LAMPS}


def lamp(code: str) -> Lamp:
    """Return the lamp of a code.

    Raises:
        ValueError: no such lamp; the sentence lists those there are.
    """
    if code not in _BY_CODE:
        raise ValueError(f"“{code}” is not a warning lamp. Use one of: {', '.join(_BY_CODE)}.")
    return _BY_CODE[code]


def stopping(lit: Iterable[str]) -> tuple[Lamp, ...]:
    """Return the lit lamps that forbid driving, in the order of the list.

    Raises:
        ValueError: a code is no lamp's.
    """
    seen = {lamp(code).code for code in lit}
    return tuple(one for one in LAMPS if one.stops and one.code in seen)
