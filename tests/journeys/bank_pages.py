"""A bank statement of the demonstration's charity, and the addresses of its pages."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from program.bank.check import Given
from program.bank.keeping import Upload, read_statement
from program.bank.layout import guess
from program.bank.statement_file import read_table
from program.models import Entry
from shared.models import User
from tests.journeys.looked_into import Rows, each

if TYPE_CHECKING:
    from program.models import BankStatement


def read(by: User) -> BankStatement:
    """Return a statement of the last ten days: a fee, interest and a gift."""
    program = by.program
    assert program is not None
    last = program.today() - timedelta(days=1)
    rows = (("SERVICE CHARGE", "-15.00"), ("INTEREST", "1.13"), ("DEPOSIT", "35.00"))
    text = "date,description,amount\n" + "".join(
        f"{last - timedelta(days=place)},{words},{amount}\n"
        for place, (words, amount) in enumerate(rows)
    )
    upload = Upload(account="1010", name="bank.csv", content=text.encode())
    given = Given(from_on=last - timedelta(days=9), until_on=last, opening=1000_00, closing=1021_13)
    layout = guess(read_table(upload.content))
    return read_statement(program=program, upload=upload, layout=layout, given=given, by=by)


def bank() -> Rows:
    """Return the addresses of statements and lines, with what they take."""
    row = read(User.objects.get(username="jonas"))
    line, entry = row.lines.earliest("pk").pk, Entry.objects.latest("pk").pk
    of_statement = ("statement_page", "match_sure", "accept", "undo")
    of_end = ("reconciliation", "reconciliation_file", "finish", "reopen")
    return [
        *each([[row.pk]], *(f"bank:{name}" for name in of_statement + of_end)),
        *each([[line]], "bank:line_page", "bank:match", "bank:book"),
        ("bank:bounced", [[line, entry]]),
    ]
