"""The trial balance and the funds laid out as sheets of rows.

>>> from datetime import date
>>> from program.ledger.chart import load
>>> from program.ledger.ledger import Balances
>>> from program.statements.statements import Books
>>> day = date(2026, 12, 31)
>>> held = Balances(cells={("GEN", "1010"): 9000, ("GEN", "4010"): -9000})
>>> books = Books(chart=load(), funds={}, from_on=day, until_on=day, before=Balances(), now=held)
>>> [row.name for row in trial_sheet(books).rows]
['1010 Checking account', '4010 Gifts of money from people', 'Together']
>>> funds_sheet(books).columns[:3]
('At the start', 'Came in', 'Went out')
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.ledger.chart import Role
from program.statements.rows import Figure, Sheet, capital, held, line, over, plain, summed
from program.statements.statements import fund_lines, trial_balance
from shared.money import usd

if TYPE_CHECKING:
    from program.statements.statements import Books


def trial_sheet(books: Books) -> Sheet:
    """Return the trial balance at the end of the span."""
    lines = trial_balance(books)
    rows = [
        line(
            books.chart[one.account].name,
            [held(books, cents, account=one.account) for cents in (one.debit, one.credit)],
            code=one.account,
        )
        for one in lines
    ]
    together = [sum(one.debit for one in lines), sum(one.credit for one in lines)]
    return Sheet(
        name="trial",
        title="Trial balance",
        lead="What each account holds at the end of the last day.",
        sum=f"Debits {usd(together[0])}, credits {usd(together[1])}.",
        first="Account",
        columns=("Debit", "Credit"),
        rows=(*rows, summed("Together", together)),
        notes=("The 9000 accounts are set aside by approved plans; they are in no statement.",),
    )


def funds_sheet(books: Books) -> Sheet:
    """Return how each fund came from its opening to its closing balance."""
    lines = fund_lines(books)
    parts = ("opening", "income", "spending", "moved", "closing", "released", "committed", "free")
    rows = []
    for restricted, title in ((False, "Without donor restriction"), (True, "With restriction")):
        some = [one for one in lines if books.funds[one.fund].restricted == restricted]
        if not some:
            continue
        rows.append(over(title, len(parts)))
        rows += [
            line(
                capital(books.funds[one.fund].name),
                [_of_fund(books, getattr(one, part), one.fund, part) for part in parts],
                code=one.fund,
            )
            for one in some
        ]
    together = [sum(getattr(one, part) for one in lines) for part in parts]
    return Sheet(
        name="funds",
        title="Funds",
        lead="How each fund came from the first day to the last, goods included.",
        sum=f"{usd(together[-1])} free, {usd(together[-2])} set aside.",
        first="Fund",
        columns=(
            *("At the start", "Came in", "Went out", "Moved", "At the end"),
            *("Released", "Set aside", "Free"),
        ),
        rows=(*rows, summed("Together", together)),
        notes=("Free is cash, less what is owed, less what is set aside.",),
    )


def _of_fund(books: Books, cents: int, fund: str, part: str) -> Figure:
    if part == "opening":
        return plain(cents)
    codes = {account.role: code for code, account in books.chart.items()}
    account = {
        "moved": codes[Role.INTERFUND],
        "released": codes[Role.RELEASED_TO],
        "committed": codes[Role.RESERVE],
    }.get(part, "")
    since = None if part in {"closing", "committed", "free"} else books.from_on
    return Figure(cents=cents, fund=fund, account=account, since=since, until=books.until_on)
