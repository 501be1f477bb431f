"""Which entries of the books each line of the bank is: proposals with a reason, no entry twice.

Only equal amounts are proposed; an amount with two digits changed is told as perhaps a slip.

>>> from datetime import date
>>> fee = Movement(id=1, on=date(2026, 10, 30), cents=-1500, words="Bank fees")
>>> line = Movement(id=7, on=date(2026, 10, 31), cents=-1500, words="SERVICE CHARGE")
>>> found = propose([line], [fee])[7]
>>> found.entries, str(found.sure), str(found.reason)
((1,), 'sure', 'The only entry of this amount, 1 day away.')
>>> propose([line], [])
{}
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from dataclasses import dataclass
from enum import StrEnum
from functools import cached_property
from typing import TYPE_CHECKING, Final

import numpy as np

from program.bank.assignment import assign
from program.bank.hints import swapped
from program.bank.splitting import MOST_STEPS, only_sum
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

#: Days between an entry and its line; common practice, no source.
BEFORE: Final = 180  # a check may be cashed that late
AFTER: Final = 7  # an entry may be dated after its line
NEAR: Final = 10  # that near, one of its amount alone is sure
CLEAR: Final = 14  # that much nearer than the next, it is sure as well
DEPOSIT: Final = 10  # days in which what is deposited at once was booked
SLIP: Final = 30
POOL: Final = 24  # entries that a deposit is put together from
ALL_STEPS: Final = 400_000  # of all searches for a deposit together
WORD: Final = 4  # letters that a word needs to tell anything
TELLS: Final = 60  # days that a word in common is worth
IMPOSSIBLE: Final = 10**9
SCALE: Final = 10_000  # a day's weight against the order of ids


class Sure(StrEnum):
    """How sure a proposal is. A slip is only told, and can't be accepted."""

    SURE = "sure"
    LIKELY = "likely"
    SEVERAL = "several"
    SLIP = "slip"


@dataclass(frozen=True, kw_only=True)
class Movement:
    """A line of the bank, or what an entry moves on the account; money in above zero."""

    id: int
    on: date
    cents: int
    words: str = ""

    @cached_property
    def tokens(self) -> frozenset[str]:
        """The words that may tell: of four letters, or a check number of three digits."""
        found = re.findall(r"[a-z]+|\d+", self.words.lower())
        return frozenset(word for word in found if len(word) >= WORD - word.isdigit())


@dataclass(frozen=True, kw_only=True)
class Proposed:
    """The entries that a line is proposed to be, why, and how sure that is."""

    entries: tuple[int, ...]
    reason: Say
    sure: Sure


def propose(lines: Sequence[Movement], entries: Sequence[Movement]) -> dict[int, Proposed]:
    """Return what each line is proposed to be, by the line's id; no entry stands in two of them.

    First one entry for one line, as many as can be and the nearest; then deposits of several; then
    slips. The order in which lines and entries are given doesn't matter.
    """
    open_lines = sorted(lines, key=lambda line: (line.on, line.id))
    free = sorted((row for row in entries if row.cents), key=lambda row: (row.on, row.id))
    found = _singles(open_lines, free)
    for step in (_sums, _slips):
        used = {pk for proposed in found.values() for pk in proposed.entries}
        rest = [line for line in open_lines if line.id not in found]
        found |= step(rest, [row for row in free if row.id not in used])
    return found


def apart(line: Movement, entry: Movement) -> int:
    """Return the days from the entry to its line; below zero when the entry is the later."""
    return (line.on - entry.on).days


def _by_cents(rows: Iterable[Movement]) -> dict[int, list[Movement]]:
    found: dict[int, list[Movement]] = defaultdict(list)
    for row in rows:
        found[row.cents].append(row)
    return found


def _singles(lines: Sequence[Movement], entries: Sequence[Movement]) -> dict[int, Proposed]:
    """Return one entry for a line of the same amount; each amount is a problem of its own."""
    there = _by_cents(entries)
    telling = _telling(lines, entries)
    found: dict[int, Proposed] = {}
    for cents, some in _by_cents(lines).items():
        if cents in there:
            found |= _assigned(some, there[cents], telling)
    return found


def _telling(lines: Sequence[Movement], entries: Sequence[Movement]) -> frozenset[str]:
    """Return the words that stand on both sides, and in few entries: the others tell nothing."""
    count = Counter(word for entry in entries for word in entry.tokens)
    said = {word for line in lines for word in line.tokens}
    most = max(3, len(entries) // 20)
    return frozenset(word for word in said if 0 < count[word] <= most)


def _assigned(
    lines: Sequence[Movement], entries: Sequence[Movement], telling: frozenset[str]
) -> dict[int, Proposed]:
    costs = _costs(lines, entries, telling)
    found = {}
    for place, column in enumerate(assign(costs)):
        if column is not None and costs[place, column] < IMPOSSIBLE:
            sure, reason = _judged(costs, place, column, lines[place], entries[column], telling)
            found[lines[place].id] = Proposed(
                entries=(entries[column].id,), reason=reason, sure=sure
            )
    return found


def _costs(
    lines: Sequence[Movement], entries: Sequence[Movement], telling: frozenset[str]
) -> np.ndarray[tuple[int, int], np.dtype[np.int64]]:
    """Return what it costs to take an entry for a line: days, less what words in common tell."""
    line_days = np.array([line.on.toordinal() for line in lines], dtype=np.int64)
    entry_days = np.array([entry.on.toordinal() for entry in entries], dtype=np.int64)
    days = line_days[:, None] - entry_days[None, :]
    places = np.abs(np.arange(len(lines))[:, None] - np.arange(len(entries))[None, :])
    costs = (np.abs(days) + TELLS) * SCALE + np.minimum(places, SCALE - 1)
    costs = np.where((days > BEFORE) | (days < -AFTER), IMPOSSIBLE, costs)
    words = [entry.tokens & telling for entry in entries]
    for place, line in enumerate(lines):
        said = line.tokens & telling
        for column in [at for at, word in enumerate(words) if said & word] if said else []:
            if costs[place, column] < IMPOSSIBLE:
                costs[place, column] -= TELLS * SCALE
    return costs.astype(np.int64)


def _judged(
    costs: np.ndarray[tuple[int, int], np.dtype[np.int64]],
    place: int,
    column: int,
    line: Movement,
    entry: Movement,
    telling: frozenset[str],
) -> tuple[Sure, Say]:
    """Return how sure one pair is, and why."""
    others = np.concatenate([np.delete(costs[place], column), np.delete(costs[:, column], place)])
    rivals = others[others < IMPOSSIBLE]
    lead = int(rivals.min() - costs[place, column]) // SCALE if rivals.size else BEFORE
    days = abs(apart(line, entry))
    common = sorted(line.tokens & entry.tokens & telling)
    away = _away(days)
    if common and lead >= CLEAR:
        return Sure.SURE, say(
            "The same amount, and “{word}” in both, {days}.", word=common[0], days=away
        )
    if not rivals.size:
        sure = Sure.SURE if days <= NEAR else Sure.LIKELY
        return sure, say("The only entry of this amount, {days}.", days=away)
    if lead >= CLEAR:
        sure = Sure.SURE if days <= NEAR else Sure.LIKELY
        return sure, say("The nearest entry of this amount, {days}.", days=away)
    return Sure.SEVERAL, say(
        "{count} more would fit this amount; this is the nearest, {days}.",
        count=int(rivals.size),
        days=away,
    )


def _away(days: int) -> Say:
    if not days:
        return say("on the same day")
    return say("1 day away") if days == 1 else say("{days} days away", days=days)


def _sums(lines: Sequence[Movement], entries: Sequence[Movement]) -> dict[int, Proposed]:
    """Return lines that are several entries at once, such as a deposit of several checks.

    Where two lines would take the same entry, neither is proposed.
    """
    found: dict[int, Proposed] = {}
    steps = ALL_STEPS
    for line in lines:
        if steps <= 0:
            break
        pool = _pool(line, entries)
        amounts = [entry.cents for entry in pool]
        steps -= min(MOST_STEPS, 2 ** len(pool))
        places = only_sum(amounts, line.cents) if len(pool) > 1 else None
        if places:
            found[line.id] = Proposed(
                entries=tuple(sorted(pool[place].id for place in places)),
                reason=say("{count} entries add up to it exactly.", count=len(places)),
                sure=Sure.LIKELY,
            )
    taken = Counter(pk for proposed in found.values() for pk in proposed.entries)
    return {
        pk: proposed
        for pk, proposed in found.items()
        if all(taken[entry] == 1 for entry in proposed.entries)
    }


def _pool(line: Movement, entries: Sequence[Movement]) -> list[Movement]:
    """Return the nearest entries of the line's sign that were booked in the days before it."""
    near = [
        entry
        for entry in entries
        if -1 <= apart(line, entry) <= DEPOSIT
        and entry.cents * line.cents > 0
        and abs(entry.cents) < abs(line.cents)
    ]
    return sorted(near, key=lambda entry: (abs(apart(line, entry)), entry.id))[:POOL]


def _slips(lines: Sequence[Movement], entries: Sequence[Movement]) -> dict[int, Proposed]:
    """Return lines whose amount is that of an entry with two digits changed."""
    there: Mapping[int, list[Movement]] = _by_cents(entries)
    used: set[int] = set()
    found: dict[int, Proposed] = {}
    for line in lines:
        fits = [
            entry
            for cents in swapped(line.cents)
            for entry in there.get(cents, [])
            if abs(apart(line, entry)) <= SLIP and entry.id not in used
        ]
        if fits:
            best = min(fits, key=lambda entry: (abs(apart(line, entry)), entry.id))
            used.add(best.id)
            reason = say("Two digits of this entry have changed places.")
            found[line.id] = Proposed(entries=(best.id,), reason=reason, sure=Sure.SLIP)
    return found
