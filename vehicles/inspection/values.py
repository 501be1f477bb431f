"""What an inspection report says of one car, as facts: the papers only lay them out.

>>> Issue("es").language, Issue("file").language
('es', 'en')
>>> Regraded(was="minor", becomes="major", because="Cord close.", by="R. Amadi").applies
True
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from vehicles.inspection.criteria import DeficiencyClass

if TYPE_CHECKING:
    import datetime as dt

    from shared.say import Say
    from vehicles.inspection.criteria import Caution


class Issue(StrEnum):
    """Which paper is issued: the one for the file, or the household's in one language."""

    FILE = "file"
    ENGLISH = "en"
    SPANISH = "es"

    @property
    def language(self) -> str:
        """The language of its readers."""
        return "es" if self is Issue.SPANISH else "en"

    @property
    def label(self) -> str:
        """What the list of issued papers calls it."""
        return _LABELS[self]


_LABELS = {
    Issue.FILE: "Inspection report for the file",
    Issue.ENGLISH: "Inspection report for the household, in English",
    Issue.SPANISH: "Inspection report for the household, in Spanish",
}


@dataclass(frozen=True, kw_only=True)
class Regraded:
    """A class that people set: who, why, and who agreed or refused."""

    was: str
    becomes: str
    because: str
    by: str
    second: str = ""
    waits: bool = False
    refused_because: str = ""

    @property
    def applies(self) -> bool:
        """Whether the class was changed by it."""
        return not self.waits and not self.refused_because


@dataclass(frozen=True, kw_only=True)
class Shot:
    """A photo, small: its JPEG and size in pixels, what it shows."""

    jpeg: bytes
    width: int
    height: int
    title: str
    place: str = ""
    caption: str = ""


@dataclass(frozen=True, kw_only=True)
class Wrong:
    """One finding. `sentence` is as stored, `said` the same to be put into another language."""

    title: str
    place: str
    system: str
    deficiency: DeficiencyClass
    sentence: str
    said: Say
    eu_class: DeficiencyClass | None = None
    us_reject: bool = False
    held: bool = False  # the program hands no car back with it
    strands: bool = False
    limit: str = ""
    shipped_limit: str = ""
    limit_because: str = ""
    source: str = ""
    text_seen: bool = False
    on: dt.date
    by: str
    why: str = ""  # what the number means in words, for a point that is measured
    evidence: str = ""
    caused_by: str = ""
    cautions: tuple[str, ...] = ()
    regrades: tuple[Regraded, ...] = ()
    cleared_on: dt.date | None = None
    withdrawn_because: str = ""

    @property
    def is_open(self) -> bool:
        """Whether it is neither put right nor withdrawn."""
        return self.cleared_on is None and not self.withdrawn_because

    @property
    def grounds(self) -> bool:
        """Whether the car is not driven because of it."""
        return self.deficiency is DeficiencyClass.DANGEROUS or self.held


@dataclass(frozen=True, kw_only=True)
class Looked:
    """One inspection: how deep, when, by whom, and what it left unread."""

    depth: str
    begun_on: dt.date
    ended_on: dt.date | None
    by: str
    odometer_mi: int | None = None
    unread: int | None = None  # None while it goes on
    stopped_because: str = ""


@dataclass(frozen=True, kw_only=True)
class Skipped:
    """A point that was not read, with the reason; empty where nobody gave one."""

    title: str
    places: tuple[str, ...] = ()
    because: str = ""


@dataclass(frozen=True, kw_only=True)
class Noted:
    """A sentence about a point: without a class, near its limit, or unlike its partner."""

    title: str
    place: str = ""
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class Report:
    """Everything that the two papers of a stay say."""

    garage: str
    number: str
    day: dt.date
    car: str
    facts: tuple[tuple[str, str], ...]  # what the file holds of the car, by its name
    odometer_mi: int | None
    looks: tuple[Looked, ...]
    readers: tuple[str, ...]  # name and credential of each who read
    read: int
    total: int
    wrong: tuple[Wrong, ...]  # the worst first, those put right or withdrawn last
    skipped: tuple[Skipped, ...]
    not_needed: tuple[Skipped, ...]
    noted: tuple[Noted, ...]  # seen, without a class
    near: tuple[Noted, ...]
    pairs: tuple[Noted, ...]
    good: tuple[tuple[str, tuple[str, ...]], ...]  # by group
    cautions: tuple[Caution, ...]
    shots: tuple[Shot, ...]
    more_shots: int = 0
    ended_on: dt.date | None = None

    @property
    def open(self) -> tuple[Wrong, ...]:
        """What is wrong and not put right."""
        return tuple(one for one in self.wrong if one.is_open)

    @property
    def closed(self) -> tuple[Wrong, ...]:
        """What was put right or withdrawn."""
        return tuple(one for one in self.wrong if not one.is_open)

    @property
    def left(self) -> int:
        """How many points are not read that have to be."""
        return self.total - self.read
