"""What the pages and papers of estimates show, worked out.

>>> age_in_words(0), age_in_words(1), age_in_words(78)
('today', 'yesterday', '78 days old')
>>> up_to_five(583_21), up_to_five(585_00)
(58500, 58500)
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from shared.say import Say
    from vehicles.estimates.bias import Bias
    from vehicles.estimates.risk import YearRisk
    from vehicles.repairs.charges import Cash, Rates

FIVE_DOLLARS: Final = 500
OLD_DAYS: Final = 60  # a price that old is asked again before it is promised (program policy)


def age_in_words(days: int) -> str:
    """Return how old a price is."""
    return {0: "today", 1: "yesterday"}.get(days, f"{days} days old")


def up_to_five(cents: int) -> int:
    """Return an amount rounded up to whole five dollars, as a sentence about odds says it."""
    return -(-cents // FIVE_DOLLARS) * FIVE_DOLLARS


@dataclass(frozen=True, kw_only=True)
class PartPrice:
    """One part of a line: what it costs in all, where the price is from, and how old it is."""

    need_id: int
    title: str
    quantity: int
    likely_cents: int
    source: str
    days: int | None
    is_given: bool = False
    can_be_bought: bool = True
    is_oldest: bool = False

    @property
    def age(self) -> str:
        """How old the price is."""
        return "no day on record" if self.days is None else age_in_words(self.days)

    @property
    def is_old(self) -> bool:
        """Whether the price is asked again before it is promised."""
        return self.days is not None and self.days >= OLD_DAYS


@dataclass(frozen=True, kw_only=True)
class Line:
    """One job of an estimate: its cash at three points, its minutes, and its parts.

    `operation` is the catalogue's title of a job whose own somebody wrote.
    """

    item_id: int
    title: str
    low: Cash
    likely: Cash
    high: Cash
    likely_minutes: int
    saved_minutes: int
    parts: tuple[PartPrice, ...]
    clears: tuple[str, ...] = ()
    operation: str = ""


@dataclass(frozen=True, kw_only=True)
class Version:
    """One version of an estimate on record, and what is different from the one before."""

    number: int
    made_at: dt.datetime
    made_by: str
    p50_cents: int
    p80_cents: int
    p80_minutes: int
    is_frozen: bool
    changes: tuple[Say, ...]


@dataclass(frozen=True, kw_only=True)
class CarEstimate:
    """What the open items of one car cost now, and the versions on record, newest first."""

    lines: tuple[Line, ...]
    low: Cash
    likely: Cash
    high: Cash
    p50_cents: int
    p80_cents: int
    p80_minutes: int
    shared: tuple[Say, ...]
    rates: Rates
    versions: tuple[Version, ...]
    is_current: bool

    @property
    def said(self) -> tuple[int, int]:
        """The 50 and 80 percent points as a sentence says them, rounded up to five dollars."""
        return up_to_five(self.p50_cents), up_to_five(self.p80_cents)

    @property
    def is_corrected(self) -> bool:
        """Whether the program's own record moves the figures."""
        return (self.rates.labor_correction_percent, self.rates.parts_correction_percent) != (
            100,
            100,
        )

    @property
    def unpriced(self) -> list[str]:
        """The parts that can't be bought, or have no price; they count nothing."""
        return [part.title for line in self.lines for part in line.parts if not part.can_be_bought]


@dataclass(frozen=True, kw_only=True)
class Paper:
    """An estimate on paper for the household."""

    garage: str
    car: str
    number: str
    day: dt.date
    estimate: CarEstimate
    stop_over_percent: int


@dataclass(frozen=True, kw_only=True)
class Record:
    """How estimates came out: by kind, by system, and what a year of such cars costs."""

    labor: Bias | None
    cash: Bias | None
    labor_waits: Say
    cash_waits: Say
    systems: Sequence[tuple[str, Bias]]
    missing: int
    year: YearRisk | None


@dataclass(frozen=True, kw_only=True)
class Outlook:
    """What all open jobs likely take and cost: uncorrected, as counted now, with the record."""

    jobs: int
    minutes: tuple[int, ...]
    cents: tuple[int, ...]
    adopted: Rates
