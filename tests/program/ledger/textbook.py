"""A textbook's month as transfers, and its accounts as a chart."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Final

from program.ledger.chart import Account, Chart, Kind, Role, chart
from tests.program.ledger.making import make_transfer
from tests.program.published import published

if TYPE_CHECKING:
    from collections.abc import Iterable

    from program.ledger.ledger import Transfer

JOURNALS: Final = (
    ("TB-01", "entries_date_dr_cr_amount", "balances_dr_positive"),
    ("TB-02", "adjusting_entries", "balances_dr_positive"),
    ("TB-03", "closing_entries", "post_closing_balances_dr_positive"),
)
MONTH: Final = {"from_on": date(2019, 1, 1), "until_on": date(2019, 1, 31)}


def journal(case_id: str) -> list[Transfer]:
    """Return a textbook month's entries, after those of the case that it starts from."""
    case = published()[case_id]
    rows = next(case.inputs[column] for name, column, _ in JOURNALS if name == case_id)
    before = journal(case.inputs["start_from"]) if "start_from" in case.inputs else []
    return before + [
        make_transfer(
            entry=f"{case_id}/{number}",
            on=date.fromisoformat(on),
            debit=debit,
            credit=credit,
            cents=dollars * 100,
        )
        for number, (on, debit, credit, dollars) in enumerate(rows)
    ]


def names_chart(held: Iterable[Transfer]) -> Chart:
    """Return a chart of the accounts that are named, each of the kind that its name says."""
    names = {name for transfer in held for name in (transfer.debit, transfer.credit)}
    return chart(
        Account(code=name, name=name, kind=_kind(name), role=_role(name)) for name in names
    )


def _kind(name: str) -> Kind:
    if name.endswith(("revenue", "earned")) and name != "Unearned revenue":
        return Kind.INCOME
    if name.endswith("expense"):
        return Kind.EXPENSE
    if name.endswith("payable") or name == "Unearned revenue":
        return Kind.LIABILITY
    if name in {"Common stock", "Dividends", "Retained earnings", "Income summary"}:
        return Kind.NET_ASSETS
    return Kind.ASSET


def _role(name: str) -> Role:
    return Role.OPENING if name == "Common stock" else Role.PLAIN
