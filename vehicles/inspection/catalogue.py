"""The shipped criteria with their reasons, and a program's own limits on top.

>>> load().criteria["tire-tread"].limits[0]
Limit(operator='<', value=Fraction(2, 1), reason='5.2.3 e.2')
>>> load().criteria["tire-tread"].reason("5.2.3 e.2").deficiency
<DeficiencyClass.DANGEROUS: 'dangerous'>
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import timedelta
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from vehicles.inspection.rows import built, caution_of, criterion_of, reason_of, rows_of
from vehicles.inspection.rules import check
from vehicles.inspection.units import show

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from vehicles.inspection.criteria import Caution, Criterion, Limit, Override, Reason

FOLDER = Path(__file__).resolve().parents[2] / "fixtures" / "catalogue"
FURTHEST_DAYS = 366  # how far ahead a local limit may start


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
    for detail in [one for one in criteria.values() if one.detail_of and one.is_measured]:
        criteria[detail.code] = _lent(detail, criteria[detail.detail_of])
    return Catalogue(shipped.version, MappingProxyType(criteria))


def _lent(detail: Criterion, whole: Criterion) -> Criterion:
    """Return a detail judged by the limits of the point that it reads more closely."""
    return replace(
        detail,
        limits=whole.limits,
        overrides=whole.overrides,
        shipped_limits=whole.shipped_limits,
    )


def _with(code: str, criteria: Mapping[str, Criterion], override: Override) -> Criterion:
    """Return the criterion with the one limit moved."""
    criterion = criteria[code]
    if not override.because.strip():
        raise ValueError(f"A local limit for “{criterion.title}” needs its reason.")
    _moved(criterion, override)
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
    check(changed)
    return changed


def _moved(criterion: Criterion, override: Override) -> Limit:
    """Return the limit that an override moves."""
    named = [limit for limit in criterion.limits if limit.reason == override.reason]
    if not named:
        raise ValueError(f"“{criterion.title}” has no limit for “{override.reason}”.")
    if len(named) > 1:
        raise ValueError(f"“{criterion.title}” has two limits for “{override.reason}”; both stay.")
    return named[0]


def refuse_override(override: Override, *, today: date, others: Sequence[Override] = ()) -> None:
    """Refuse a local limit that a person should not be able to enter.

    Stricter than `load`, which takes what was entered under an older catalogue.

    Raises:
        ValueError: it names what there is not, changes nothing, starts in the far future, makes a
            worse number count as better, or is looser than the shipped limit without a source.
    """
    criterion = load(others, on=override.since)[override.criterion]
    shipped = load()[override.criterion]
    load([*others, override])
    new = replace(_moved(shipped, override), value=override.value)
    if override.since > today + timedelta(days=FURTHEST_DAYS):
        raise ValueError(
            f"A local limit starts at most {FURTHEST_DAYS} days ahead, not on {override.since}."
        )
    if new in criterion.limits:
        raise ValueError(
            f"{show(new.value, criterion.unit)} already is the limit of “{criterion.title}”."
        )
    old = _moved(shipped, override)
    if new.is_looser_than(old) and not override.source.strip():
        raise ValueError(
            f"{show(new.value, criterion.unit)} is looser than the shipped "
            f"{show(old.value, criterion.unit)}. Name the section of the law that allows it."
        )


@lru_cache
def _read(folder: Path) -> Catalogue:
    """Return the catalogue as shipped; the files are read once."""
    reasons: dict[str, list[Reason]] = defaultdict(list)
    for where, row in rows_of(folder / "reasons.csv"):
        reasons[row["criterion"]].append(built(reason_of, where, row))
    known = cautions(folder)
    criteria: dict[str, Criterion] = {}
    for where, row in rows_of(folder / "criteria.csv"):
        if row["code"] in criteria:
            raise ValueError(f"{where}: “{row['code']}” stands there twice.")
        criteria[row["code"]] = built(
            lambda one: criterion_of(one, tuple(reasons.pop(one["code"], ())), known),
            where,
            row,
        )
    _refuse_strays(criteria, reasons)
    version = (folder / "criteria.version").read_text(encoding="utf-8").strip()
    return Catalogue(version, MappingProxyType(criteria))


def _refuse_strays(criteria: Mapping[str, Criterion], reasons: Mapping[str, object]) -> None:
    """Refuse reasons left over and points that name points there are not."""
    if reasons:
        raise ValueError(f"reasons.csv: no criterion has the code “{min(reasons)}”.")
    for criterion in criteria.values():
        for code in criterion.settled_by:
            if code not in criteria or code == criterion.code:
                raise ValueError(f"criteria.csv: “{criterion.title}” can't be settled by “{code}”.")
        whole = criteria.get(criterion.detail_of)
        if criterion.detail_of and (whole is None or whole.detail_of or _differ(criterion, whole)):
            raise ValueError(
                f"criteria.csv: “{criterion.title}” is no detail of “{criterion.detail_of}”."
            )


def _differ(detail: Criterion, whole: Criterion) -> bool:
    """Return whether a measured detail is judged otherwise than the point it belongs to."""
    return detail.is_measured and (
        (detail.unit, detail.low, detail.high, detail.limits, detail.reasons)
        != (whole.unit, whole.low, whole.high, whole.limits, whole.reasons)
    )


@lru_cache
def cautions(folder: Path = FOLDER) -> Mapping[str, Caution]:
    """Return the cautions by code, in the order of their file.

    Raises:
        ValueError: the file is damaged, or a code stands in it twice.
    """
    found: dict[str, Caution] = {}
    for where, row in rows_of(folder / "cautions.csv"):
        caution = built(caution_of, where, row)
        if caution.code in found:
            raise ValueError(f"{where}: “{caution.code}” stands there twice.")
        found[caution.code] = caution
    return MappingProxyType(found)
