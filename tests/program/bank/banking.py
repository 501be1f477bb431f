"""A small account and its statements for the tests of the bank's room."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from program.bank.actions import Booking, book_line, match_line, match_sure
from program.bank.check import Given
from program.bank.keeping import Upload, read_statement
from program.bank.layout import guess
from program.bank.statement_file import read_table
from program.models import Entry, Fund
from tests.factories import make_entry, make_fund, make_program, make_user

if TYPE_CHECKING:
    from program.models import BankLine, BankStatement

HEAD = "date,description,check number,amount,balance\n"
OCTOBER = (
    HEAD
    + "2026-10-02,CHECK,1187,-36.40,963.60\n"
    + "2026-10-19,DEPOSIT,,400.00,1363.60\n"
    + "2026-10-28,AUTOMATIC PAYMENT,,-100.00,1263.60\n"
    + "2026-10-30,SERVICE CHARGE,,-15.00,1248.60\n"
)
FIRST, LAST = date(2026, 10, 1), date(2026, 10, 31)
DAYS = Given(from_on=FIRST, until_on=LAST, opening=1000_00, closing=1248_60)


def general() -> Fund:
    """Return the general fund."""
    return Fund.objects.filter(code="GEN").first() or make_fund(code="GEN", name="general fund")


def paid(cents: int, on: date, what: str = "Paid") -> Entry:
    """Return an entry that takes money from the checking account."""
    return make_entry(("6050", "1010", cents, general()), on=on, what=what)


def came(cents: int, on: date, what: str = "Gift", account: str = "4010") -> Entry:
    """Return an entry that brings money to the checking account."""
    return make_entry(("1010", account, cents, general()), on=on, what=what)


def books() -> dict[str, Entry]:
    """Return entries under their names: $1,000.00 before October, and what October holds of it."""
    return {
        "start": came(1000_00, date(2026, 9, 30), "Opening"),
        "check": paid(36_40, date(2026, 10, 1), "Front pads, check 1187"),
        "share": came(60_00, date(2026, 10, 17), "Share"),
        "sunday": came(340_00, date(2026, 10, 18), "Sunday"),
        "pay": paid(100_00, date(2026, 10, 27), "Pay"),
        "late": paid(64_00, date(2026, 10, 21), "Tires fetched"),
    }


def uploaded(text: str = OCTOBER, name: str = "october.csv") -> Upload:
    """Return a file for the checking account."""
    return Upload(account="1010", name=name, content=text.encode())


def statement(text: str = OCTOBER, given: Given = DAYS) -> BankStatement:
    """Read a statement as a treasurer would, with the columns that are guessed."""
    upload = uploaded(text)
    layout = guess(read_table(upload.content))
    return read_statement(
        program=make_program(), upload=upload, layout=layout, given=given, by=make_user()
    )


def line_of(row: BankStatement, cents: int) -> BankLine:
    """Return the line of an amount."""
    return row.lines.get(cents=cents)


def all_found(row: BankStatement, there: dict[str, Entry]) -> None:
    """Find every line that the books hold, and book the fee."""
    by = make_user()
    match_sure(statement=row, by=by)
    both = [there["share"], there["sunday"]]
    match_line(line=line_of(row, 400_00), entries=both, by=by)
    fee = Booking(account="7030", fund=general(), what="Bank fee")
    book_line(line=line_of(row, -15_00), booking=fee, by=by)
