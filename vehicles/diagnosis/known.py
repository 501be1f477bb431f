"""What people put on record of a diagnosis, as its case report tells it.

>>> Text(title="Overheats", version="2026.1", origin="Shipped", sha256="ab12").version
'2026.1'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime as dt

    from vehicles.diagnosis.kinds import Sureness
    from vehicles.diagnosis.values import Step
    from vehicles.inspection.criteria import Caution
    from vehicles.inspection.values import Shot


@dataclass(frozen=True, kw_only=True)
class Concluded:
    """A fault that a person signed for: `p` as computed then, and the title of what brought it."""

    fault: str
    title: str
    sureness: Sureness
    p: float
    evidence: str = ""
    because: str = ""
    root: str = ""
    by: str
    at: dt.datetime
    withdrawn_because: str = ""


@dataclass(frozen=True, kw_only=True)
class Ending:
    """How a diagnosis ended, by whom and why."""

    how: str
    because: str
    by: str
    at: dt.datetime


@dataclass(frozen=True, kw_only=True)
class Text:
    """The text of the fault model that a diagnosis used."""

    title: str
    version: str
    origin: str
    sha256: str


@dataclass(frozen=True, kw_only=True)
class Record:
    """What is on record about a diagnosis besides its observations that count."""

    garage: str
    number: str
    day: dt.date
    made_by: str
    made_at: dt.datetime
    car: str
    facts: tuple[tuple[str, str], ...]
    complaint: str
    verified: str
    verified_note: str = ""
    begun_by: str
    begun_at: dt.datetime
    ending: Ending | None = None
    text: Text
    concluded: tuple[Concluded, ...] = ()
    conclusions_back: tuple[Concluded, ...] = ()
    observations_back: tuple[tuple[Step, dt.datetime], ...] = ()
    cautions: tuple[Caution, ...] = ()
    shots: tuple[Shot, ...] = ()
    more_shots: int = 0
