"""The days as a picture: bays down, days across, each car a tag with who works on it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.days.states import BookingKind
from shared import boards

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from program.days.sheet import Line
    from shared.charts import Chart

AWAY = "Elsewhere"


def days_board(days: Sequence[dt.date], bays: Iterable[str], lines: Iterable[Line]) -> Chart | None:
    """Return the board of some days: where each car stands, its people by first name.

    A car that is in another shop stands in a row of its own. `bays` are shown even when empty;
    without any bay there is no picture.
    """
    stands: dict[tuple[str, str], dict[int, set[str]]] = {}
    for line in lines:
        place = AWAY if line.kind == BookingKind.AWAY else line.bay
        if place:
            by_day = stands.setdefault((place, line.case), {})
            for number, day in enumerate(days):
                if line.begins_at.date() <= day <= _last(line):
                    by_day.setdefault(number, set()).add(line.person.partition(" ")[0])
    rows = sorted({*bays, *(place for place, _ in stands if place != AWAY)})
    away = [AWAY] if any(place == AWAY for place, _ in stands) else []
    stays = [
        _stay(place, case, run, by_day)
        for (place, case), by_day in sorted(stands.items())
        for run in _runs(sorted(by_day))
    ]
    return boards.board(days, [*rows, *away], stays) if rows or away else None


def _last(line: Line) -> dt.date:
    """Return the last day of a line; an end at midnight belongs to the day before."""
    return (line.ends_at - line.ends_at.resolution).date()


def _runs(numbers: Sequence[int]) -> list[list[int]]:
    """Return days that follow each other together."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return runs


def _stay(place: str, case: str, run: Sequence[int], by_day: dict[int, set[str]]) -> boards.Stay:
    names = sorted({name for number in run for name in by_day[number]} - {""})
    return boards.Stay(
        bay=place,
        first=run[0],
        days=len(run),
        label=" ".join([case, *names]),
        short=case.partition("-")[2],
    )
