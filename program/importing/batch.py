"""What is being written: the checked rows, and the objects that they have become so far."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, TypeVar
from zoneinfo import ZoneInfo

from django.db import models

from program.importing.columns import Answer
from program.importing.rows import Key

if TYPE_CHECKING:
    from collections.abc import Sequence

    from program.households.models import Household
    from program.importing.check import Checked
    from program.importing.rows import Row
    from shared.accounts.models import Program, User
    from vehicles.inspection.models import Finding
    from vehicles.intake.models import Intake

ModelT = TypeVar("ModelT", bound=models.Model)
NOON = dt.time(12)


@dataclass(kw_only=True)
class Batch:
    """One import on its way into the database.

    `objects` holds what every row has become, and those of earlier imports that a new row names;
    `stays` the intake of each case by its ref; `findings` the finding of each reading, finding and
    conclusion;
    `households` the household of each stay by the stay's id.
    """

    program: Program
    by: User | None
    today: dt.date
    checked: Checked
    objects: dict[Key, Any] = field(default_factory=dict)
    stays: dict[str, Intake] = field(default_factory=dict)
    findings: dict[Key, Finding] = field(default_factory=dict)
    households: dict[int, Household] = field(default_factory=dict)

    def rows(self, sheet: str) -> Sequence[Row]:
        """Return the new rows of a sheet."""
        return self.checked.new.get(sheet, ())

    def named(self, row: Row, column: str, sheet: str) -> Any:
        """Return the object that a cell names, or None where the cell is empty."""
        key = row.to(column, sheet)
        return self.objects[key] if key else None

    def signer(self, row: Row, column: str) -> User | None:
        """Return the user of the person that a cell names, or None where the cell is empty."""
        person = self.named(row, column, "people")
        return person.user if person else None

    def finding(self, ref: str) -> Finding | None:
        """Return the finding that a ref of a finding, a reading or a conclusion stands for."""
        keys = (Key(sheet, ref) for sheet in ("findings", "readings", "conclusions"))
        return next((self.findings[key] for key in keys if key in self.findings), None)

    def make(self, sheet: str, made: Sequence[ModelT]) -> None:
        """Write the objects of a sheet's new rows, one for each row in the same order."""
        rows = self.rows(sheet)
        if not rows:
            return
        write(made)
        self.objects |= {row.key: one for row, one in zip(rows, made, strict=True)}

    def moment(self, day: dt.date) -> dt.datetime:
        """Return noon of a day where the program is."""
        return dt.datetime.combine(day, NOON, tzinfo=ZoneInfo(self.program.time_zone))


def answer(word: str) -> bool | None:
    """Return what an answer in words says; None where nobody has asked.

    >>> answer("no"), answer("")
    (False, None)
    """
    return {Answer.YES.value: True, Answer.NO.value: False}.get(word)


def write(made: Sequence[ModelT]) -> None:
    """Write objects that belong to rows without being the object of one; all of one model."""
    if made:
        manager = type(made[0])._default_manager
        manager.bulk_create(made)
