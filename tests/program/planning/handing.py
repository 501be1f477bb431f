"""Whether each person can be given minutes of each car in each week, by a solver by others."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, NamedTuple

import pytest

from tests.program.planning.small import DAY
from tests.program.planning.works import in_bay, minutes_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from tests.program.planning.small import Staff
    from tests.program.planning.works import Stay, Work


class Cell(NamedTuple):
    """Minutes that one person works on one car in one week, in a group of work."""

    car: int
    group: str
    week: int
    person: str


def _pieces(work: Work, staff: Staff) -> dict[str, tuple[int, int]]:
    """Return the minutes of a car's work by the group of those who may do it, and those in no bay.

    Taking off what items share is anybody's, and so is the group "".
    """
    final = work.case.uses["minutes"]
    found = defaultdict[str, tuple[int, int]](lambda: (0, 0))
    found[staff.group.get(work.case.id, "")] = (final, final)
    skilled = final if staff.group.get(work.case.id) else 0
    for item in work.done:
        group = staff.group.get(item.id, "")
        out = max(item.minutes - in_bay(item), 0)
        own = item.minutes - item.access_minutes if group else 0
        skilled += own
        if group:
            found[group] = (found[group][0] + own, found[group][1] + min(own, out))
        rest = item.minutes - own
        found[""] = (found[""][0], found[""][1] + min(rest, out))
    found[""] = (minutes_of(work) - skilled, found[""][1])
    return found


def hands_reach(staff: Staff, works: Sequence[Work], stays: Sequence[Stay | None]) -> bool:
    """Return whether each person can be given minutes of each car's work in each of its weeks."""
    cells = [
        Cell(n, group, week, person)
        for n, (work, stay) in enumerate(zip(works, stays, strict=True))
        if stay
        for group in _pieces(work, staff)
        for week in range(stay.start, stay.home + 1)
        for person in (sorted(staff.may[group][week]) if group else sorted(staff.hours))
    ]
    rows = [
        ([cell.week == week and cell.person == person for cell in cells], 0, minutes)
        for person, own in staff.hours.items()
        for week, minutes in enumerate(own)
    ]
    for n, (work, stay) in enumerate(zip(works, stays, strict=True)):
        for group, (minutes, free) in _pieces(work, staff).items() if stay else ():
            own = [cell.car == n and cell.group == group for cell in cells]
            rows.append((own, minutes, minutes))
            for week, days in enumerate(stay.bay if stay else ()):
                here = [mine and cell.week == week for mine, cell in zip(own, cells, strict=True)]
                rows.append((here, 0, DAY * days + free))
        for week, days in enumerate(stay.bay if stay else ()):
            out = sum(max(i.minutes - in_bay(i), 0) for i in work.done) + work.case.uses["minutes"]
            rows.append(([c.car == n and c.week == week for c in cells], 0, DAY * days + out))
    return _has_answer(rows)


def _has_answer(rows: Sequence[tuple[list[bool], int, int]]) -> bool:
    """Return whether whole numbers exist whose sums lie between the limits of each row."""
    optimize = pytest.importorskip("scipy.optimize", reason="scipy is not installed")
    matrix, lows, highs = zip(*rows, strict=True)
    if not matrix[0]:
        return all(low <= 0 for low in lows)
    found = optimize.milp(
        [0] * len(matrix[0]),
        integrality=[1] * len(matrix[0]),
        constraints=optimize.LinearConstraint(matrix, lows, highs),
    )
    return bool(found.success)
