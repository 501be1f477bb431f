"""Funds and what they may pay for: a restriction is a rule that can be checked.

An empty part of a rule is no limit. A spend that leaves open what a rule asks about is refused.
Fund names are written as they stand in a sentence: “general fund”, “Pruitt gift”.

>>> tires = Fund(code="WIN", name="winter collection", rule=parse({"systems": "tires"}))
>>> joint = Spend(what="a ball joint", system="suspension", on=date(2026, 11, 25), cents=14000)
>>> [str(reason) for reason in allows(tires, joint).reasons]
['It pays only for tires.']
>>> print(refusal(tires, [Fund(code="PRU", name="Pruitt gift")], joint).remedy)
The Pruitt gift may.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING

from shared.dates import full_date, parse_date
from shared.problems import Problem
from shared.say import Say, say
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping


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
    """What the money may pay for. Codes are lower case; both dates belong to the span."""

    systems: frozenset[str] = frozenset()
    part_kinds: frozenset[str] = frozenset()
    counties: frozenset[str] = frozenset()
    household_kinds: frozenset[str] = frozenset()
    kinds: frozenset[str] = frozenset()
    from_on: date | None = None
    until_on: date | None = None

    def to_dict(self) -> dict[str, list[str] | str]:
        """Return the rule as JSON holds it: only its limits, lists sorted, dates ISO."""
        stored: dict[str, list[str] | str] = {}
        for name in LIST_NAMES:
            if codes := getattr(self, name):
                stored[name] = sorted(codes)
        for name in DATE_NAMES:
            if day := getattr(self, name):
                stored[name] = day.isoformat()
        return stored


LIST_NAMES = ("systems", "part_kinds", "counties", "household_kinds", "kinds")
DATE_NAMES = ("from_on", "until_on")


@dataclass(frozen=True, kw_only=True)
class Fund:
    """A fund: `restricted` when a donor, not the board, said what it is for."""

    code: str
    name: str
    restricted: bool = False
    closed_on: date | None = None
    rule: Rule = Rule()


@dataclass(frozen=True, kw_only=True)
class Spend:
    """One thing to be paid for. `what` stands in a sentence: “a ball joint”.

    Raises:
        ValueError: the amount is not above zero.
    """

    what: str
    on: date
    cents: int
    kind: str = SpendKind.PARTS
    system: str = ""
    part_kind: str = ""
    county: str = ""
    household_kinds: frozenset[str] = frozenset()

    def __post_init__(self) -> None:
        if self.cents <= 0:
            raise ValueError("A spend has to be more than $0.00.")


@dataclass(frozen=True, kw_only=True)
class Answer:
    """Whether a fund may pay, and a sentence for each limit that stands against it."""

    reasons: tuple[Say, ...] = ()

    @property
    def allowed(self) -> bool:
        return not self.reasons

    def __bool__(self) -> bool:
        return self.allowed


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
        ValueError: an unknown column, system, kind of spend or date, or a span that ends too early.
    """
    for name in cells:
        if name not in {field.name for field in fields(Rule)}:
            raise ValueError(f"“{name}” is not a limit that a fund can have.")
    rule = Rule(
        systems=frozenset(System.parse(code).value for code in listed(cells.get("systems", ""))),
        part_kinds=listed(cells.get("part_kinds", "")),
        counties=listed(cells.get("counties", "")),
        household_kinds=listed(cells.get("household_kinds", "")),
        kinds=frozenset(_spend_kind(code) for code in listed(cells.get("kinds", ""))),
        from_on=_day(cells.get("from_on", "")),
        until_on=_day(cells.get("until_on", "")),
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


def allows(fund: Fund, spend: Spend) -> Answer:
    """Return whether the fund's restriction allows the spend; money itself isn't looked at."""
    rule = fund.rule
    looked_at = (
        (rule.systems, {spend.system}),
        (rule.part_kinds, {spend.part_kind}),
        (rule.kinds, {spend.kind}),
        (rule.counties, {spend.county.lower()}),
        (rule.household_kinds, spend.household_kinds),
    )
    broken = [
        sentence
        for (limit, seen), sentence in zip(looked_at, _limits(rule), strict=True)
        if limit and not limit & seen
    ]
    return Answer(reasons=(*broken, *_dates_broken(fund, spend.on)))


def in_words(rule: Rule) -> list[Say]:
    """Return a sentence for each limit of a rule, none for a rule without limits.

    >>> [str(sentence) for sentence in in_words(parse({"systems": "tires; brakes"}))]
    ['It pays only for brakes or tires.']
    """
    limits = (rule.systems, rule.part_kinds, rule.kinds, rule.counties, rule.household_kinds)
    found = [sentence for limit, sentence in zip(limits, _limits(rule), strict=True) if limit]
    if rule.from_on:
        found.append(say("It starts on {day}.", day=full_date(rule.from_on)))
    if rule.until_on:
        found.append(say("It ends on {day}.", day=full_date(rule.until_on)))
    return found


def _limits(rule: Rule) -> tuple[Say, ...]:
    """Return the sentence of each list of a rule, in the order in which they are looked at."""
    return (
        say("It pays only for {list}.", list=_or(map(_system, rule.systems))),
        say("It pays only for {list}.", list=_or(rule.part_kinds)),
        say("It pays only for {list}.", list=_or(rule.kinds)),
        say("It pays only in {list}.", list=_or(map(str.title, rule.counties))),
        say("It pays only for these households: {list}.", list=_or(rule.household_kinds)),
    )


def who_may(funds: Iterable[Fund], spend: Spend) -> list[Fund]:
    """Return the funds that may pay: restricted money first, then what ends first, then by code."""
    may = (fund for fund in funds if allows(fund, spend))
    return sorted(
        may, key=lambda fund: (not fund.restricted, fund.rule.until_on or date.max, fund.code)
    )


def refusal(fund: Fund, others: Iterable[Fund], spend: Spend) -> Problem | None:
    """Return what stands against paying the spend from `fund`, and which other fund may."""
    answer = allows(fund, spend)
    if answer:
        return None
    may = who_may((other for other in others if other.code != fund.code), spend)
    return Problem(
        say(
            "The {fund} can't pay for {what}. {why}",
            fund=fund.name,
            what=spend.what,
            why=answer.reasons[0],
        ),
        remedy=say("The {fund} may.", fund=may[0].name) if may else say("No other fund may."),
        where=fund.code,
    )


def _dates_broken(fund: Fund, on: date) -> list[Say]:
    """Return a sentence for each date that bars a spend on that day."""
    broken = []
    if fund.rule.from_on and on < fund.rule.from_on:
        broken.append(say("It starts on {day}.", day=full_date(fund.rule.from_on)))
    if fund.rule.until_on and on > fund.rule.until_on:
        broken.append(say("It ended on {day}.", day=full_date(fund.rule.until_on)))
    if fund.closed_on and on >= fund.closed_on:
        broken.append(say("It was closed on {day}.", day=full_date(fund.closed_on)))
    return broken


def _spend_kind(code: str) -> str:
    if code not in set(SpendKind):
        raise ValueError(f"“{code}” is not a kind of spend. Use one of: {', '.join(SpendKind)}.")
    return code


def _system(code: str) -> str:
    return System(code).label.lower()


def _or(codes: Iterable[str]) -> str:
    """Return `brakes, lights or tires`."""
    *first, last = sorted(code.replace("_", " ") for code in codes) or [""]
    return f"{', '.join(first)} or {last}" if first else last


def _day(cell: str) -> date | None:
    return parse_date(cell) if cell.strip() else None
