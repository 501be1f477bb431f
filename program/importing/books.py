"""What the ledger says to opening balances and to entries, before anything is written.

>>> from datetime import date
>>> from program.importing.known import Facts, World
>>> from program.importing.rows import Key, Row
>>> from program.ledger.restrictions import Fund
>>> world = World(rows={}, facts=Facts(funds={"g1": Fund(code="GEN", name="general fund")}))
>>> bill = Row(sheet="ledger_entries", number=2, ref="l1", values={"entry": "bill 7",
...     "on": date(2026, 11, 2), "what": "Bill", "debit": "6010", "credit": "1010",
...     "amount_usd": 4000, "fund": "g1", "fact": False})
>>> [fault.sentence for fault in check([], [bill], world)[0]]
['The general fund would be $40.00 below zero on 2026-11-02.']

Choices are refused, facts are recorded: an entry whose row says `fact` may leave a fund below zero.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from program.ledger import chart
from program.ledger.chart import Role, Side
from program.ledger.fiscal import first_of
from program.ledger.ledger import Transfer
from program.ledger.posting import available, check_entry
from shared.money import usd
from shared.problems import Level

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence
    from datetime import date

    from program.importing.known import World
    from program.importing.rows import Fault, Row
    from program.ledger.restrictions import Fund
    from shared.problems import Problem

OPENING: Final = "opening_balances"


@dataclass(frozen=True)
class Booked:
    """A row and the transfer that it stands for."""

    row: Row
    transfer: Transfer

    @property
    def fact(self) -> bool:
        """Whether the row says that it happened, whatever the fund holds after it."""
        return bool(self.row["fact"])

    @property
    def change(self) -> int:
        """The cents by which the transfer changes what is free in its fund."""
        accounts = chart.load()
        gain = accounts[self.transfer.debit].spendable - accounts[self.transfer.credit].spendable
        return gain * self.transfer.cents


def entry_key(row: Row) -> str:
    """Return the key of the entry to which a row belongs."""
    return f"opening:{row.ref}" if row.sheet == OPENING else f"import:{row['entry']}"


def opening_transfer(row: Row, fund: Fund) -> Transfer:
    """Return the transfer of an opening balance: the account against net assets at the start."""
    account = chart.load()[row["account"]]
    assets = _opening_account(restricted=fund.restricted)
    debit = account.normal == Side.DEBIT
    return Transfer(
        entry=entry_key(row),
        on=row["on"],
        debit=account.code if debit else assets,
        credit=assets if debit else account.code,
        cents=row["amount_usd"],
        fund=fund.code,
    )


def transfer(row: Row, fund: Fund) -> Transfer:
    """Return the transfer of one row of the sheet `ledger_entries`."""
    return Transfer(
        entry=entry_key(row),
        on=row["on"],
        debit=row["debit"],
        credit=row["credit"],
        cents=row["amount_usd"],
        fund=fund.code,
    )


def check(
    opening: Iterable[Row], entries: Iterable[Row], world: World
) -> tuple[list[Fault], list[str]]:
    """Return every fault of the new rows, and a sentence for each fund that a fact overdraws."""
    booked = [
        Booked(row, opening_transfer(row, fund))
        for row in opening
        if not row.broken and (fund := world.fund(row["fund"]))
    ]
    faults: list[Fault] = []
    events: defaultdict[str, list[Booked]] = defaultdict(list)
    for row in entries:
        if not row.broken and (fund := world.fund(row["fund"])):
            events[row["entry"]].append(Booked(row, transfer(row, fund)))
    for event in events.values():
        faults += _event(event, world)
        booked += event
    faults += [fault for one in booked if (fault := _shut(one.row, world))]
    short, notes = _below_zero(booked, world)
    return faults + short, notes


def _opening_account(*, restricted: bool) -> str:
    """Return the account of net assets at the start, with or without donor restriction."""
    codes = [code for code, one in chart.load().items() if one.role == Role.OPENING]
    return codes[-1] if restricted else codes[0]


def _shut(row: Row, world: World) -> Fault | None:
    """Return a fault where the row's month is shut: a fact can't be booked there either."""
    if first_of(row["on"]) not in world.facts.shut:
        return None
    return row.fault(
        "on",
        f"{row['on']:%B %Y} is shut.",
        "Give a day of an open month, or have the month opened again with a reason.",
    )


def _event(event: Sequence[Booked], world: World) -> Iterator[Fault]:
    """Yield what stands against booking the rows of one event as one entry."""
    first = event[0].row
    if entry_key(first) in world.facts.taken.get("ledger_entries", frozenset()):
        yield first.fault(
            "entry",
            f"“{first['entry']}” was booked before; a booked event takes no more rows.",
            "Give the new rows another text under entry.",
        )
    other = next((one.row for one in event if one.row["what"] != first["what"]), None)
    if other:
        yield other.fault(
            "what",
            f"Row {first.number} calls the same event “{first['what']}”.",
            "Give all rows of one event the same words.",
        )
    funds = {fund.code: fund for one in event if (fund := world.fund(one.row["fund"]))}
    fact = any(one.fact for one in event)
    for problem in check_entry([one.transfer for one in event], chart.load(), funds):
        if not (fact and problem.level == Level.APPROVAL):
            yield _said(problem, event)


def _said(problem: Problem, event: Sequence[Booked]) -> Fault:
    """Return what the ledger says, at the row it speaks of."""
    remedy = str(problem.remedy)
    if problem.level == Level.APPROVAL:
        remedy += " If its donor has, say yes under fact."
    elif problem.where.isdigit():
        row = event[int(problem.where) - 1].row
        return row.fault("amount_usd", str(problem.sentence), remedy)
    return event[0].row.fault("entry", str(problem.sentence), remedy)


def _below_zero(booked: Sequence[Booked], world: World) -> tuple[list[Fault], list[str]]:
    """Return a fault, or for a fact a note, for each fund and day that ends below zero."""
    days: defaultdict[date, list[Booked]] = defaultdict(list)
    for one in booked:
        days[one.transfer.on].append(one)
    names = {fund.code: fund.name for one in booked if (fund := world.fund(one.row["fund"]))}
    free = {code: available(code, world.facts.held, chart.load()) for code in names}
    faults, notes = [], {}
    for day in sorted(days):
        for one in days[day]:
            free[one.transfer.fund] += one.change
        taken = {one.transfer.fund: one for one in days[day] if one.change < 0}
        for code, last in taken.items():
            if free[code] >= 0:
                continue
            if any(one.fact for one in days[day] if one.transfer.fund == code and one.change < 0):
                notes[code] = f"The {names[code]} is {usd(-free[code])} below zero on {day}."
            else:
                faults.append(_short(last, names[code], free[code]))
    return faults, list(notes.values())


def _short(last: Booked, name: str, free: int) -> Fault:
    return last.row.fault(
        "amount_usd",
        f"The {name} would be {usd(-free)} below zero on {last.transfer.on}.",
        "Correct the amount or the fund. If it happened so, say yes under fact.",
    )
