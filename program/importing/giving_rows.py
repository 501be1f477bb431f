"""Rows of gifts and money become objects: sponsors, pledges with their units, funds, entries."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from program.cases.models import Case
from program.importing import books
from program.importing.batch import write
from program.importing.known import rule_of
from program.importing.shop_rows import channel
from program.importing.work_rows import fitment
from program.ledger import chart
from program.ledger.itemizing import releases
from program.ledger.models import Entry, Fund, Transfer
from program.ledger.queries import pure_fund
from shared.outbox.contact import MaySay
from shared.outbox.models import Address
from sponsors.pledges.models import Pledge, Supply
from sponsors.pledges.states import PledgeState, SupplySource, SupplyState
from sponsors.register.models import Gives, Sponsor

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from program.importing.batch import Batch
    from program.importing.rows import Row
    from program.ledger import ledger

LONGEST_MEMO = 120


def sponsors(batch: Batch) -> None:
    """Write sponsors with their address and what they give."""
    rows = batch.rows("sponsors")
    addresses = [_address(batch, row) for row in rows]
    write(addresses)
    batch.make(
        "sponsors",
        [
            Sponsor(
                program=batch.program,
                name=row["name"],
                town=row["town"],
                contact_name=row["contact"],
                address=address,
                ask_every_days=row["ask_every_days"],
                last_asked_on=row["last_asked"],
                since_on=row["since"],
                ended_on=row["ended"],
            )
            for row, address in zip(rows, addresses, strict=True)
        ],
    )
    write(
        [
            Gives(
                program=batch.program,
                sponsor=batch.objects[row.key],
                system=given.partition("/")[0],
                part_kind=given.partition("/")[2],
            )
            for row in rows
            for given in row["gives"]
        ]
    )


def _address(batch: Batch, row: Row) -> Address:
    return Address(
        program=batch.program,
        channel=channel(row),
        email=row["email"],
        phone=row["phone"],
        language=row["language"] or "en",
        says=MaySay.PROGRESS,
        opted_out_at=batch.moment(row["opted_out"]) if row["opted_out"] else None,
    )


def pledges(batch: Batch) -> None:
    """Write pledges, and a unit of supply for each part promised."""
    rows = batch.rows("pledges")
    batch.make("pledges", [_pledge(batch, row) for row in rows])
    write([_unit(batch, row, number) for row in rows for number in range(1, row["quantity"] + 1)])


def _part(row: Row) -> dict[str, object]:
    """Return what a pledge and each of its units say of the part."""
    return {
        "kind": row["kind"],
        "title": row["title"],
        "system": row["system"],
        "fitment": fitment(row),
        "used": row["used"],
    }


def _pledge(batch: Batch, row: Row) -> Pledge:
    return Pledge(
        program=batch.program,
        sponsor=batch.named(row, "sponsor", "sponsors"),
        quantity=row["quantity"],
        pledged_on=row["pledged"],
        expires_on=row["expires"],
        counties=list(row["counties"]),
        household_kinds=list(row["household_kinds"]),
        state=PledgeState.ARRIVED if row["here"] else PledgeState.INTENDED,
        note=row["note"],
        **_part(row),
    )


def _unit(batch: Batch, row: Row, number: int) -> Supply:
    return Supply(
        program=batch.program,
        source=SupplySource.PLEDGE,
        pledge=batch.objects[row.key],
        number=number,
        state=SupplyState.ON_SHELF if row["here"] else SupplyState.PLEDGED,
        expires_on=row["expires"],
        available_on=row["available"],
        since_at=batch.moment(row["pledged"]),
        **_part(row),
    )


def funds(batch: Batch) -> None:
    """Write funds with the rule of what they may pay."""
    batch.make(
        "funds",
        [
            Fund(
                program=batch.program,
                code=row["code"],
                name=row["name"],
                restricted=row["restricted"],
                purpose=row["purpose"],
                rule=rule_of(row).to_dict(),
                opened_on=row["opened"],
                lapses_on=row["lapses"],
                closed_on=row["closed"],
            )
            for row in batch.rows("funds")
        ],
    )


def entries(batch: Batch) -> None:
    """Write opening balances and entries, each entry whole."""
    made: dict[str, Entry] = {}
    for row in (*batch.rows(books.OPENING), *batch.rows("ledger_entries")):
        entry = made.setdefault(books.entry_key(row), _entry(batch, row))
        entry.fact = entry.fact or bool(row["fact"])
    write(list(made.values()))
    cases = _numbered(batch)
    written: list[Transfer] = []
    for sheet, as_transfer in (
        (books.OPENING, books.opening_transfer),
        ("ledger_entries", books.transfer),
    ):
        rows = [
            _transfer(
                batch,
                row,
                as_transfer(row, pure_fund(batch.named(row, "fund", "funds"))),
                made[books.entry_key(row)],
                cases,
            )
            for row in batch.rows(sheet)
        ]
        batch.make(sheet, rows)
        written += rows
    write(_released(written))


def _released(written: Sequence[Transfer]) -> list[Transfer]:
    """Return what releases the spending of restricted funds that the sheets don't release."""
    events: defaultdict[Entry, list[Transfer]] = defaultdict(list)
    for transfer in written:
        events[transfer.entry].append(transfer)
    return [
        Transfer(
            program_id=entry.program_id,
            entry=entry,
            debit=line.debit,
            credit=line.credit,
            cents=line.cents,
            fund=line.fund,
            case=line.case,
            memo=line.memo,
        )
        for entry, rows in events.items()
        for line in releases(rows)
    ]


def _entry(batch: Batch, row: Row) -> Entry:
    what = row["what"]
    if row.sheet == books.OPENING:
        what = f"Opening balance: {chart.load()[row['account']].name}"
    return Entry(
        program=batch.program,
        key=books.entry_key(row),
        on=row["on"],
        what=what,
        by=batch.by,
    )


def _numbered(batch: Batch) -> dict[str, Case]:
    """Return the cases that rows of the ledger name by number, as far as they are here."""
    numbers = {row["case_number"] for row in batch.rows("ledger_entries")} - {""}
    rows = Case.objects.filter(program=batch.program, number__in=numbers)
    return {case.number: case for case in rows}


def _transfer(
    batch: Batch, row: Row, plain: ledger.Transfer, entry: Entry, cases: Mapping[str, Case]
) -> Transfer:
    number = row["case_number"] or ""
    named = batch.named(row, "case", "cases") if row.sheet != books.OPENING else None
    case, memo = named or cases.get(number), row["memo"] or ""
    if number and case is None:
        memo = f"Case {number}. {memo}".strip()[:LONGEST_MEMO]
    return Transfer(
        program=batch.program,
        entry=entry,
        debit=plain.debit,
        credit=plain.credit,
        cents=plain.cents,
        fund=batch.named(row, "fund", "funds"),
        case=case,
        function=row["function"] or "",
        memo=memo,
    )
