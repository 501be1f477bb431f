"""One row of a sheet as it was read, and what is wrong with one.

>>> row = Row(sheet="bays", number=2, ref="b1", values={"name": "Bay 1", "has_lift": True})
>>> str(row.key)
'bays:b1'
>>> row.fingerprint() == Row(sheet="bays", number=9, ref="b1", values=row.values).fingerprint()
True
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass, field
from typing import TYPE_CHECKING, Any, NamedTuple

if TYPE_CHECKING:
    from collections.abc import Mapping


class Key(NamedTuple):
    """The name of one row over all sheets, written `households:h7`."""

    sheet: str
    ref: str

    def __str__(self) -> str:
        return f"{self.sheet}:{self.ref}"

    @classmethod
    def parse(cls, text: str) -> Key:
        """Return the key that was written.

        Raises:
            ValueError: it is not a sheet and a ref.
        """
        sheet, colon, ref = text.strip().partition(":")
        if not (colon and sheet and ref):
            raise ValueError(f"“{text}” names no row. Write sheet and ref, such as households:h7.")
        return cls(sheet, ref)


@dataclass(frozen=True, kw_only=True)
class Fault:
    """One thing that keeps an import out: where it stands, the value seen, and what to do.

    `row` is the number that a spreadsheet shows, the header being row 1; 0 is the whole sheet.
    """

    sheet: str
    sentence: str
    remedy: str = ""
    row: int = 0
    column: str = ""
    value: str = ""
    ref: str = ""

    def as_dict(self) -> dict[str, str | int]:
        """Return the fault as JSON holds it."""
        return asdict(self)


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row: the values that could be read, the text that was typed, and what was not right.

    An empty cell is "" for text, None for a number or date, False for yes or no, () for a list.
    `broken` holds the columns whose value could not be read.
    """

    sheet: str
    number: int
    ref: str
    values: Mapping[str, Any] = field(default_factory=dict)
    typed: Mapping[str, str] = field(default_factory=dict)
    broken: frozenset[str] = frozenset()

    def __getitem__(self, name: str) -> Any:
        return self.values.get(name)

    @property
    def key(self) -> Key:
        """The name of the row over all sheets."""
        return Key(self.sheet, self.ref)

    def to(self, name: str, sheet: str) -> Key | None:
        """Return the row that a column names in a sheet, or None where the cell is empty."""
        return Key(sheet, self[name]) if self[name] else None

    def fault(self, column: str, sentence: str, remedy: str = "") -> Fault:
        """Return a fault of one cell of this row."""
        return Fault(
            sheet=self.sheet,
            row=self.number,
            column=column,
            value=self.typed.get(column, ""),
            sentence=sentence,
            remedy=remedy,
            ref=self.ref,
        )

    def fingerprint(self) -> str:
        """Return the SHA-256 of the row's values, however they were written.

        Empty cells are left out, so that a column added later changes nothing.
        """
        stated = {
            name: _plain(value)
            for name, value in sorted(self.values.items())
            if value not in (None, "", (), False)
        }
        return hashlib.sha256(json.dumps(stated, ensure_ascii=True).encode()).hexdigest()


def _plain(value: object) -> object:
    return value.isoformat() if hasattr(value, "isoformat") else value
