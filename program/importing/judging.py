"""Readings are judged by the limits of their day, and what names a criterion has to fit it.

>>> from program.importing.rows import Row
>>> row = Row(sheet="readings", number=2, ref="r1", values={
...     "criterion": "tire-tread", "position": "LF", "value": "1/32", "unit": "in",
...     "read": date(2026, 11, 6)})
>>> judge = Judge((), (), {})
>>> list(judge.faults(row)), str(judge.judgments["r1"].sentence)
([], '1/32 in of tread, the limit is 2/32 in.')
"""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any, Final

from vehicles.inspection import units
from vehicles.inspection.catalogue import Catalogue, load, refuse_override
from vehicles.inspection.criteria import Override
from vehicles.inspection.depths import Depth
from vehicles.inspection.judge import Judgment, judge

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from program.importing.rows import Fault, Row
    from vehicles.inspection.criteria import Criterion

Limit = tuple[Override, date | None]  # with the day it stopped counting
_NAMING: Final = frozenset({"readings", "not_read"})


class Judge:
    """Judges readings into `judgments`, by ref, with the limits of these sheets and of before."""

    def __init__(
        self, rows: Iterable[Row], there: Sequence[Limit], judgments: dict[str, Judgment]
    ) -> None:
        self.judgments = judgments
        self._limits = list(there)
        self._catalogues: dict[frozenset[Limit], Catalogue] = {}
        self._wrong: dict[str, str] = {}
        for row in sorted(rows, key=lambda row: row["since"] or date.min):
            if not _is_broken(row, ("criterion", "reason", "value", "since", "because")):
                self._add(row)

    def _add(self, row: Row) -> None:
        """Let a limit count from its day on, or remember why it can't."""
        since = row["since"]
        try:
            override = _override(row)
            others = [one for one, _ in self._in_force(since)]
            # A sheet tells of the past: how far ahead a limit may start is asked on its page.
            refuse_override(override, today=since, others=others)
        except ValueError as error:
            self._wrong[row.ref] = str(error)
        else:
            self._limits.append((override, row["ended"]))

    def _in_force(self, day: date) -> list[Limit]:
        return [
            (one, ended)
            for one, ended in self._limits
            if one.since <= day and (ended is None or day < ended)
        ]

    def catalogue(self, day: date | None) -> Catalogue:
        """Return the catalogue with the local limits of a day; the shipped one without a day."""
        limits = self._in_force(day) if day else []
        key = frozenset(limits)
        if key not in self._catalogues:
            self._catalogues[key] = load([override for override, _ in limits])
        return self._catalogues[key]

    def faults(self, row: Row) -> Iterator[Fault]:
        """Yield what speaks against a row that names a criterion; a sound reading is judged."""
        if row.ref in self._wrong and row.sheet == "local_limits":
            yield row.fault("value", self._wrong[row.ref], "Correct criterion, reason or value.")
        if row.sheet not in _NAMING or not row["criterion"]:
            return
        day = row["read"] if row.sheet == "readings" else row["on"]
        criterion = self.catalogue(day)[row["criterion"]]
        yield from _place(row, criterion)
        if row.sheet == "readings" and "value" not in row.broken:
            yield from self._judged(row, criterion)

    def _judged(self, row: Row, criterion: Criterion) -> Iterator[Fault]:
        """Judge a reading, or yield why it can't be."""
        try:
            self.judgments[row.ref] = judge(criterion, row["value"], row["unit"])
        except ValueError as error:
            unit = (
                f" in {criterion.unit} or another unit of the same kind" if criterion.unit else ""
            )
            yield row.fault("value", str(error), f"Correct value and unit: the value{unit}.")


def _place(row: Row, criterion: Criterion) -> Iterator[Fault]:
    """Yield whether the criterion has no such place, or is not on the final sheet."""
    if row["position"] not in (criterion.positions or ("",)):
        places = ", ".join(criterion.positions)
        yield row.fault(
            "position",
            f"“{row['position']}” is no place of {criterion.title}.",
            f"Use one of: {places}." if places else "Leave position empty.",
        )
    if row["final"] and Depth.FINAL not in criterion.depths:
        yield row.fault(
            "final", f"{criterion.title} is not on the final sheet.", "Leave final empty."
        )


def _is_broken(row: Row, names: Iterable[str]) -> bool:
    return any(name in row.broken or not row[name] for name in names)


def _override(row: Row) -> Override:
    """Return a row of the sheet `local_limits` as the catalogue takes it.

    Raises:
        ValueError: the value is no number in the unit of the criterion.
    """
    said: dict[str, Any] = {name: row[name] for name in ("criterion", "reason", "because")}
    unit = load()[row["criterion"]].unit
    if not unit:
        raise ValueError(f"“{load()[row['criterion']].title}” is not measured; it has no limit.")
    number = units.parse(row["value"], unit)
    return Override(
        value=units.convert(number.value, number.unit, unit),
        since=row["since"],
        source=row["source"] or "",
        **said,
    )
