"""The work on one car of a small program, and one way in which it passes through the shop."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

    from program.planning.problem import Case, Item


@dataclass(frozen=True, kw_only=True)
class Stay:
    """One way in which one car passes through the shop."""

    start: int
    home: int
    bay: tuple[int, ...]  # days in each week
    lift: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class Work:
    """One car and what is done on it; `items` of None means that it waits."""

    case: Case
    items: tuple[Item, ...] | None
    held: bool = False  # its work that must be done takes a bay

    @property
    def done(self) -> tuple[Item, ...]:
        return self.items or ()


def once(pairs: Iterable[tuple[str, int, int]]) -> int:
    """Return the minutes of (access, its minutes, all minutes), each access counted once."""
    rows = list(pairs)
    rest = sum(minutes - access if name else minutes for name, access, minutes in rows)
    names = {name for name, _, _ in rows if name}
    return rest + sum(max(access for n, access, _ in rows if n == name) for name in names)


def minutes_of(work: Work) -> int:
    own = once((item.access, item.access_minutes, item.minutes) for item in work.done)
    return own + work.case.uses["minutes"]


def in_bay(item: Item) -> int:
    return item.minutes if item.bay_minutes is None else item.bay_minutes
