"""The fluids of a car as fluids.csv has them: how each is read and filled, and what it can become.

>>> oil = load()["engine-oil"]
>>> oil.between, oil.most, oil.settle_minutes, oil.asks
(Fraction(1, 1), Fraction(3, 1), 5, ('engine', 'heat'))
>>> load()["brake"].refill.value, load()["brake"].findings["low"].reason
('never', '1.1.10 d')
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import lru_cache, partial
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from vehicles.fluids.specifications import Kind
from vehicles.inspection.catalogue import FOLDER, cautions
from vehicles.inspection.catalogue import load as load_criteria
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.rows import built, rows_of, words
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

_SEEN: Final = MappingProxyType({"text-seen": True, "from-memory": False})
_FOUND: Final = ("none", "low", "over", "milky", "burnt", "metal")


class Refill(StrEnum):
    """How a low fluid is filled up: a little at a time, never (it is a finding), or to the top."""

    STEPS = "steps"
    NEVER = "never"
    WHOLE = "whole"


@dataclass(frozen=True, kw_only=True)
class Found:
    """What a state of a fluid is as a finding; `criterion` and `reason` if the catalogue has it."""

    title: str
    deficiency: DeficiencyClass
    severity: int
    criterion: str = ""
    reason: str = ""


@dataclass(frozen=True, kw_only=True)
class Fluid:
    """One row of fluids.csv. `between` and `most` are quarts, None where no steps are filled.

    `asks`: what the maker has to be asked of reading it. `kept_off`: levels and looks with which
    the engine is not run. `seen` says whether the text of `source` was read.
    """

    code: str
    title: str
    system: System
    refill: Refill
    compared: Kind
    asks: tuple[str, ...]
    between: Fraction | None
    most: Fraction | None
    settle_minutes: int
    how: str
    kept_off: tuple[str, ...]
    cautions: tuple[str, ...]
    findings: Mapping[str, Found]
    source: str
    seen: bool


@lru_cache
def load(folder: Path = FOLDER) -> Mapping[str, Fluid]:
    """Return the fluids by code, in the order of their file; the file is read once.

    Raises:
        ValueError: a row is wrong, or names a criterion, reason or caution that there is not.
    """
    known = cautions(folder)
    found: dict[str, Fluid] = {}
    for where, row in rows_of(folder / "fluids.csv"):
        one = built(partial(_fluid, folder=folder), where, row)
        if one.code in found:
            raise ValueError(f"{where}: “{one.code}” stands there twice.")
        for code in one.cautions:
            if code not in known:
                raise ValueError(f"{where}: “{code}” is not a caution of cautions.csv.")
        found[one.code] = one
    return MappingProxyType(found)


def _fluid(row: Mapping[str, str], folder: Path) -> Fluid:
    between, most = (
        Fraction(row[name]) if row[name] else None for name in ("between_quarts", "most_quarts")
    )
    refill = Refill(row["refill"])
    if (refill == Refill.STEPS) != bool(between and most and most >= between > 0):
        raise ValueError("What is filled in steps needs both amounts, and nothing else has them.")
    return Fluid(
        code=row["code"],
        title=row["title"],
        system=System.parse(row["system"]),
        refill=refill,
        compared=Kind(row["compared"]),
        asks=words(row["asks"]),
        between=between,
        most=most,
        settle_minutes=int(row["settle_minutes"] or 0),
        how=row["how"],
        kept_off=words(row["kept_off"]),
        cautions=words(row["cautions"]),
        findings={name: _found(row[name], folder) for name in _FOUND if row[name]},
        source=row["source"],
        seen=_SEEN[row["mark"]],
    )


def _found(text: str, folder: Path) -> Found:
    """Return what is written as `criterion: reason` or as `class severity: title`."""
    left, _, right = (part.strip() for part in text.partition(":"))
    deficiency, own, severity = left.partition(" ")
    if own:
        return Found(title=right, deficiency=DeficiencyClass(deficiency), severity=int(severity))
    criteria = load_criteria(folder=folder).criteria
    if left not in criteria:
        raise ValueError(f"“{left}” is not a criterion of the catalogue.")
    reason = criteria[left].reason(right)
    return Found(
        title=reason.text,
        deficiency=reason.ranks_as,
        severity=reason.severity,
        criterion=left,
        reason=right,
    )
