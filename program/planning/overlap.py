"""What jobs on one car share: taking off the same parts once, and one stay on the lift.

>>> from program.planning.problem import Item
>>> rows = (Item(id="a", case_id="1", tier=1, minutes=90, access="wheel", access_minutes=20),
...         Item(id="b", case_id="1", tier=1, minutes=60, access="wheel", access_minutes=30))
>>> work_minutes(rows), bay_minutes(rows)
(130, 130)
>>> lift = Item(id="c", case_id="1", tier=1, on_lift=True, prerequisites=("a",))
>>> [item.id for item in lift_items((*rows, lift))]
['a', 'c']
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.planning.problem import needed

if TYPE_CHECKING:
    from collections.abc import Iterable

    from program.planning.problem import Item


def bay_access(item: Item) -> int:
    """Return the minutes of shared access for which the car stands in a bay."""
    return min(item.access_minutes, item.in_bay_minutes)


def work_minutes(items: Iterable[Item]) -> int:
    """Return the minutes of work on items that are done together, shared access counted once."""
    rows = list(items)
    saved = _saved((item.access, item.access_minutes) for item in rows if item.access)
    return sum(item.minutes for item in rows) - saved


def bay_minutes(items: Iterable[Item]) -> int:
    """Return the minutes in a bay of items that are done together."""
    rows = list(items)
    saved = _saved((item.access, bay_access(item)) for item in rows if item.access)
    return sum(item.in_bay_minutes for item in rows) - saved


def _saved(accesses: Iterable[tuple[str, int]]) -> int:
    """Return what is saved when the longest of each access stands for all of its name."""
    longest, total = dict[str, int](), 0
    for name, minutes in accesses:
        total += minutes
        longest[name] = max(longest.get(name, 0), minutes)
    return total - sum(longest.values())


def lift_items(items: Iterable[Item]) -> tuple[Item, ...]:
    """Return the items during which the car can't leave its lift, in the order given.

    They are those on the lift and, of the given items, all that these need before.
    """
    rows = list(items)
    on_lift = [row.id for row in rows if row.on_lift]
    lifted = needed(rows, on_lift) if on_lift else frozenset()
    return tuple(row for row in rows if row.id in lifted)
