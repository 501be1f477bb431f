"""The rule of a fund as data: what it may pay for, read from a sheet, a form or the database.

An empty part of a rule is no limit.

>>> parse({"systems": "Tires; brakes"}).to_dict()
{'systems': ['brakes', 'tires']}
>>> from_dict({"two_over_cents": 50000}).two_over_cents
50000
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from enum import StrEnum
from typing import TYPE_CHECKING

from shared.dates import parse_date
from vehicles.operations.catalogue import load as load_operations
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date


class SpendKind(StrEnum):
    """What kind of spend a fund may be held to."""

    PARTS = "parts"
    SUBLET = "sublet"
    LABOR = "labor"
    TOWING = "towing"
    INSPECTION = "inspection"
    SUPPLIES = "supplies"
    TOOLS = "tools"
    RENT = "rent"
    ADMIN = "admin"
    FUNDRAISING = "fundraising"


@dataclass(frozen=True, kw_only=True)
class Rule:
    """What the money may pay for. Codes are lower case; both dates belong to the span.

    `jobs` are codes of the catalogue of operations. A spend over `two_over_cents` is no breach:
    it needs two people.
    """

    systems: frozenset[str] = frozenset()
    jobs: frozenset[str] = frozenset()
    part_kinds: frozenset[str] = frozenset()
    counties: frozenset[str] = frozenset()
    household_kinds: frozenset[str] = frozenset()
    kinds: frozenset[str] = frozenset()
    from_on: date | None = None
    until_on: date | None = None
    two_over_cents: int | None = None

    def to_dict(self) -> dict[str, list[str] | str | int]:
        """Return the rule as JSON holds it: only its limits, lists sorted, dates ISO."""
        stored: dict[str, list[str] | str | int] = {}
        for name in LIST_NAMES:
            if codes := getattr(self, name):
                stored[name] = sorted(codes)
        for name in DATE_NAMES:
            if day := getattr(self, name):
                stored[name] = day.isoformat()
        if self.two_over_cents is not None:
            stored["two_over_cents"] = self.two_over_cents
        return stored


NO_LIMITS = Rule()
LIST_NAMES = ("systems", "jobs", "part_kinds", "kinds", "counties", "household_kinds")
DATE_NAMES = ("from_on", "until_on")


def from_dict(stored: Mapping[str, object]) -> Rule:
    """Return the rule that `Rule.to_dict` wrote.

    Raises:
        ValueError: a limit that no rule has, or one that is no list or date.
    """
    cells: dict[str, str] = {}
    for name, value in stored.items():
        cells[name] = "; ".join(map(str, value)) if isinstance(value, list) else str(value)
    return parse(cells)


def parse(cells: Mapping[str, str]) -> Rule:
    """Return the rule that a sheet's cells name, such as `{"systems": "brakes; tires"}`.

    Raises:
        ValueError: an unknown column, system, job, kind of spend, date or amount, or a span that
            ends too early.
    """
    for name in cells:
        if name not in {field.name for field in fields(Rule)}:
            raise ValueError(f"“{name}” is not a limit that a fund can have.")
    rule = Rule(
        systems=frozenset(System.parse(code).value for code in listed(cells.get("systems", ""))),
        jobs=frozenset(_job(code) for code in listed(cells.get("jobs", ""))),
        part_kinds=listed(cells.get("part_kinds", "")),
        counties=listed(cells.get("counties", "")),
        household_kinds=listed(cells.get("household_kinds", "")),
        kinds=frozenset(_spend_kind(code) for code in listed(cells.get("kinds", ""))),
        from_on=_day(cells.get("from_on", "")),
        until_on=_day(cells.get("until_on", "")),
        two_over_cents=_cents(cells.get("two_over_cents", "")),
    )
    if rule.from_on and rule.until_on and rule.until_on < rule.from_on:
        raise ValueError(
            f"The fund would end on {rule.until_on}, before {rule.from_on}, its start."
        )
    return rule


def listed(cell: str) -> frozenset[str]:
    """Return the codes of a typed list: lower case, one space between words, `;` between codes."""
    codes = (" ".join(code.lower().split()) for code in cell.split(";"))
    return frozenset(code for code in codes if code)


def _spend_kind(code: str) -> str:
    if code not in set(SpendKind):
        raise ValueError(f"“{code}” is not a kind of spend. Use one of: {', '.join(SpendKind)}.")
    return code


def _job(code: str) -> str:
    if code not in load_operations():
        raise ValueError(f"“{code}” is not a job of the catalogue of operations.")
    return code


def _day(cell: str) -> date | None:
    return parse_date(cell) if cell.strip() else None


def _cents(cell: str) -> int | None:
    if not cell.strip():
        return None
    if not cell.strip().isdecimal():
        raise ValueError(f"“{cell}” is not a whole number of cents.")
    return int(cell)
