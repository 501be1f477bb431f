"""The ledger read into what the pure modules compute with."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from django.db.models import F, OuterRef, Subquery, Sum

from program.ledger import ledger, restrictions
from program.ledger.chart import Kind, load
from program.ledger.fiscal import first_of, last_of
from program.ledger.kept_models import Balance, DayBalance, Turnover
from program.ledger.models import Commitment, Fund, ShutMonth, Transfer
from program.ledger.posting import available

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from django.db.models import QuerySet

    from program.cases.models import Case
    from shared.accounts.models import Program

Days = tuple[date, date]  # the first and the last day of a run of days
ONE_DAY = timedelta(days=1)
NET = F("debits") - F("credits")


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
    """Return what each fund holds on each account now, as the database keeps it; one query."""
    rows = Balance.objects.filter(program=program).order_by()
    fields = ("fund__code", "account", "cents")
    return _balances(((fund, code), cents) for fund, code, cents in rows.values_list(*fields))


def held_on(program: Program, on: date) -> ledger.Balances:
    """Return what each fund held on each account at the end of a day, as it is kept; one query."""
    return _held_then(program, on__lte=on)


def turned(program: Program, from_on: date, until_on: date) -> ledger.Balances:
    """Return what the days from `from_on` to `until_on` added to each balance; two queries."""
    if until_on < from_on:
        return _balances(())
    after, before = held_on(program, until_on), _held_then(program, on__lt=from_on)
    less = ((cell, -cents) for cell, cents in before.cells.items())
    return _balances([*after.cells.items(), *less])


def by_function(program: Program, from_on: date, until_on: date) -> dict[tuple[str, str, str], int]:
    """Return the cents of a span by fund code, account and function, without zeros.

    The function is a transfer's own, or else the usual one of its account; only expenses have one.
    """
    cells = ("fund__code", "account", "function")
    kept = _kept_months(program, from_on, until_on).values_list(*cells)
    broken = (cell for _, *cell in _broken_months(program, from_on, until_on))
    return _summed(
        ((fund, code, _function(code, own)), cents)
        for fund, code, own, cents in (*kept.annotate(cents=Sum(NET)), *broken)
    )


def by_month(
    program: Program, from_on: date, until_on: date
) -> dict[tuple[date, str, str, str], int]:
    """Return by the first day of each month what `by_function` returns for the span."""
    cells = ("month", "fund__code", "account", "function")
    kept = _kept_months(program, from_on, until_on).annotate(cents=NET)
    broken = _broken_months(program, from_on, until_on)
    return _summed(
        ((month, fund, code, _function(code, own)), cents)
        for month, fund, code, own, cents in (*kept.values_list(*cells, "cents"), *broken)
    )


def case_costs(program: Program, from_on: date, until_on: date) -> dict[tuple[int, str], int]:
    """Return what each case cost in a span: its pk and an expense account -> cents; one query."""
    return _costs(_within(program, (from_on, until_on)).filter(case__isnull=False))


def case_cost(case: Case) -> dict[str, int]:
    """Return what one case has cost so far by expense account; one query."""
    costs = _costs(Transfer.objects.filter(program=case.program_id, case=case))
    return {code: cents for (_, code), cents in costs.items()}


def shut_on(program: Program, on: date) -> ShutMonth | None:
    """Return the shut month to which a day belongs; None while that month is open."""
    months = ShutMonth.objects.filter(program=program, month=first_of(on), opened_at=None)
    return months.select_related("shut_by").first()


def free_cents(funds: Iterable[Fund], balances: ledger.Balances) -> dict[str, int]:
    """Return the free cents of each fund by code: cash, less debts, less what is set aside."""
    chart = load()
    return {fund.code: available(fund.code, balances, chart) for fund in funds}


def standing_commitments(program: Program) -> QuerySet[Commitment]:
    """Return what is set aside and not yet released, with its fund and case."""
    return Commitment.objects.filter(program=program, released_by__isnull=True).select_related(
        "fund", "case"
    )


def _held_then(program: Program, **days: date) -> ledger.Balances:
    """Return what was held at the end of the last of some days.

    A cell that moved a thousand times costs one look into the index, as one that moved once.
    """
    cell = DayBalance.objects.filter(
        program=program, fund=OuterRef("fund"), account=OuterRef("account"), **days
    )
    then = Subquery(cell.order_by("-on").values("cents")[:1])
    rows = Balance.objects.filter(program=program).order_by().annotate(then=then)
    fields = ("fund__code", "account", "then")
    return _balances(((fund, code), cents or 0) for fund, code, cents in rows.values_list(*fields))


def _kept_months(program: Program, from_on: date, until_on: date) -> QuerySet[Turnover]:
    """Return what moved in the whole months of a span, in no order."""
    end = until_on if until_on == last_of(until_on) else first_of(until_on) - ONE_DAY
    rows = Turnover.objects.filter(program=program, month__gte=from_on, month__lte=end)
    return rows.order_by()


def _broken_months(
    program: Program, from_on: date, until_on: date
) -> Iterator[tuple[date, str, str, str, int]]:
    """Yield what moved in the one or two broken months of a span, from their transfers.

    Each is a month, fund code, account, the transfer's own function, and cents.
    """
    runs = []
    if from_on != first_of(from_on):
        runs.append((from_on, min(last_of(from_on), until_on)))
    if until_on != last_of(until_on):
        runs.append((max(from_on, first_of(until_on)), until_on))
    for days in dict.fromkeys(runs):
        cells = ("fund__code", "debit", "credit", "function")
        sums = _within(program, days).values_list(*cells).annotate(sum=Sum("cents"))
        for fund, debit, credit, function, cents in sums:
            yield first_of(days[0]), fund, debit, function, cents
            yield first_of(days[0]), fund, credit, function, -cents


def _within(program: Program, days: Days) -> QuerySet[Transfer]:
    """Return the transfers of some days, in no order."""
    rows = Transfer.objects.filter(program=program, entry__program=program, entry__on__range=days)
    return rows.order_by()


def _costs(rows: QuerySet[Transfer]) -> dict[tuple[int, str], int]:
    """Return what transfers add to expense accounts, by case and account; one query."""
    expenses = {code for code, account in load().items() if account.kind == Kind.EXPENSE}
    sums = rows.order_by().values_list("case", "debit", "credit").annotate(sum=Sum("cents"))
    return _summed(
        ((case, code), signed)
        for case, debit, credit, cents in sums
        for code, signed in ((debit, cents), (credit, -cents))
        if code in expenses
    )


def _function(code: str, own: str) -> str:
    account = load()[code]
    return (own or account.function.value) if account.kind == Kind.EXPENSE else ""


def _balances(cells: Iterable[tuple[Any, int]]) -> ledger.Balances:
    return ledger.Balances(cells=_summed(cells))


def _summed(cells: Iterable[tuple[Any, int]]) -> dict[Any, int]:
    """Return the sum of each cell, sorted by cell, without zeros."""
    sums: Counter[Any] = Counter()
    for cell, cents in cells:
        sums[cell] += cents
    return {cell: sums[cell] for cell in sorted(sums) if sums[cell]}
