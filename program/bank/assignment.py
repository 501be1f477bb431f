"""The cheapest way to give each row a column of its own.

>>> import numpy as np
>>> assign(np.array([[4, 1, 3], [2, 0, 5]]))
[1, 0]
>>> assign(np.array([[7], [2]]))
[None, 0]
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

FAR = np.iinfo(np.int64).max // 4


def assign(costs: NDArray[np.int64]) -> list[int | None]:
    """Return the column of each row so that the sum is least; None for a row without one.

    As many rows get a column as there can be. Shortest augmenting paths with potentials, a row at
    a time: rows squared times columns.

    Source: the Hungarian method of Kuhn (1955) in the form of Jonker and Volgenant (1987), from
    memory; checked against an independent library in the tests.
    """
    rows, columns = costs.shape
    if rows > columns:
        return _turned(assign(costs.T), rows)
    # Place 0 is where each search begins; rows and columns are counted from 1.
    of_row = np.zeros(rows + 1, dtype=np.int64)
    of_column = np.zeros(columns + 1, dtype=np.int64)
    holder = np.zeros(columns + 1, dtype=np.int64)
    for row in range(1, rows + 1):
        _place(costs, row, (of_row, of_column, holder))
    found: list[int | None] = [None] * rows
    for column in range(1, columns + 1):
        if holder[column]:
            found[int(holder[column]) - 1] = column - 1
    return found


def _turned(by_column: list[int | None], rows: int) -> list[int | None]:
    """Return the columns of rows from the rows of columns."""
    found: list[int | None] = [None] * rows
    for column, row in enumerate(by_column):
        if row is not None:
            found[row] = column
    return found


def _place(costs: NDArray[np.int64], row: int, held: tuple[Any, Any, Any]) -> None:
    """Give one more row a column, moving others along the cheapest path."""
    of_row, of_column, holder = held
    least = np.full(len(of_column), FAR, dtype=np.int64)
    came_from = np.zeros(len(of_column), dtype=np.int64)
    used = np.zeros(len(of_column), dtype=bool)
    holder[0], at = row, 0
    while holder[at]:
        used[at] = True
        here = holder[at]
        reduced = costs[here - 1] - of_row[here] - of_column[1:]
        better = ~used[1:] & (reduced < least[1:])
        least[1:][better] = reduced[better]
        came_from[1:][better] = at
        at_next = int(np.where(used[1:], FAR, least[1:]).argmin()) + 1
        step = least[at_next]
        of_row[holder[used]] += step
        of_column[used] -= step
        least[~used] -= step
        at = at_next
    while at:
        before = int(came_from[at])
        holder[at] = holder[before]
        at = before
