"""What a trouble code says by its structure, and what the table adds for the codes it knows.

>>> one = decode("C0035-0F")
>>> one.letter.label, one.origin.label, one.failure_type, one.meaning
('Chassis', 'Standard', '0F', 'left front wheel speed sensor circuit')
>>> decode("P1345").meaning, to_wire("P0741").hex(), from_wire(bytes.fromhex("0741"))
('', '0741', 'P0741')

Source: SAE J2012, the same as ISO 15031-6; each part with its own mark, since the standard's text
was not bought. A code never proves that a part is bad.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import StrEnum
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.inspection.catalogue import FOLDER
from vehicles.inspection.rows import built, rows_of

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

FORM: Final = re.compile(r"([PCBU])([0-3])([0-9A-F])([0-9A-F]{2})(?:-([0-9A-F]{2}))?")
POINTER: Final = "P0700"
POINTS: Final = say("P0700 only points: read the transmission module for the real code.")
_ON_WIRE: Final = 2  # bytes of a code
_SEEN: Final = MappingProxyType({"text-seen": True, "from-memory": False})


class Letter(StrEnum):
    """The part of the car that a code's first character names."""

    P = "P"
    C = "C"
    B = "B"
    U = "U"

    @property
    def label(self) -> str:
        """The part of the car at the start of a sentence."""
        return {"C": "Chassis", "B": "Body", "U": "Network"}.get(self, "Powertrain")


class Origin(StrEnum):
    """Who gave the code its meaning."""

    STANDARD = "standard"
    MAKER = "maker"
    RESERVED = "reserved"  # reserved or standard, by the edition

    @property
    def label(self) -> str:
        """The origin at the start of a sentence."""
        return {"maker": "Maker’s own", "reserved": "Reserved or standard"}.get(self, "Standard")


class Severity(StrEnum):
    """How urgent a code is, worst first. Our own judgment, not part of any standard."""

    STOP = "stop-driving"
    FIX = "fix-before-return"
    SOON = "soon"
    ADVISORY = "advisory"

    @property
    def label(self) -> Say:
        """What it asks for, as a sentence."""
        return _SEVERITIES[self]

    @property
    def word(self) -> Say:
        """The severity in a word or two."""
        return _WORDS[self]

    @property
    def raised(self) -> Severity:
        """The next worse step; the worst stays."""
        steps = list(Severity)
        return steps[max(steps.index(self) - 1, 0)]


@dataclass(frozen=True, kw_only=True)
class TroubleCode:
    """One row of the table. `seen`: the meaning was read in the source, not remembered."""

    code: str
    meaning: str
    severity: Severity
    first_thought: str
    source: str
    seen: bool


@dataclass(frozen=True, kw_only=True)
class Decoded:
    """All that is known of a code.

    `severity` is None and `meaning`, `first_thought` and `source` are empty where the table has no
    such code. `group` is empty for all but P codes: only there the third character has one meaning.
    `origin_seen` and `group_seen` say whether that part of the structure was read in a text.
    """

    code: str  # five characters
    failure_type: str  # two hexadecimal digits, or empty
    letter: Letter
    origin: Origin
    origin_seen: bool
    group: Say
    group_seen: bool
    meaning: str
    severity: Severity | None
    first_thought: str
    source: str
    seen: bool
    notes: tuple[Say, ...]

    @property
    def full(self) -> str:
        """The code with its failure type: `C0035-0F`."""
        return f"{self.code}-{self.failure_type}" if self.failure_type else self.code


def decode(code: str) -> Decoded:
    """Return what a code says: `P0741`, `C0035-0F`; nothing is guessed.

    Raises:
        ValueError: the text has not the form of a code.
    """
    found = _form(code)
    letter, _, group, _, failure_type = found.groups()
    plain = found[0][:5]
    origin, origin_seen = _origin(plain)
    row = load().get(plain)
    return Decoded(
        code=plain,
        failure_type=failure_type or "",
        letter=Letter(letter),
        origin=origin,
        origin_seen=origin_seen,
        group=GROUPS[group] if _has_group(letter, group) else say(""),
        group_seen=letter == "P" and group in _GROUPS_SEEN,
        meaning=row.meaning if row else "",
        severity=row.severity if row else None,
        first_thought=row.first_thought if row else "",
        source=row.source if row else "",
        seen=row is not None and row.seen,
        notes=_notes(plain, failure_type or "", origin, known=row is not None),
    )


def to_wire(code: str) -> bytes:
    """Return the two bytes by which a car sends the code; a failure type is a byte of its own.

    Source: SAE J1979, from memory: two bits for the letter, two for the second character, three
    hexadecimal digits.

    Raises:
        ValueError: the text has not the form of a code.
    """
    found = _form(code)
    top = "PCBU".index(found[1]) << 2 | int(found[2])
    return bytes((top << 4 | int(found[3], 16), int(found[4], 16)))


def from_wire(sent: bytes) -> str:
    """Return the code that two bytes stand for.

    Raises:
        ValueError: there are not two bytes.
    """
    if len(sent) != _ON_WIRE:
        raise ValueError(f"A code is sent in two bytes, not in {len(sent)}.")
    return f"{'PCBU'[sent[0] >> 6]}{sent[0] >> 4 & 3}{sent[0] & 15:X}{sent[1]:02X}"


@lru_cache
def load(folder: Path = FOLDER) -> Mapping[str, TroubleCode]:
    """Return the table by code, in the order of its file; the file is read once.

    Raises:
        ValueError: a row is wrong or stands there twice.
    """
    found: dict[str, TroubleCode] = {}
    for where, row in rows_of(folder / "trouble_codes.csv"):
        one = built(_row, where, row)
        if one.code in found:
            raise ValueError(f"{where}: “{one.code}” stands there twice.")
        found[one.code] = one
    return MappingProxyType(found)


def _row(row: Mapping[str, str]) -> TroubleCode:
    if _form(row["code"])[0] != row["code"] or not row["meaning"] or not row["source"]:
        raise ValueError(f"“{row['code']}” needs a code, a meaning and a source.")
    return TroubleCode(
        code=row["code"],
        meaning=row["meaning"],
        severity=Severity(row["severity"]),
        first_thought=row["first_thought"],
        source=row["source"],
        seen=_SEEN[row["mark"]],
    )


def _form(code: str) -> re.Match[str]:
    found = FORM.fullmatch(code.strip().upper())
    if found is None:
        raise ValueError(
            f"“{code.strip()[:20]}” is not a trouble code. Write it as P0301 or C0035-0F."
        )
    return found


def _origin(code: str) -> tuple[Origin, bool]:
    """Return who gave the code its meaning, and whether that rule was read in a text.

    Source: the table of first characters in the manual of a code reader (Actron CP9150, page 18)
    and in Kia's 2008 repair manual; of B3, C3 and U3 the texts say now standard, now reserved.
    """
    powertrain = code[0] == "P"
    if code[1] == "0":
        return Origin.STANDARD, True
    if code[1] == "1":
        return Origin.MAKER, True
    if code[1] == "2":
        return Origin.STANDARD if powertrain else Origin.MAKER, True
    if powertrain:
        return Origin.STANDARD if int(code[2], 16) >= _P3_STANDARD else Origin.MAKER, True
    return Origin.RESERVED, False


def _has_group(letter: str, group: str) -> bool:
    return letter == "P" and group in GROUPS


def _notes(code: str, failure_type: str, origin: Origin, *, known: bool) -> tuple[Say, ...]:
    """Return what has to be said beside the meaning."""
    notes = []
    if not known and origin == Origin.MAKER:
        notes.append(say("Maker’s own code: look it up in the maker’s book."))
    elif not known:
        notes.append(say("This table does not have the code: look it up in the maker’s book."))
    elif code[0] == "C":
        notes.append(say("Other makers may use this number otherwise: see the maker’s book."))
    if code == POINTER:
        notes.append(POINTS)
    if failure_type:
        notes.append(
            say("What failure type {byte} means stands in the maker’s book.", byte=failure_type)
        )
    return tuple(notes)


_P3_STANDARD: Final = 4  # P3000 to P33FF are the maker's own, P3400 to P3FFF standard

#: What the third character of a P code says.
GROUPS: Final[Mapping[str, Say]] = MappingProxyType(
    {
        "0": say("Fuel and air metering, auxiliary emission controls"),
        "1": say("Fuel and air metering"),
        "2": say("Fuel and air metering, injector circuits"),
        "3": say("Ignition or misfire"),
        "4": say("Auxiliary emission controls"),
        "5": say("Vehicle speed, idle control, auxiliary inputs"),
        "6": say("Computer and output circuits"),
        "7": say("Transmission"),
        "8": say("Transmission"),
        "9": say("Transmission"),
        "A": say("Hybrid or electric drive"),
        "B": say("Hybrid or electric drive"),
        "C": say("Hybrid or electric drive"),
    }
)
_GROUPS_SEEN: Final = frozenset("012345678")
_WORDS: Final = MappingProxyType(
    {
        Severity.STOP: say("stop driving"),
        Severity.FIX: say("fix before return"),
        Severity.SOON: say("soon"),
        Severity.ADVISORY: say("advisory"),
    }
)
_SEVERITIES: Final = MappingProxyType(
    {
        Severity.STOP: say("Not driven until it has been checked."),
        Severity.FIX: say("Not handed back until repaired or proved harmless."),
        Severity.SOON: say("Planned within weeks; the owner is told in writing."),
        Severity.ADVISORY: say("Emissions or comfort: the owner’s choice; may fail a smog test."),
    }
)
