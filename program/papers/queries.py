"""Which entries spend, and which of them have no paper behind them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.files.storage import storages
from django.db.models import Exists, OuterRef, Q, Sum

from program.ledger.chart import Kind, Role, load
from program.ledger.models import Entry, Transfer
from program.papers.models import Paper

if TYPE_CHECKING:
    import datetime as dt

    from django.db.models import QuerySet

    from program.ledger.chart import Account
    from shared.accounts.models import Program


def _bought(account: Account) -> bool:
    """Return whether a debit of the account is something that a bill or a slip stands for."""
    if account.kind is Kind.EXPENSE:
        return account.role is not Role.IN_KIND
    return account.kind is Kind.ASSET and account.role not in {Role.CASH, Role.CONTRA}


def _paid(account: Account) -> bool:
    """Return whether a credit of the account is money that leaves, or is owed."""
    cash = account.kind is Kind.ASSET and account.role is Role.CASH
    return cash or account.kind is Kind.LIABILITY


def spending(path: str = "") -> Q:
    """Return which transfers buy something: they have a bill, a slip or a letter behind them.

    `path` leads to the transfers, such as `transfers__`.
    """
    chart = load().values()
    bought = [account.code for account in chart if _bought(account)]
    paid = [account.code for account in chart if _paid(account)]
    return Q((f"{path}debit__in", bought), (f"{path}credit__in", paid))


def entries_without_paper(program: Program) -> QuerySet[Entry]:
    """Return the spends that nobody put a paper behind, newest first, each with `spent_cents`.

    What was reversed, and the reversal itself, needs none.
    """
    spends = Transfer.objects.filter(spending(), entry=OuterRef("pk"))
    rows = Entry.objects.filter(
        Exists(spends),
        ~Exists(Paper.objects.filter(entry=OuterRef("pk"))),
        program=program,
        reverses=None,
        reversed_by=None,
    )
    spent = Sum("transfers__cents", filter=spending("transfers__"))
    return rows.annotate(spent_cents=spent).order_by("-on", "-pk")


def without_paper_between(program: Program, from_on: dt.date, until_on: dt.date) -> int:
    """Return how many spends of a span have no paper behind them."""
    return entries_without_paper(program).filter(on__range=(from_on, until_on)).count()


def open_paper(paper: Paper) -> bytes:
    """Return the file of a paper. Raises FileNotFoundError when it is gone."""
    with storages["private"].open(paper.path) as file:
        data: bytes = file.read()
    return data
