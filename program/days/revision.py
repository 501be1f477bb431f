"""Days laid out anew, as they are kept until a person accepts them.

>>> from datetime import datetime
>>> kept = Revision(laid_out_at=datetime(2026, 11, 30, 8), fingerprint="f").to_json()
>>> Revision.from_json(kept).laid_out_at
datetime.datetime(2026, 11, 30, 8, 0)
"""

from __future__ import annotations

from dataclasses import asdict, dataclass
from datetime import datetime
from typing import Any

from program.days.bookings import Slot
from program.days.states import BookingKind

TIMES = ("begins_at", "ends_at")
LISTS = ("changes", "ready", "dropped", "broken", "problems")


@dataclass(frozen=True, kw_only=True)
class Revision:
    """What was proposed: the slots, what moves, whose promise breaks, and what can't be done.

    `changes` begin with the number of the car; `ready` are sentences on cars that are ready on
    another day than booked, `dropped` the numbers of booked cars that find no room any more.
    `problems` are sentences, each with its remedy. `value` and `bound` are counted in moves.
    """

    laid_out_at: datetime
    fingerprint: str
    slots: tuple[Slot, ...] = ()
    changes: tuple[str, ...] = ()
    ready: tuple[str, ...] = ()
    dropped: tuple[str, ...] = ()
    broken: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
    value: int = 0
    bound: int = 0

    @property
    def proven(self) -> bool:
        """Whether nothing better exists."""
        return self.value == self.bound

    @property
    def moves(self) -> list[tuple[str, str]]:
        """What moves, each with the number of its car."""
        return [_apart(sentence) for sentence in self.changes]

    @property
    def other_days(self) -> list[tuple[str, str]]:
        """Who is ready on another day, each with the number of its car."""
        return [_apart(sentence) for sentence in self.ready]

    def to_json(self) -> dict[str, Any]:
        """Return it as plain values."""
        slots = [
            asdict(slot) | {name: getattr(slot, name).isoformat() for name in TIMES}
            for slot in self.slots
        ]
        return asdict(self) | {"laid_out_at": self.laid_out_at.isoformat(), "slots": slots}

    @classmethod
    def from_json(cls, kept: dict[str, Any]) -> Revision:
        """Return what `to_json` wrote."""
        slots = tuple(
            Slot(
                **row
                | {name: datetime.fromisoformat(row[name]) for name in TIMES}
                | {"kind": BookingKind(row["kind"])}
            )
            for row in kept["slots"]
        )
        # Days that were kept by an earlier version of the program lack some of these.
        told = {name: tuple(kept.get(name, ())) for name in LISTS}
        return cls(
            laid_out_at=datetime.fromisoformat(kept["laid_out_at"]),
            fingerprint=kept["fingerprint"],
            slots=slots,
            value=kept["value"],
            bound=kept["bound"],
            **told,
        )


def _apart(sentence: str) -> tuple[str, str]:
    """Return the car that a sentence begins with, and the rest of it."""
    car, _, told = sentence.partition(" ")
    return car, told
