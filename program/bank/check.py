"""Whether a statement follows the one before it and adds up; nothing is written unless it does.

>>> from program.bank.statement_file import FileLine
>>> line = FileLine(row=2, on=date(2026, 10, 30), cents=-1500, words="Fee")
>>> days = Given(from_on=date(2026, 10, 1), until_on=date(2026, 10, 31), opening=9000, closing=7600)
>>> [str(problem.sentence) for problem in check(days, [line], Known()).problems]
['$90.00 and the lines make $75.00, $1.00 less than the closing balance of $76.00.']
>>> check(replace(days, closing=7500), [line], Known()).problems
()
"""

from __future__ import annotations

import hashlib
from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import TYPE_CHECKING

from shared.dates import full_date, short_date
from shared.money import usd
from shared.problems import Problem
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from program.bank.statement_file import FileLine
    from shared.say import Say

MOST_SAID = 5
ONE_DAY = timedelta(days=1)


@dataclass(frozen=True, kw_only=True)
class Given:
    """What the statement says of itself: its days and both balances in cents."""

    from_on: date
    until_on: date
    opening: int
    closing: int


@dataclass(frozen=True, kw_only=True)
class Known:
    """The last day that is read, the balance then, and the fingerprints of the lines up to it."""

    until_on: date | None = None
    closing: int = 0
    prints: frozenset[str] = frozenset()


@dataclass(frozen=True, kw_only=True)
class Checked:
    """What is to be written: the new lines with their fingerprints, and from which day on.

    `skipped` counts the lines that were read before. With a problem nothing is written.
    """

    given: Given
    lines: tuple[tuple[str, FileLine], ...] = ()
    skipped: int = 0
    problems: tuple[Problem, ...] = ()


def fingerprints(lines: Iterable[FileLine]) -> list[str]:
    """Return one text for each line: of its day, amount, words, reference and place among equals.

    The place makes two equal lines of one day two; a file holds whole days, so it stays the same.
    """
    seen: Counter[tuple[str, ...]] = Counter()
    found = []
    for line in lines:
        parts = (line.on.isoformat(), str(line.cents), line.words, line.reference)
        seen[parts] += 1
        found.append(hashlib.sha256("\x1f".join((*parts, str(seen[parts]))).encode()).hexdigest())
    return found


def check(given: Given, lines: Sequence[FileLine], known: Known) -> Checked:
    """Return what of a statement is new, or everything that speaks against it.

    Days that were read before may come again only with exactly the lines that are known; the rest
    then begins on the day after them, with their closing balance.
    """
    marked = list(zip(fingerprints(lines), lines, strict=True))
    old = [line for print_, line in marked if print_ in known.prints]
    new = tuple(pair for pair in marked if pair[0] not in known.prints)
    sentences = [
        *_outside(given, lines),
        *_sum(given, lines),
        *(_follows(given, new, old, known) if known.until_on else ()),
    ]
    start = known.until_on + ONE_DAY if known.until_on else given.from_on
    kept = replace(given, from_on=max(given.from_on, start))
    if known.until_on and given.from_on <= known.until_on:
        kept = replace(kept, opening=known.closing)
    return Checked(
        given=kept,
        lines=new,
        skipped=len(old),
        problems=tuple(Problem(sentence) for sentence in sentences),
    )


def _outside(given: Given, lines: Sequence[FileLine]) -> list[Say]:
    if given.until_on < given.from_on:
        return [say("The last day lies before the first.")]
    outside = [line for line in lines if not given.from_on <= line.on <= given.until_on]
    return [
        say(
            "Row {row}, {day}, is not between {first} and {last}.",
            row=line.row,
            day=full_date(line.on),
            first=short_date(given.from_on),
            last=short_date(given.until_on),
        )
        for line in outside[:MOST_SAID]
    ]


def _sum(given: Given, lines: Sequence[FileLine]) -> list[Say]:
    found = given.opening + sum(line.cents for line in lines)
    if found == given.closing:
        return []
    return [
        say(
            "{opening} and the lines make {found}, {differs} {way} than the closing balance"
            " of {closing}.",
            opening=usd(given.opening),
            found=usd(found),
            differs=usd(abs(found - given.closing)),
            way=say("more") if found > given.closing else say("less"),
            closing=usd(given.closing),
        )
    ]


def _follows(
    given: Given,
    new: Sequence[tuple[str, FileLine]],
    old: Sequence[FileLine],
    known: Known,
) -> list[Say]:
    """Return how a statement fails to follow the last one."""
    until = known.until_on or given.from_on
    if given.until_on <= until:
        return [say("Everything to {day} was read already.", day=full_date(until))]
    if given.from_on > until + ONE_DAY:
        return [
            say(
                "Days are missing: the last statement ends on {last}, this one begins on {first}.",
                last=full_date(until),
                first=full_date(given.from_on),
            )
        ]
    strange = [line for _, line in new if line.on <= until]
    return _strange(strange) or _meets(given.opening + sum(line.cents for line in old), known)


def _strange(lines: Sequence[FileLine]) -> list[Say]:
    """Return lines of days that were read which weren't there then."""
    return [
        say(
            "Row {row}, {day}, {usd}, lies in days that were read before, and is not among"
            " their lines.",
            row=line.row,
            day=full_date(line.on),
            usd=usd(line.cents),
        )
        for line in lines[:MOST_SAID]
    ]


def _meets(reached: int, known: Known) -> list[Say]:
    """Return by how much a statement misses the closing balance of the last one."""
    if reached == known.closing or known.until_on is None:
        return []
    return [
        say(
            "The last statement closes at {closing} on {day}; this one has {reached} then,"
            " {differs} {way}.",
            closing=usd(known.closing),
            day=full_date(known.until_on),
            reached=usd(reached),
            differs=usd(abs(reached - known.closing)),
            way=say("more") if reached > known.closing else say("less"),
        )
    ]
