"""What has to come off before a job can begin, so that several jobs may share it.

>>> access_at(Access.WHEELS, ["LF"]), access_at(Access.DOOR_PANEL, ["LF"])
('wheels_front', 'door_panel_LF')
>>> in_words("wheels_front"), comes_off("coolant")
('front wheels', 'The coolant is drained')

Jobs of one axle share its wheels, whichever side they are on: the minutes for it are those that
another place of the same axle doesn't ask again. A door or a seat is shared at its own place only.
Which job needs what, and how long it takes, is practitioner's judgment, from memory.
"""

from __future__ import annotations

from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from vehicles.operations.operation import axle_of, where

if TYPE_CHECKING:
    from collections.abc import Collection

    from vehicles.operations.operation import Operation

#: The longest code that an item holds.
LONGEST: Final = 30


class Access(StrEnum):
    """What comes off, as the catalogue names it; `wheels` are those of the job's own axle."""

    WHEELS = "wheels"
    WHEELS_FRONT = "wheels_front"
    WHEELS_REAR = "wheels_rear"
    WHEELS_ALL = "wheels_all"
    SUBFRAME_FRONT = "subframe_front"
    PROPELLER_SHAFT = "propeller_shaft"
    TRANSMISSION = "transmission"
    EXHAUST = "exhaust"
    FUEL_TANK = "fuel_tank"
    INTAKE_MANIFOLD = "intake_manifold"
    TIMING_COVER = "timing_cover"
    COILS = "coils"
    AIR_DUCT = "air_duct"
    DRIVE_BELT = "drive_belt"
    RADIATOR = "radiator"
    COOLANT = "coolant"
    ENGINE_OIL = "engine_oil"
    BRAKE_MASTER = "brake_master"
    BUMPER_FRONT = "bumper_front"
    DOOR_PANEL = "door_panel"
    SEAT = "seat"
    DASH = "dash"
    GLOVE_BOX = "glove_box"
    CONSOLE = "console"
    STEERING_WHEEL = "steering_wheel"


_BY_PLACE: Final = frozenset({Access.DOOR_PANEL, Access.SEAT})
_DRAINED: Final = frozenset({Access.COOLANT, Access.ENGINE_OIL})
_SEVERAL: Final = frozenset(
    {"wheels", "wheels_front", "wheels_rear", "wheels_all", "coils", "radiator"}
)
_WORDS: Final = MappingProxyType(
    {
        Access.WHEELS_FRONT: "front wheels",
        Access.WHEELS_REAR: "rear wheels",
        Access.WHEELS_ALL: "four wheels",
        Access.SUBFRAME_FRONT: "front subframe",
        Access.COILS: "ignition coils",
        Access.RADIATOR: "radiator and its fan",
        Access.BRAKE_MASTER: "brake master cylinder",
        Access.BUMPER_FRONT: "front bumper",
        Access.CONSOLE: "center console",
    }
)


def access_at(access: str, places: Collection[str]) -> str:
    """Return the code of what comes off for a job at these places; jobs of one code share it."""
    if access == Access.WHEELS:
        axles = {axle_of(place) for place in places}
        return f"wheels_{min(axles)}" if axles in ({"front"}, {"rear"}) else Access.WHEELS_ALL.value
    if access in _BY_PLACE and places:
        return f"{access}_{'+'.join(sorted(places))}"[:LONGEST]
    return str(access)


def access_alone(operation: Operation) -> str:
    """Return the code where the operation alone tells it; empty where its places decide."""
    axles = {axle_of(place) for place in operation.positions}
    apart = operation.access == Access.WHEELS and len(axles) != 1
    if apart or (operation.access in _BY_PLACE and len(operation.positions) > 1):
        return ""
    return access_at(operation.access, operation.positions)


def in_words(code: str) -> str:
    """Return what a code says that comes off: `front wheels`, `door panel, front left`."""
    for access in _BY_PLACE:
        if code.startswith(f"{access}_"):
            places = code.removeprefix(f"{access}_").split("+")
            return f"{in_words(access)}, {' and '.join(where(place) for place in places)}"
    return next((words for one, words in _WORDS.items() if one == code), code.replace("_", " "))


def comes_off(code: str) -> str:
    """Return the start of a sentence: `The front wheels come off`."""
    if code in _DRAINED:
        return f"The {in_words(code)} is drained"
    return f"The {in_words(code)} come{'' if code in _SEVERAL else 's'} off"


def offered(current: str = "") -> list[tuple[str, str]]:
    """Return nothing and every code that an item may have, with its words.

    Doors and seats come place by place. `current` is among them even if the catalogue has no such
    code, as after an import.
    """
    doors = [access_at(Access.DOOR_PANEL, [place]) for place in ("LF", "RF", "LR", "RR")]
    seats = [access_at(Access.SEAT, [place]) for place in ("driver", "front-passenger", "rear")]
    plain = [one.value for one in Access if one not in {*_BY_PLACE, Access.WHEELS}]
    codes = dict.fromkeys([*plain, *doors, *seats, *([current] if current else [])])
    found = [(code, in_words(code)) for code in codes]
    ordered = sorted(
        ((code, words[:1].upper() + words[1:]) for code, words in found), key=_by_words
    )
    return [("", "nothing"), *ordered]


def _by_words(pair: tuple[str, str]) -> str:
    return pair[1]
