"""The fault models of a program, each as one line and one as its page shows it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from vehicles.diagnosis.complaints import load
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.gathering import is_readable, model_of
from vehicles.diagnosis.kinds import Origin
from vehicles.diagnosis.queries import given_up, own_rows, texts_of, times_used
from vehicles.diagnosis.revision import changes, line_changes

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from shared.accounts.models import Program
    from vehicles.diagnosis.fault_model import FaultModel
    from vehicles.diagnosis.models import KeptModel
    from vehicles.diagnosis.revision import Changes, Line


@dataclass(frozen=True, kw_only=True)
class ModelLine:
    """One fault model as the list shows it; of one that can't be read only what its row says."""

    code: str
    title: str
    system: str = ""
    causes: str = ""
    faults: int | None = None
    checks: int | None = None
    version: str
    whose: str
    changed_at: dt.datetime | None = None
    used: int = 0
    is_readable: bool = True


@dataclass(frozen=True, kw_only=True)
class Compared:
    """One text against the one before it; figures only where both can be read."""

    changes: Changes | None
    lines: Sequence[Line] | None
    with_shipped: bool


def model_lines(program: Program) -> list[ModelLine]:
    """Return the models in force by title; one that can't be read as well, said so."""
    own = {row.complaint: row for row in own_rows(program)}
    used = times_used(program)
    good = {code: row.text for code, row in own.items() if is_readable(row.text)}
    models = load(good)
    lines = [_line(one, own.get(code), used.get(code, 0)) for code, one in models.items()]
    lines = [one for one in lines if one.code not in own or one.code in good]
    lines += [_bare(row, used.get(code, 0)) for code, row in own.items() if code not in good]
    return sorted(lines, key=lambda one: (one.title.casefold(), one.code))


def history(program: Program, complaint: str) -> list[dict[str, Any]]:
    """Return all that happened to a complaint's text, the newest first.

    Each entry has `at`, `by` and `because`, and its `row` where a text came in.
    """
    rows = texts_of(program, complaint)
    entries: list[dict[str, Any]] = [
        {"at": one.at, "by": one.by, "because": one.because, "row": one} for one in rows
    ]
    entries += [
        {"at": one.at, "by": one.by, "because": one.reason, "row": None} for one in given_up(rows)
    ]
    return sorted(entries, key=lambda one: one["at"], reverse=True)


def compared_with_last(row: KeptModel, shipped: str) -> Compared:
    """Return what a text changed in the one before it; in today's shipped one where it is first."""
    rows = type(row).objects.filter(program=row.program, complaint=row.complaint)
    last = rows.filter(number__lt=row.number).order_by("-number").first()
    before = last.text if last else shipped
    figures = None
    if before and is_readable(before) and is_readable(row.text):
        figures = changes(model_of(before), model_of(row.text))
    return Compared(
        changes=figures,
        lines=line_changes(before, row.text) if before else (),
        with_shipped=last is None and bool(shipped),
    )


def _line(model: FaultModel, row: KeptModel | None, used: int) -> ModelLine:
    return ModelLine(
        code=model.code,
        title=model.title,
        system=model.system.label,
        causes="one" if model.causes is Causes.ONE else "several",
        faults=len(model.faults),
        checks=len(model.checks),
        version=model.version,
        whose=Origin(row.origin if row else Origin.SHIPPED).label,
        changed_at=row.at if row else None,
        used=used,
    )


def _bare(row: KeptModel, used: int) -> ModelLine:
    return ModelLine(
        code=row.complaint,
        title=row.title,
        version=row.version,
        whose=Origin(row.origin).label,
        changed_at=row.at,
        used=used,
        is_readable=False,
    )
