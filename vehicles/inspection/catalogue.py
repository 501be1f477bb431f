"""The shipped criteria with their reasons, and a program's own limits on top.

>>> load().criteria["tire-tread"].limits[0]
Limit(operator='<', value=Fraction(2, 1), reason='5.2.3 e.2')
>>> load().criteria["tire-tread"].reason("5.2.3 e.2").deficiency
<DeficiencyClass.DANGEROUS: 'dangerous'>
"""

from __future__ import annotations

import csv
from collections import defaultdict
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, TypeVar

from vehicles.inspection.criteria import (
    NONE,
    Criterion,
    DeficiencyClass,
    Group,
    Limit,
    Override,
    Reason,
)
from vehicles.inspection.units import UNITS
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence
    from datetime import date

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "catalogue"
Built = TypeVar("Built")
_SEEN = {"text-seen": True, "from-memory": False}
_YES = {"yes": True, "no": False}


@dataclass(frozen=True)
class Catalogue:
    """All criteria by code, in the order of the sheet, and the version that a reading stores."""

    version: str
    criteria: Mapping[str, Criterion]

    def __getitem__(self, code: str) -> Criterion:
        try:
            return self.criteria[code]
        except KeyError:
            raise ValueError(f"“{code}” is not a criterion of the catalogue.") from None


def load(
    overrides: Sequence[Override] = (), *, on: date | None = None, folder: Path = FOLDER
) -> Catalogue:
    """Return the catalogue, with the program's own limits applied in order of their date.

    With `on`, limits that start after that day are left out. The shipped limits stay readable in
    `shipped_limits`, the reasons for each change in `overrides`.

    Raises:
        ValueError: a file is damaged, or an override names what the catalogue does not have or
            would let a worse number count as better.
    """
    shipped = _read(folder)
    due = [one for one in overrides if on is None or one.since <= on]
    if not due:
        return shipped
    criteria = dict(shipped.criteria)
    for override in sorted(due, key=lambda one: (one.since, one.criterion, one.reason)):
        criteria[override.criterion] = _with(shipped[override.criterion].code, criteria, override)
    return Catalogue(shipped.version, MappingProxyType(criteria))


def _with(code: str, criteria: Mapping[str, Criterion], override: Override) -> Criterion:
    """Return the criterion with the one limit moved."""
    criterion = criteria[code]
    if not override.because.strip():
        raise ValueError(f"A local limit for “{criterion.title}” needs its reason.")
    if all(limit.reason != override.reason for limit in criterion.limits):
        raise ValueError(f"“{criterion.title}” has no limit for “{override.reason}”.")
    limits = tuple(
        replace(limit, value=override.value) if limit.reason == override.reason else limit
        for limit in criterion.limits
    )
    changed = replace(
        criterion,
        limits=limits,
        overrides=(*criterion.overrides, override),
        shipped_limits=criterion.shipped_limits or criterion.limits,
    )
    _check(changed)
    return changed


@lru_cache
def _read(folder: Path) -> Catalogue:
    """Return the catalogue as shipped; the files are read once."""
    reasons: dict[str, list[Reason]] = defaultdict(list)
    for where, row in _rows(folder / "reasons.csv"):
        reasons[row["criterion"]].append(_built(_reason, where, row))
    criteria: dict[str, Criterion] = {}
    for where, row in _rows(folder / "criteria.csv"):
        if row["code"] in criteria:
            raise ValueError(f"{where}: “{row['code']}” stands there twice.")
        criteria[row["code"]] = _built(
            lambda one: _criterion(one, tuple(reasons.pop(one["code"], ()))), where, row
        )
    if reasons:
        raise ValueError(f"reasons.csv: no criterion has the code “{min(reasons)}”.")
    version = (folder / "criteria.version").read_text(encoding="utf-8").strip()
    return Catalogue(version, MappingProxyType(criteria))


def _rows(path: Path) -> list[tuple[str, dict[str, str]]]:
    """Return each row of a sheet with the words that say where it stands."""
    try:
        with path.open(encoding="utf-8", newline="") as sheet:
            return [
                (f"{path.name}, row {line}", {name: text or "" for name, text in row.items()})
                for line, row in enumerate(csv.DictReader(sheet, strict=True), start=2)
            ]
    except (OSError, UnicodeDecodeError, csv.Error) as error:
        raise ValueError(f"{path.name} can't be read: {error}.") from error


def _built(build: Callable[[dict[str, str]], Built], where: str, row: dict[str, str]) -> Built:
    """Return what the row holds, or say in which row the mistake stands."""
    try:
        return build(row)
    except KeyError as error:
        raise ValueError(
            f"{where}: {error} is missing or not one of the words used there."
        ) from error
    except ValueError as error:
        raise ValueError(f"{where}: {error}") from error


def _reason(row: Mapping[str, str]) -> Reason:
    return Reason(
        key=row["key"],
        text=row["text"],
        deficiency=DeficiencyClass(row["deficiency"]),
        severity=int(row["severity"]),
        source=row["source"],
        text_seen=_SEEN[row["mark"]],
        never_release=_YES[row["never_release"]],
        strands=_YES[row["strands"]],
        us_reject=_YES[row["us_reject"]],
        us_section=row["us_section"],
        us_text_seen=_SEEN[row["us_mark"] or "from-memory"],
    )


def _criterion(row: Mapping[str, str], reasons: tuple[Reason, ...]) -> Criterion:
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
        caution=row["caution"],
        equipment=row["equipment"],
        substitute=row["substitute"],
        fitted_us=_YES[row["fitted_us"]],
    )
    _check(criterion)
    return criterion


def _check(criterion: Criterion) -> None:
    """Refuse a criterion that could not be judged, or that would judge a worse number better.

    Raises:
        ValueError: with what is wrong.
    """
    keys = [reason.key for reason in criterion.reasons]
    if not keys or len(keys) != len(set(keys)):
        raise ValueError(f"“{criterion.title}” needs reasons, each with its own key.")
    if any(not 1 <= reason.severity <= 4 for reason in criterion.reasons):  # noqa: PLR2004 - MIL-STD-882E has four
        raise ValueError(f"A severity of “{criterion.title}” is not 1 to 4.")
    if not criterion.is_measured:
        if criterion.limits:
            raise ValueError(f"“{criterion.title}” has limits but no unit.")
        return
    if criterion.unit not in UNITS:
        raise ValueError(f"“{criterion.unit}” is not a unit this catalogue knows.")
    used = {limit.reason for limit in criterion.limits} - {NONE}
    if used != set(keys):
        raise ValueError(f"The limits of “{criterion.title}” do not name each of its reasons.")
    _check_order(criterion)


def _check_order(criterion: Criterion) -> None:
    """Refuse limits out of order: the worst has to be tried first, and lies furthest out."""
    for lower in (True, False):
        side = [limit for limit in criterion.limits if limit.is_lower == lower]
        for first, second in pairwise(limit for limit in side if limit.reason != NONE):
            inside = first.value <= second.value if lower else first.value >= second.value
            worse = criterion.reason(first.reason).ranks_as.rank
            if not inside or worse < criterion.reason(second.reason).ranks_as.rank:
                raise ValueError(f"The limits of “{criterion.title}” are out of order.")
    within = all(criterion.low <= limit.value <= criterion.high for limit in criterion.limits)
    if not (within or criterion.marked_limit):
        raise ValueError(f"A limit of “{criterion.title}” lies outside its plausible range.")
