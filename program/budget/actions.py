"""Budget lines are added, changed and removed; a year's budget is begun from the one before."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Final

from django.core.exceptions import ValidationError
from django.db import transaction

from program.budget.models import BudgetLine
from program.budget.queries import first_month_of, lines_of, year_of
from program.budget.states import Start
from program.budget.variance import moved_by_cell, raised
from program.ledger.chart import Kind, load
from program.ledger.fiscal import MONTHS, fiscal_span
from program.ledger.models import Fund
from program.ledger.queries import by_month
from shared.audit.actions import log_event
from shared.money import LIMIT_CENTS, usd

if TYPE_CHECKING:
    from collections.abc import Sequence

    from program.budget.variance import Months
    from shared.accounts.models import Program, User

CHANGED: Final = "Somebody else changed this line meanwhile. Look at it again, then decide."
YEARS: Final = (1990, 2100)


@transaction.atomic
def add_line(  # noqa: PLR0913  # the fields of one line
    *,
    program: Program,
    year: int,
    account: str,
    fund: Fund | None,
    function: str,
    months: Months,
    by: User,
) -> BudgetLine:
    """Add a line to a year's budget.

    Raises:
        ValidationError: the account is neither income nor expense, an amount is below zero or too
            large, the fund was closed before the year, or the year has such a line already.
    """
    row = BudgetLine(program=program, year=year, account=account, fund=fund, function=function)
    _fill(row, months)
    row.save()
    log_event(row, f"A line of the budget of {year} was added: {_told(row)}.", by=by)
    return row


@transaction.atomic
def change_line(  # noqa: PLR0913  # the fields of one line
    *,
    line: BudgetLine,
    version: int | None,
    account: str,
    fund: Fund | None,
    function: str,
    months: Months,
    by: User,
) -> BudgetLine:
    """Change a line; its year stays.

    Raises:
        ValidationError: somebody else changed it since `version`, or as for `add_line`.
    """
    row = _locked(line, version)
    before = (row.account, row.fund_id, row.function, row.months)
    row.account, row.fund, row.function = account, fund, function
    _fill(row, months)
    after = (row.account, row.fund_id, row.function, row.months)
    names = ("account", "fund", "function", "months")
    fields = [name for name, old, new in zip(names, before, after, strict=True) if old != new]
    if fields:
        row.version += 1
        row.save(update_fields=[*names, "cents", "version"])
        log_event(row, f"The line was changed: {_told(row)}.", by=by, fields=fields)
    return row


@transaction.atomic
def remove_line(*, line: BudgetLine, version: int | None, by: User) -> None:
    """Remove a line; what it said stays in the log of the program.

    Raises:
        ValidationError: somebody else changed it since `version`.
    """
    row = _locked(line, version)
    said = f"A line of the budget of {row.year} was removed: {_told(row)}."
    log_event(row, said, by=by)
    row.delete()


@transaction.atomic
def copy_year(*, program: Program, year: int, start: Start, percent: int, by: User) -> int:
    """Begin a year's budget from the budget or the books of the year before, and return the count.

    Every amount is raised by `percent`. A line that the year has already stays as it is; funds
    that were closed before the year begins are left out.

    Raises:
        ValidationError: the year before holds nothing that the year doesn't have already.
    """
    first_on, _ = fiscal_span(year, first_month=first_month_of(program))
    funds = {fund.code: fund for fund in Fund.objects.filter(program=program)}
    there = {(line.account, line.fund, line.function) for line in lines_of(program, year)}
    made = []
    for key, months in sorted(_before(program, year, start).items()):
        account, code, function = key
        closed_on = funds[code].closed_on if code else None
        if key in there or (closed_on and closed_on < first_on):
            continue
        row = BudgetLine(
            program=program, year=year, account=account, fund=funds.get(code), function=function
        )
        _put(row, raised(months, percent))
        made.append(row)
    if not made:
        raise ValidationError(
            f"{start.noun.capitalize()} of {year - 1} has nothing that {year} doesn’t have already."
        )
    BudgetLine.objects.bulk_create(made)
    log_event(
        program,
        f"The budget of {year} was begun from {start.noun} of {year - 1}: {len(made)} lines.",
        by=by,
    )
    return len(made)


def _before(program: Program, year: int, start: Start) -> dict[tuple[str, str, str], Months]:
    """Return last year's months by account, fund and function; of the books by account and fund."""
    if start is Start.BUDGET:
        lines = lines_of(program, year - 1)
        return {(line.account, line.fund, line.function): line.months for line in lines}
    last, _ = year_of(program, year - 1)
    happened = by_month(program, last.first_on, last.last_on)
    moved: defaultdict[tuple[str, str, str], list[Sequence[int]]] = defaultdict(list)
    for (fund, account, _function), cents in moved_by_cell(happened, load(), last).items():
        moved[account, fund, ""].append(cents)
    summed = {key: tuple(map(sum, zip(*parts, strict=True))) for key, parts in moved.items()}
    return {key: months for key, months in summed.items() if sum(months) > 0}


def _locked(line: BudgetLine, version: int | None) -> BudgetLine:
    row = BudgetLine.objects.select_for_update().filter(pk=line.pk).first()
    if row is None:
        raise ValidationError("Somebody else removed this line meanwhile.")
    if row.version != version:
        raise ValidationError(CHANGED)
    return row


def _fill(row: BudgetLine, months: Months) -> None:
    """Put the months into a line that holds, or refuse it."""
    _refuse_account(row)
    _refuse_fund(row)
    _refuse_amounts(months)
    _put(row, months)
    row.full_clean()


def _put(row: BudgetLine, months: Months) -> None:
    row.months, row.cents = list(months), sum(months)


def _refuse_account(row: BudgetLine) -> None:
    least, most = YEARS
    if not least <= row.year <= most:
        raise ValidationError(f"A budget is of a year from {least} to {most}, not {row.year}.")
    account = load().get(row.account)
    if account is None:
        raise ValidationError({"account": f"There is no account {row.account}."})
    if account.kind not in (Kind.INCOME, Kind.EXPENSE):
        raise ValidationError(
            {"account": f"{account.code} {account.name} is neither income nor a cost."}
        )
    if row.function and account.kind == Kind.INCOME:
        raise ValidationError(
            {"function": f"{account.code} {account.name} is income; only costs have a function."}
        )


def _refuse_fund(row: BudgetLine) -> None:
    if row.fund is None or row.fund.closed_on is None:
        return
    first_on, _ = fiscal_span(row.year, first_month=first_month_of(row.program))
    if row.fund.closed_on < first_on:
        raise ValidationError(
            {"fund": f"The {row.fund.name} was closed on {row.fund.closed_on}, before the year."}
        )


def _refuse_amounts(months: Months) -> None:
    if len(months) != MONTHS:
        raise ValidationError({"months": f"A year has {MONTHS} months, not {len(months)}."})
    for number, cents in enumerate(months, start=1):
        if cents < 0:
            raise ValidationError(f"{usd(cents)} in month {number} is below zero.")
    if sum(months) >= LIMIT_CENTS:
        raise ValidationError(f"{usd(sum(months))} is more than this ledger can hold.")


def _told(row: BudgetLine) -> str:
    """Return a line as the log says it."""
    parts = [row.account, row.fund.code if row.fund else "", row.function, usd(row.cents)]
    return ", ".join(part for part in parts if part)
