"""What is there already when sheets are checked: in the database, and in the sheets themselves.

>>> row = Row(sheet="cases", number=2, ref="c1", values={"vehicle": "v1", "arrived": None})
>>> world = World(rows={row.key: row}, facts=Facts())
>>> world.stay("c1")
Stay(vehicle='v1', arrived=None, left=None)
>>> world.has(Key("cases", "c2"))
False
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from program.importing.rows import Key, Row
from program.ledger import restrictions
from program.ledger.ledger import Balances

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from vehicles.inspection.criteria import Override


@dataclass(frozen=True)
class Known:
    """What an earlier import made of a row: the object's id and the row's fingerprint."""

    id: int
    fingerprint: str


@dataclass(frozen=True)
class Stay:
    """The vehicle of a case by its ref, and the days it came in and left; None where not yet."""

    vehicle: str
    arrived: date | None
    left: date | None = None


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What the database holds. `program` is None on an empty one.

    `taken` holds by sheet the names that may stand only once (VINs, case numbers, fund codes);
    `vehicles` the vehicle of an imported row that belongs to one; `sound` the readings that
    show nothing wrong; `limits` the local limits with the day each ended;
    `in_case` and `in_stay` the vehicles that have an open case or stay; `shut` the first days of
    the months in which nothing more is booked; `budget` the year, account, fund code and function
    of every line of a budget, and `first_month` the one in which a fiscal year begins.
    """

    program: Mapping[str, str] | None = None
    known: Mapping[Key, Known] = field(default_factory=dict)
    taken: Mapping[str, frozenset[str]] = field(default_factory=dict)
    stays: Mapping[str, Stay] = field(default_factory=dict)
    vehicles: Mapping[Key, str] = field(default_factory=dict)
    sound: frozenset[str] = frozenset()
    limits: tuple[tuple[Override, date | None], ...] = ()
    in_case: frozenset[str] = frozenset()
    in_stay: frozenset[str] = frozenset()
    funds: Mapping[str, restrictions.Fund] = field(default_factory=dict)
    held: Balances = field(default_factory=Balances)
    shut: frozenset[date] = frozenset()
    budget: frozenset[tuple[int, str, str, str]] = frozenset()
    first_month: int = 1


@dataclass(frozen=True, kw_only=True)
class World:
    """The rows of the sheets, without those left out, over what the database holds."""

    rows: Mapping[Key, Row]
    facts: Facts
    left_out: frozenset[Key] = frozenset()

    def has(self, key: Key) -> bool:
        """Return whether a row of the sheets or an earlier import bears the name."""
        return key in self.rows or key in self.facts.known

    def stay(self, ref: str) -> Stay | None:
        """Return the stay of a case, or None where there is no such case."""
        row = self.rows.get(Key("cases", ref))
        if row is None:
            return self.facts.stays.get(ref)
        return Stay(vehicle=row["vehicle"], arrived=row["arrived"], left=row["left"])

    def vehicle(self, key: Key) -> str:
        """Return the ref of the vehicle that a row belongs to; empty where it has none."""
        row = self.rows.get(key)
        if row is None:
            return self.facts.vehicles.get(key, "")
        if "vehicle" in row.values:
            return str(row["vehicle"])
        if row["diagnosis"]:
            return self.vehicle(Key("diagnoses", row["diagnosis"]))
        stay = self.stay(row["case"])
        return stay.vehicle if stay else ""

    def fund(self, ref: str) -> restrictions.Fund | None:
        """Return a fund as the ledger's rules read it, or None where there is no such fund."""
        row = self.rows.get(Key("funds", ref))
        return fund_of(row) if row else self.facts.funds.get(ref)


def rule_of(row: Row) -> restrictions.Rule:
    """Return the restriction that a row of the sheet `funds` names."""
    return restrictions.Rule(
        systems=frozenset(row["systems"] or ()),
        jobs=frozenset(row["jobs"] or ()),
        part_kinds=frozenset(row["part_kinds"] or ()),
        counties=frozenset(row["counties"] or ()),
        household_kinds=frozenset(row["household_kinds"] or ()),
        kinds=frozenset(row["spend_kinds"] or ()),
        from_on=row["from"],
        until_on=row["until"],
        two_over_cents=row["two_over_usd"],
    )


def fund_of(row: Row) -> restrictions.Fund:
    """Return a row of the sheet `funds` as the ledger's rules read it."""
    return restrictions.Fund(
        code=row["code"],
        name=row["name"],
        restricted=row["restricted"],
        closed_on=row["closed"],
        rule=rule_of(row),
    )
