"""Work that not everybody may do, as named resources: the hours of those who may.

Jobs are grouped by what they take (signed off for brakes, under a raised car). Work of some groups
can be shared out if and only if, for every union of the sets of people who may do them, the work
that only they may do doesn't pass their hours.
Source: Hall 1935, Gale 1957 (the rule); both cited from memory.

>>> ana, ben = Hand(id=1, name="Ana", minutes=(300, 300)), Hand(id=2, name="Ben", minutes=(60, 0))
>>> rows = shared_hours([ana, ben], {"brakes": ({1}, {1}), "tires": ({1, 2}, {1, 2})})
>>> [(row.name, sorted(row.groups), row.minutes) for row in rows]
[('minutes of Ana', ['brakes'], (300, 300))]
>>> kinds_of({"minutes": 90, "minutes of Ana": 60})
{('minutes of Ana',): 60}
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

MOST_UNIONS: Final = 64  # beyond it each group stands alone: weaker, and still no false promise
MOST_NAMES: Final = 3
HOURS_OF: Final = "minutes of "  # what the name of every such resource begins with
Kind = tuple[str, ...]  # the hours that a piece of work takes at once, by name, in order
ANYBODY: Final[Kind] = ()


@dataclass(frozen=True, kw_only=True)
class Hand:
    """One person and the book minutes of each week."""

    id: int
    name: str
    minutes: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class SharedHours:
    """The hours in each week of those who may do the work of some groups, under one name."""

    name: str
    groups: frozenset[str]
    minutes: tuple[int, ...]


def kinds_of(uses: Mapping[str, int]) -> dict[Kind, int]:
    """Return the minutes of each kind of work in what one piece of work takes.

    They are a part of the piece's own minutes. A minute that takes fewer of the hours than
    another is a kind apart.

    >>> kinds_of({"minutes of Ana": 60, "minutes of Ana or Ben": 80})
    {('minutes of Ana', 'minutes of Ana or Ben'): 60, ('minutes of Ana or Ben',): 20}
    """
    hours = {name: uses[name] for name in sorted(uses) if name.startswith(HOURS_OF)}
    found, below = dict[Kind, int](), 0
    for level in sorted({*hours.values()} - {0}):
        found[tuple(name for name, minutes in hours.items() if minutes >= level)] = level - below
        below = level
    return found


def told_apart(kinds: Iterable[Kind], taken: Mapping[str, int]) -> dict[Kind, int]:
    """Return the minutes of each kind of work, given what all of it takes of each hours.

    >>> told_apart([("a", "ab"), ("ab",)], {"a": 60, "ab": 80})
    {('a', 'ab'): 60, ('ab',): 20}

    Raises:
        ValueError: other minutes of these kinds would take as much.
    """
    left, waiting = dict(taken), sorted({*kinds} - {ANYBODY})
    found: dict[Kind, int] = {}
    while waiting:
        counts = Counter(name for kind in waiting for name in kind)
        pairs = ((kind, name) for kind in waiting for name in kind if counts[name] == 1)
        kind, sole = next(pairs, (ANYBODY, ""))
        if not sole:
            raise ValueError("These kinds of work can't be told apart by the hours they take.")
        found[kind] = left.get(sole, 0)
        for name in kind:
            left[name] = left.get(name, 0) - found[kind]
        waiting.remove(kind)
    return found


def shared_hours(
    hands: Iterable[Hand], may: Mapping[str, Sequence[Collection[int]]]
) -> tuple[SharedHours, ...]:
    """Return the hours that bound the work of each set of groups, in a fixed order.

    `may` has for each group the ids of the people who may do its work, by week. Sets of groups of
    which everybody may do some are left out: the week's minutes bound them already.
    """
    rows = sorted(hands, key=lambda hand: hand.id)
    everybody = frozenset(hand.id for hand in rows if any(hand.minutes))
    able = {group: [everybody & {*own} for own in may[group]] for group in sorted(may)}
    sets = _sets_of_groups(able)
    found = _bounds(rows, sets, able)
    kinds = {tuple(row.name for row in found if group in row.groups) for group in able}
    try:
        told_apart(kinds, {})
    except ValueError:
        found = _bounds(rows, sets | {frozenset({group}) for group in able}, able)
    return found


def _bounds(
    rows: Sequence[Hand],
    sets: Iterable[frozenset[str]],
    able: Mapping[str, Sequence[frozenset[int]]],
) -> tuple[SharedHours, ...]:
    everybody = frozenset(hand.id for hand in rows if any(hand.minutes))
    found = []
    for groups in sets:
        people = frozenset().union(*(own for group in groups for own in able[group]))
        minutes = _minutes(rows, groups, able)
        if people != everybody or minutes != _minutes_of_all(rows):
            name = _name(rows, people, groups)
            found.append((people, SharedHours(name=name, groups=groups, minutes=minutes)))
    found.sort(key=lambda pair: (len(pair[0]), sorted(pair[0]), sorted(pair[1].groups)))
    return _told_apart_by_name([row for _, row in found])


def _told_apart_by_name(rows: Sequence[SharedHours]) -> tuple[SharedHours, ...]:
    """Return the rows with a number behind each name that stands there already.

    Names are shortened, and two people may have the same.
    """
    stands = Counter[str]()
    found = []
    for row in rows:
        stands[row.name] += 1
        number = stands[row.name]
        found.append(row if number == 1 else replace(row, name=f"{row.name} ({number})"))
    return tuple(found)


def _sets_of_groups(able: Mapping[str, Sequence[frozenset[int]]]) -> set[frozenset[str]]:
    """Return the groups whose work only some people may do, for each union of sets of a week."""
    weeks = [dict(zip(able, own, strict=True)) for own in zip(*able.values(), strict=True)]
    return {
        frozenset(group for group, own in week.items() if own <= people)
        for week in weeks
        for people in _unions(week.values())
    }


def _unions(sets: Iterable[frozenset[int]]) -> set[frozenset[int]]:
    """Return every union of the sets, or the sets alone when there are too many unions."""
    alone = sorted(set(sets), key=sorted)
    found: set[frozenset[int]] = set()
    for own in alone:
        found |= {own | other for other in found} | {own}
        if len(found) > MOST_UNIONS:
            return set(alone)
    return found


def _minutes(
    rows: Sequence[Hand], groups: frozenset[str], able: Mapping[str, Sequence[Collection[int]]]
) -> tuple[int, ...]:
    """Return the minutes of each week of those who may then do the work of one of the groups."""
    weeks = range(len(rows[0].minutes) if rows else 0)
    return tuple(
        sum(
            hand.minutes[week]
            for hand in rows
            if any(hand.id in able[group][week] for group in groups)
        )
        for week in weeks
    )


def _minutes_of_all(rows: Sequence[Hand]) -> tuple[int, ...]:
    return tuple(map(sum, zip(*(hand.minutes for hand in rows), strict=True)))


def _name(rows: Sequence[Hand], people: frozenset[int], groups: frozenset[str]) -> str:
    names = [hand.name for hand in rows if hand.id in people]
    if not names:
        return f"{HOURS_OF}somebody who may {' or '.join(sorted(groups)[:MOST_NAMES])}"
    if len(names) > MOST_NAMES:
        return f"{HOURS_OF}{', '.join(names[:MOST_NAMES])} or {len(names) - MOST_NAMES} more"
    return HOURS_OF + " or ".join(names)
