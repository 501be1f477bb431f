"""The lines of an entry before it is written: what each moves, pays for and releases."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from program.cases.models import Case
from program.ledger import ledger, posting
from program.ledger.chart import load
from program.ledger.models import Fund
from program.ledger.queries import pure_fund
from program.ledger.releases import Part, owed
from program.ledger.spending import spend_of_line
from shared.policy.queries import policies
from vehicles.repairs.models import RepairItem

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from program.ledger.models import Entry, Proposal, Transfer
    from program.ledger.restrictions import Fund as PureFund
    from program.ledger.restrictions import Spend
    from shared.accounts.models import Program
    from shared.say import Say


@dataclass(frozen=True, kw_only=True)
class Line:
    """One transfer to be booked; the case and repair item it is for, and its own function."""

    debit: str
    credit: str
    cents: int
    fund: Fund
    case: Case | None = None
    item: RepairItem | None = None
    function: str = ""
    memo: str = ""


@dataclass(frozen=True, kw_only=True)
class Event:
    """What is booked: the key of its cause, its day and its words."""

    key: str
    on: dt.date
    what: str
    reverses: Entry | None = None


def pure(line: Line, event: Event) -> ledger.Transfer:
    """Return a line as the pure rules read it."""
    return ledger.Transfer(
        entry=event.key,
        on=event.on,
        debit=line.debit,
        credit=line.credit,
        cents=line.cents,
        fund=line.fund.code,
    )


def spends(line: Line, event: Event) -> list[Spend]:
    """Return what a line pays for, as a rule looks at it; nothing where its debit is no spend."""
    account = load()[line.debit]
    if not account.spend:
        return []
    name = account.name[:1].lower() + account.name[1:]
    return spend_of_line(
        what=f"“{line.item.title}”" if line.item else name,
        on=event.on,
        cents=line.cents,
        kind=account.spend,
        case=line.case,
        item=line.item,
    )


def releases(lines: Sequence[Line] | Sequence[Transfer]) -> list[Line]:
    """Return the lines that release what these spend of restricted funds."""
    funds = {line.fund.code: line.fund for line in lines}
    cases = {line.case.pk: line.case for line in lines if line.case}
    parts = [
        Part(
            debit=line.debit,
            credit=line.credit,
            cents=line.cents,
            fund=line.fund.code,
            case=line.case.pk if line.case else None,
        )
        for line in lines
    ]
    restricted = {code for code, fund in funds.items() if fund.restricted}
    return [
        Line(
            debit=part.debit,
            credit=part.credit,
            cents=part.cents,
            fund=funds[part.fund],
            case=cases.get(part.case or 0),
            memo="released" if part.debit < part.credit else "release taken back",
        )
        for part in owed(parts, load(), restricted)
    ]


def opposite(entry: Entry) -> list[Line]:
    """Return the lines that turn an entry round, its releases too."""
    return [
        Line(
            debit=row.credit,
            credit=row.debit,
            cents=row.cents,
            fund=row.fund,
            case=row.case,
            item=row.item,
            function=row.function,
            memo=row.memo,
        )
        for row in entry.transfers.select_related("fund", "case", "item")
    ]


def two_needed(program: Program, event: Event, lines: Sequence[Line]) -> Say | None:
    """Return why one person alone can't make these purchases, or None."""
    bought: dict[int, tuple[PureFund, Spend]] = {}
    for line in lines:
        found = spends(line, event)
        if not (found and posting.is_purchase(pure(line, event), load())):
            continue
        fund, cents = line.fund, line.cents
        if fund.pk in bought:
            cents += bought[fund.pk][1].cents
        bought[fund.pk] = pure_fund(fund), replace(found[0], cents=cents)
    limit = policies(program, event.on)["two_people_cents"]
    return posting.why_two(list(bought.values()), limit)


def stored(line: Line) -> dict[str, object]:
    """Return a line as a proposal keeps it."""
    return {
        "debit": line.debit,
        "credit": line.credit,
        "cents": line.cents,
        "fund": line.fund.pk,
        "case": line.case.pk if line.case else None,
        "item": line.item.pk if line.item else None,
        "function": line.function,
        "memo": line.memo,
    }


def lines_of(proposal: Proposal) -> list[Line]:
    """Return the lines of a proposal as they were typed."""
    rows, program = proposal.lines, proposal.program_id
    funds = Fund.objects.filter(program=program).in_bulk([row["fund"] for row in rows])
    cases = Case.objects.filter(program=program).in_bulk([row["case"] for row in rows])
    items = RepairItem.objects.filter(program=program).in_bulk([row["item"] for row in rows])
    return [
        Line(
            **row
            | {
                "fund": funds[row["fund"]],
                "case": cases.get(row["case"]),
                "item": items.get(row["item"]),
            }
        )
        for row in rows
    ]
