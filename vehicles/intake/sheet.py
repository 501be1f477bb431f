"""What the printed sheet of an intake says; its bytes are made by `pdf`."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime as dt


@dataclass(frozen=True, kw_only=True)
class Marked:
    """One mark of the walk-round: what stands in it, where, and what was seen."""

    sign: str
    x: int
    y: int
    seen: str


@dataclass(frozen=True, kw_only=True)
class IntakeSheet:
    """What stands on the sheet. `facts` and the like are pairs of a name and what is known.

    `url` is where its code leads; without one there is no code.
    """

    garage: str
    number: str
    day: dt.date
    title: str
    lead: str
    complaint: str = ""
    stops: tuple[str, ...] = ()
    told: tuple[tuple[str, str], ...]
    facts: tuple[tuple[str, str], ...]
    marks: tuple[Marked, ...] = ()
    custody: tuple[tuple[str, str], ...] = ()
    url: str = ""
    by_hand: bool = False
