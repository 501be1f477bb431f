"""Books of a span from plain transfers, as the database would keep them."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from hypothesis import strategies as st

from program.ledger.chart import Chart, Kind
from program.ledger.ledger import Transfer, balances
from program.statements.disclosure import gifts
from program.statements.outlays import Outlays, outlays
from program.statements.position import position
from program.statements.statements import (
    Books,
    activities,
    fund_lines,
    trial_balance,
    unreleased,
)
from program.statements.ties import Found, Tie, ties
from tests.program.ledger.making import CHART, FUNDS, YEAR, transfers

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import date

    from program.ledger.restrictions import Fund


def booked(
    held: Sequence[Transfer],
    chart: Chart = CHART,
    funds: Mapping[str, Fund] = FUNDS,
    days: Mapping[str, date] = YEAR,
) -> Books:
    """Return the books of a span, of the year unless other days are given."""
    within = [one for one in held if days["from_on"] <= one.on <= days["until_on"]]
    named: Counter[tuple[str, str, str]] = Counter()
    for (fund, code), cents in balances(within).cells.items():
        if chart[code].kind == Kind.EXPENSE:
            named[fund, code, chart[code].function.value] += cents
    return Books(
        chart=chart,
        funds=funds,
        before=balances(one for one in held if one.on < days["from_on"]),
        now=balances(one for one in held if one.on <= days["until_on"]),
        functions=dict(named),
        **days,
    )


def costs(books: Books) -> Outlays:
    """Return all expenses of the span as belonging to no case."""
    spent = {
        code: cents
        for code, cents in books.span.accounts().items()
        if books.chart[code].kind == Kind.EXPENSE
    }
    return outlays({}, {}, spent)


def found(books: Books, **parts: Any) -> Found:
    """Return what has to tie; a test gives the part that it breaks."""
    made: dict[str, Any] = {
        "trial": trial_balance(books),
        "activities": activities(books),
        "position": position(books.now, books.chart, books.funds),
        "funds": fund_lines(books),
        "gifts": gifts(books),
        "unreleased": unreleased(books),
        "outlays": costs(books),
        "standing": sum(line.committed for line in fund_lines(books)),
    }
    return Found(books=books, **(made | parts))


def failing(books: Books, **parts: Any) -> list[Tie]:
    """Return the checks that do not tie."""
    return [tie for tie in ties(found(books, **parts)) if not tie.holds]


def real_books(draw: st.DrawFn) -> list[Transfer]:
    """Draw transfers as posting lets them stand: moves net to zero, restricted spends released."""
    drawn = [one for one in draw(st.lists(transfers())) if not _moves(one)]
    return [*drawn, *_released(drawn)]


def _moves(one: Transfer) -> bool:
    return "3110" in {one.debit, one.credit}


def _released(held: Sequence[Transfer]) -> list[Transfer]:
    """Return a release for what each restricted fund has spent, on the day of the spend."""
    return [
        Transfer(
            entry=one.entry, on=one.on, debit="3210", credit="3220", cents=one.cents, fund=one.fund
        )
        for one in held
        if FUNDS[one.fund].restricted and CHART[one.debit].releases
    ]


books_drawn = st.composite(real_books)
