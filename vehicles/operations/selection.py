"""Which of several ways to clear a set of findings asks the least, exactly; and their order.

>>> cheap = Way(key="pads", effort=75, clears=frozenset({1, 2}))
>>> both = Way(key="pads and rotors", effort=105, clears=frozenset({1, 2, 3}))
>>> [way.key for way in select([cheap, both], {1, 2, 3})]
['pads and rotors']
>>> [way.key for way in select([cheap, both], {1, 2})]
['pads']

Since the answer is the least there is, taking a finding away never makes it more.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from vehicles.operations.catalogue import order_of_work
from vehicles.operations.operation import axle_of

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from vehicles.operations.operation import Operation
    from vehicles.operations.proposing import Proposal

    # The effort, how many ways, and their keys in order: compared in this order.
    Choice = tuple[int, int, tuple[str, ...]]


@dataclass(frozen=True, kw_only=True)
class Way:
    """Some work: its key, what it asks in whole units above zero, and the ids that it clears."""

    key: str
    effort: int
    clears: frozenset[int]

    def __post_init__(self) -> None:
        if self.effort <= 0:
            raise ValueError(f"“{self.key}” asks no effort.")


def select(ways: Iterable[Way], wanted: Collection[int]) -> list[Way]:
    """Return the ways that clear all of `wanted` with the least effort, in order of their keys.

    Ties go to fewer ways, then to the lower keys. Keys are unique.

    Raises:
        ValueError: one of `wanted` is cleared by no way.
    """
    by_key = {way.key: way for way in ways if way.clears & set(wanted)}
    keys_of: dict[int, frozenset[str]] = {
        one: frozenset(key for key, way in by_key.items() if one in way.clears)
        for one in sorted(wanted)
    }
    for one, keys in keys_of.items():
        if not keys:
            raise ValueError(f"Nothing clears {one}.")
    # Findings that the same ways clear are one question.
    questions = set(keys_of.values())
    chosen: set[str] = set()
    for part in _apart(questions):
        chosen.update(_least(part, by_key))
    return [by_key[key] for key in sorted(chosen)]


def _apart(questions: Iterable[frozenset[str]]) -> list[list[frozenset[str]]]:
    """Return the questions in groups that share no way, each in order."""
    groups: list[tuple[set[str], list[frozenset[str]]]] = []
    for question in sorted(questions, key=sorted):
        joined = [group for group in groups if group[0] & question]
        apart = [group for group in groups if not group[0] & question]
        keys = question.union(*(group[0] for group in joined))
        members = [one for group in joined for one in group[1]]
        groups = [*apart, (set(keys), [*members, question])]
    return [sorted(members, key=lambda keys: (len(keys), sorted(keys))) for _, members in groups]


def _least(questions: list[frozenset[str]], ways: Mapping[str, Way]) -> tuple[str, ...]:
    """Return the keys of the best choice of ways: each open question in turn, each of its ways.

    Answers to what is still open are kept, so that no rest is worked out twice.
    """
    answers: dict[str, int] = defaultdict(int)
    for at, question in enumerate(questions):
        for key in question:
            answers[key] |= 1 << at
    known: dict[int, Choice] = {0: (0, 0, ())}

    def best(still: int) -> Choice:
        if still not in known:
            question = questions[(still & -still).bit_length() - 1]
            known[still] = min(_with(key, best(still & ~answers[key])) for key in question)
        return known[still]

    def _with(key: str, rest: Choice) -> Choice:
        effort, count, keys = rest
        return effort + ways[key].effort, count + 1, tuple(sorted((key, *keys)))

    return best((1 << len(questions)) - 1)[2]


def in_order(proposals: Iterable[Proposal], operations: Mapping[str, Operation]) -> list[Proposal]:
    """Return the proposals, each after those that it names first; of those free, the worst."""
    before = order_of_work(operations)
    waiting = sorted(proposals, key=lambda one: (-one.deficiency.rank, one.key))
    waiting = [replace(one, first=_first(one, waiting, before)) for one in waiting]
    done: dict[str, Proposal] = {}
    while waiting:
        ready = next(one for one in waiting if all(key in done for key in one.first))
        waiting.remove(ready)
        done[ready.key] = ready
    return list(done.values())


def _first(
    proposal: Proposal, others: Iterable[Proposal], before: Mapping[str, Collection[str]]
) -> tuple[str, ...]:
    """Return the keys of the others that come before it: those of another axle do not."""
    axles = {axle_of(one) for one in proposal.places}
    return tuple(
        other.key
        for other in others
        if other.operation.code in before[proposal.operation.code]
        and not (axles and other.places and axles.isdisjoint(map(axle_of, other.places)))
    )
