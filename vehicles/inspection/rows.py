"""The sheets of the catalogue as criteria, reasons and cautions, row by row.

>>> yes_no("yes")
True
>>> words(" lifting-jack  fuel ")
('lifting-jack', 'fuel')
"""

from __future__ import annotations

import csv
from fractions import Fraction
from typing import TYPE_CHECKING, TypeVar

from vehicles.inspection.clauses import parse
from vehicles.inspection.criteria import (
    Caution,
    Criterion,
    DeficiencyClass,
    Group,
    Limit,
    Reason,
)
from vehicles.inspection.rules import check
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from pathlib import Path

Built = TypeVar("Built")
_SEEN = {"text-seen": True, "from-memory": False}
_YES = {"yes": True, "no": False}


def yes_no(word: str) -> bool:
    """Return what `yes` or `no` means.

    Raises:
        KeyError: another word.
    """
    return _YES[word]


def words(text: str) -> tuple[str, ...]:
    """Return the words of a cell, which are separated by spaces."""
    return tuple(text.split())


def rows_of(path: Path) -> list[tuple[str, dict[str, str]]]:
    """Return each row of a sheet with the words that say where it stands."""
    try:
        with path.open(encoding="utf-8", newline="") as sheet:
            return [
                (f"{path.name}, row {line}", {name: text or "" for name, text in row.items()})
                for line, row in enumerate(csv.DictReader(sheet, strict=True), start=2)
            ]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise ValueError(f"{path.name} can't be read: {error}.") from error


def built(build: Callable[[dict[str, str]], Built], where: str, row: dict[str, str]) -> Built:
    """Return what the row holds, or say in which row the mistake stands."""
    try:
        return build(row)
    except KeyError as error:
        raise ValueError(
            f"{where}: {error} is missing or not one of the words used there."
        ) from error
    except ValueError as error:
        raise ValueError(f"{where}: {error}") from error


def reason_of(row: Mapping[str, str]) -> Reason:
    """Return the reason of one row of reasons.csv."""
    return Reason(
        key=row["key"],
        text=row["text"],
        deficiency=DeficiencyClass(row["deficiency"]),
        severity=int(row["severity"]),
        source=row["source"],
        text_seen=_SEEN[row["mark"]],
        never_release=yes_no(row["never_release"]),
        strands=yes_no(row["strands"]),
        stops=yes_no(row["stops"]),
        us_reject=yes_no(row["us_reject"]),
        us_section=row["us_section"],
        us_text_seen=_SEEN[row["us_mark"] or "from-memory"],
    )


def criterion_of(
    row: Mapping[str, str], reasons: tuple[Reason, ...], cautions: Mapping[str, Caution]
) -> Criterion:
    """Return the criterion of one row of criteria.csv, with its reasons and cautions.

    Raises:
        ValueError: a cell is wrong, or the criterion could not be judged.
    """
    criterion = Criterion(
        code=row["code"],
        system=System(row["system"]),
        group=Group(row["group"]),
        title=row["title"],
        method=row["method"],
        source=row["source"],
        text_seen=_SEEN[row["mark"]],
        reasons=reasons,
        phrase=row["phrase"],
        unit=row["unit"],
        low=Fraction(row["low"] or 0),
        high=Fraction(row["high"] or 0),
        limits=tuple(Limit.parse(text) for text in row["limits"].split(";") if text.strip()),
        marked_limit=row["marked_limit"],
        positions=tuple(row["positions"].split()),
        applies_when=row["applies_when"],
        applies=parse(row["applies"]),
        depths=words(row["depths"]),
        settled_by=words(row["settled_by"]),
        detail_of=row["detail_of"],
        own_caution=row["caution"],
        cautions=tuple(cautions[code] for code in words(row["cautions"])),
        equipment=row["equipment"],
        substitute=row["substitute"],
        fitted_us=yes_no(row["fitted_us"]),
    )
    check(criterion)
    return criterion


def caution_of(row: Mapping[str, str]) -> Caution:
    """Return the caution of one row of cautions.csv."""
    return Caution(
        code=row["code"],
        title=row["title"],
        text=row["text"],
        authority=row["authority"],
        text_seen=_SEEN[row["mark"]],
    )
