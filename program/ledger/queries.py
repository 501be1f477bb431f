"""The ledger read into what the pure modules compute with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.ledger import ledger, restrictions
from program.ledger.chart import load
from program.ledger.models import Commitment, Fund, Transfer
from program.ledger.posting import available

if TYPE_CHECKING:
    from collections.abc import Iterable

    from django.db.models import QuerySet

    from shared.accounts.models import Program


def pure_fund(fund: Fund) -> restrictions.Fund:
    """Return a fund as the restriction rule reads it."""
    return restrictions.Fund(
        code=fund.code,
        name=fund.name,
        restricted=fund.restricted,
        closed_on=fund.closed_on,
        rule=restrictions.from_dict(fund.rule),
    )


def pure_funds(funds: Iterable[Fund]) -> dict[str, restrictions.Fund]:
    """Return funds under their codes, as the restriction rule reads them."""
    return {fund.code: pure_fund(fund) for fund in funds}


def transfers(program: Program) -> list[ledger.Transfer]:
    """Return every transfer of the program, oldest entry first; one query."""
    rows = Transfer.objects.filter(program=program).order_by("entry__on", "entry_id", "pk")
    fields = ("entry__key", "entry__on", "debit", "credit", "cents", "fund__code")
    return [
        ledger.Transfer(entry=key, on=on, debit=debit, credit=credit, cents=cents, fund=fund)
        for key, on, debit, credit, cents, fund in rows.values_list(*fields)
    ]


def held(program: Program) -> ledger.Balances:
    """Return what each fund holds on each account now."""
    return ledger.balances(transfers(program))


def free_cents(funds: Iterable[Fund], balances: ledger.Balances) -> dict[str, int]:
    """Return the free cents of each fund by code: cash, less debts, less what is set aside."""
    chart = load()
    return {fund.code: available(fund.code, balances, chart) for fund in funds}


def standing_commitments(program: Program) -> QuerySet[Commitment]:
    """Return what is set aside and not yet released, with its fund and case."""
    return Commitment.objects.filter(program=program, released_by__isnull=True).select_related(
        "fund", "case"
    )
