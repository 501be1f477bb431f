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

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from program.ledger.chart import Kind
from program.ledger.rules import LIST_NAMES, NO_LIMITS, Rule, SpendKind, from_dict, listed, parse
from shared.dates import full_date
from shared.money import usd
from shared.problems import Problem
from shared.say import Say, say
from vehicles.operations.catalogue import load as load_operations
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from program.ledger.chart import Account

# Whoever asks what a fund may pay finds the rule here too.
__all__ = [
    "Answer",
    "Fund",
    "Rule",
    "Spend",
    "SpendKind",
    "allows",
    "from_dict",
    "gift_first",
    "in_words",
    "listed",
    "needs_two",
    "parse",
    "refusal",
    "who_may",
]


@dataclass(frozen=True, kw_only=True)
class Fund:
    """A fund: `restricted` when a donor, not the board, said what it is for."""

    code: str
    name: str
    restricted: bool = False
    closed_on: date | None = None
    rule: Rule = NO_LIMITS


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
    job: str = ""
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


def allows(fund: Fund, spend: Spend) -> Answer:
    """Return whether the fund's restriction allows the spend; money itself isn't looked at."""
    seen = {
        "systems": {spend.system},
        "jobs": {spend.job},
        "part_kinds": {spend.part_kind},
        "kinds": {spend.kind},
        "counties": {spend.county.lower()},
        "household_kinds": spend.household_kinds,
    }
    limits = ((name, getattr(fund.rule, name)) for name in LIST_NAMES)
    broken = [_sentence(name, codes) for name, codes in limits if codes and not codes & seen[name]]
    return Answer(reasons=(*broken, *_dates_broken(fund, spend.on)))


def needs_two(fund: Fund, spend: Spend) -> Say | None:
    """Return why the fund asks for a second person before this spend, or None where it doesn't."""
    over = fund.rule.two_over_cents
    if over is None or spend.cents <= over:
        return None
    return say(
        "The {fund} asks for two people over {over}. This is {cents}.",
        fund=fund.name,
        over=usd(over),
        cents=usd(spend.cents),
    )


def gift_first(fund: Fund, credit: Account) -> Problem | None:
    """Return why income may not be typed into a restricted fund: a gift with a purpose is tested.

    In-kind gifts count too. `credit` is the account that would be credited.
    """
    if not fund.restricted or credit.kind != Kind.INCOME:
        return None
    return Problem(
        say(
            "The {fund} is restricted: a gift is tested before it is booked there.", fund=fund.name
        ),
        remedy=say("Enter it under gifts. Accepting it books it."),
        where=fund.code,
    )


def in_words(rule: Rule) -> list[Say]:
    """Return a sentence for each limit of a rule, none for a rule without limits.

    >>> [str(sentence) for sentence in in_words(parse({"systems": "tires; brakes"}))]
    ['It pays only for brakes or tires.']
    """
    lists = ((name, getattr(rule, name)) for name in LIST_NAMES)
    found = [_sentence(name, codes) for name, codes in lists if codes]
    if rule.from_on:
        found.append(say("It starts on {day}.", day=full_date(rule.from_on)))
    if rule.until_on:
        found.append(say("It ends on {day}.", day=full_date(rule.until_on)))
    if rule.two_over_cents is not None:
        found.append(say("Over {cents} it needs two people.", cents=usd(rule.two_over_cents)))
    return found


def _sentence(name: str, codes: frozenset[str]) -> Say:
    """Return the sentence of one list of a rule."""
    words = _or(map(_WORDS.get(name, str), codes))
    if name == "counties":
        return say("It pays only in {list}.", list=words)
    if name == "household_kinds":
        return say("It pays only for these households: {list}.", list=words)
    if name == "jobs":
        return say("It pays only for these jobs: {list}.", list=words)
    return say("It pays only for {list}.", list=words)


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


_WORDS: dict[str, Callable[[str], str]] = {
    "systems": lambda code: System(code).label.lower(),
    "jobs": lambda code: load_operations()[code].title.lower(),
    "counties": str.title,
}


def _or(codes: Iterable[str]) -> str:
    """Return `brakes, lights or tires`."""
    *first, last = sorted(code.replace("_", " ") for code in codes) or [""]
    return f"{', '.join(first)} or {last}" if first else last
