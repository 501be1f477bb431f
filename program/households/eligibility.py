"""Whether a household's income is within a multiple of the federal poverty guideline.

Numbers are compared unrounded: income x 100 against guideline x percent. What counts as income,
over which period and for whom is the program's policy; a person decides and signs.

>>> us = guideline_on(date(2026, 11, 25), "OH")
>>> str(assess(Household(members=4, annual_income_cents=4125001), us, Fraction(5, 4)).sentence)
'Income $41,250.01 is above the limit of $41,250.00 (125% of the 2026 guideline for 4).'
>>> assess(Household(members=4, annual_income_cents=4125000), us, Fraction(5, 4)).within
True
"""

from __future__ import annotations

import csv
import math
import re
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from shared.money import usd
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable

GUIDELINES_FILE = (
    Path(__file__).resolve().parents[2] / "fixtures" / "catalogue" / "poverty_guidelines.csv"
)
EACH_MORE: Final = "each_additional"
AREAS: Final = {"AK": "AK", "HI": "HI"}
#: The 48 states and DC. Guam, Puerto Rico and the Virgin Islands have no guideline of their own.
STATES: Final = frozenset(
    re.findall(
        "..",
        "ALAZARCACOCTDEDCFLGAIDILINIAKSKYLAMEMDMAMIMNMSMOMTNENVNHNJNMNY"
        "NCNDOHOKORPARISCSDTNTXUTVTVAWAWVWIWY",
    )
)


@dataclass(frozen=True, kw_only=True)
class Guideline:
    """One year's guideline for one area: dollars a year by household size, and for each more.

    `area` is US (the 48 states and DC), AK or HI. It holds from `effective_on`, in mid-January.
    """

    year: int
    area: str
    effective_on: date
    dollars: tuple[int, ...]
    each_more_dollars: int
    source: str = ""
    mark: str = ""

    def cents(self, members: int) -> int:
        """Return the guideline in cents a year for a household of that size.

        Raises:
            ValueError: nobody lives in the household.
        """
        if members < 1:
            raise ValueError(f"A household of {members} is not possible. Type 1 or more.")
        beyond = max(members - len(self.dollars), 0)
        return (self.dollars[members - beyond - 1] + beyond * self.each_more_dollars) * 100


@dataclass(frozen=True, kw_only=True)
class Household:
    """How many live in the household, and their income of a year."""

    members: int
    annual_income_cents: int


@dataclass(frozen=True, kw_only=True)
class Assessment:
    """What the comparison gave. `limit_cents` and `percent` are exact, never rounded."""

    within: bool
    limit_cents: Fraction
    percent: Fraction
    sentence: Say

    @property
    def monthly_limit_dollars(self) -> int:
        """A month's share of the limit, up to the next whole dollar, for showing only."""
        return math.ceil(self.limit_cents / 1200)


def assess(household: Household, guideline: Guideline, multiple: Fraction) -> Assessment:
    """Return whether the income is at or under `multiple` times the guideline.

    Raises:
        ValueError: nobody lives there, an income below zero, or a multiple that isn't above zero.
    """
    income = household.annual_income_cents
    if income < 0:
        raise ValueError(f"An income of {usd(income)} is not possible. Type 0 or more.")
    if multiple <= 0:
        raise ValueError("The limit has to be more than 0% of the guideline.")
    base = guideline.cents(household.members)
    limit = base * multiple
    values = {
        "income": usd(income),
        "limit": usd(math.floor(limit)),
        "percent": f"{float(multiple * 100):g}",
        "year": guideline.year,
        "members": household.members,
    }
    within = income <= limit
    if within:
        sentence = say(
            "Income {income} is within the limit of {limit} "
            "({percent}% of the {year} guideline for {members}).",
            **values,
        )
    else:
        sentence = say(
            "Income {income} is above the limit of {limit} "
            "({percent}% of the {year} guideline for {members}).",
            **values,
        )
    percent = Fraction(income * 100, base)
    return Assessment(within=within, limit_cents=limit, percent=percent, sentence=sentence)


def area_of(state: str) -> str:
    """Return the guideline's area for a state's two letters: US, AK or HI.

    Raises:
        ValueError: no state that has a guideline.
    """
    code = state.strip().upper()
    if code in STATES:
        return "US"
    if code not in AREAS:
        raise ValueError(f"“{state}” has no poverty guideline of its own. The program chooses one.")
    return AREAS[code]


def guideline_on(day: date, state: str, guidelines: Iterable[Guideline] | None = None) -> Guideline:
    """Return the guideline that holds on a day in a state; the shipped ones by default.

    Raises:
        ValueError: none holds on that day, or the state has none.
    """
    area = area_of(state)
    held = [
        guideline
        for guideline in (load() if guidelines is None else guidelines)
        if guideline.area == area and guideline.effective_on <= day
    ]
    if not held:
        raise ValueError(f"No poverty guideline is on file for {day}.")
    return max(held, key=lambda guideline: guideline.effective_on)


@cache
def load() -> tuple[Guideline, ...]:
    """Return the guidelines that ship with the program, by year and area."""
    groups: dict[tuple[int, str], list[dict[str, str]]] = {}
    with GUIDELINES_FILE.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            groups.setdefault((int(row["year"]), row["area"]), []).append(row)
    return tuple(_guideline(rows) for _, rows in sorted(groups.items()))


def _guideline(rows: list[dict[str, str]]) -> Guideline:
    """Return the guideline of one year and area from its rows, by size."""
    by_size = {row["household_size"]: int(row["guideline_usd"]) for row in rows}
    each_more = by_size.pop(EACH_MORE)
    return Guideline(
        year=int(rows[0]["year"]),
        area=rows[0]["area"],
        effective_on=date.fromisoformat(rows[0]["effective_on"]),
        dollars=tuple(by_size[str(size)] for size in range(1, len(by_size) + 1)),
        each_more_dollars=each_more,
        source=rows[0]["source"],
        mark=rows[0]["mark"],
    )
