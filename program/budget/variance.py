"""Budget against what happened: what is better than meant, what is left, and where it leads.

Income and costs stand above zero alike, and a difference above zero is better for the program:
more came in, or less went out. A transfer belongs to the most specific line that fits it, so that
no cent is counted twice; what fits no line stands in a row of its own.

>>> better(105_000, 100_000, income=False), better(105_000, 100_000, income=True)
(5000, -5000)
>>> spread(1000)
(84, 84, 84, 84, 83, 83, 83, 83, 83, 83, 83, 83)
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from itertools import accumulate
from typing import TYPE_CHECKING, Final

from program.ledger.chart import Kind
from program.ledger.fiscal import MONTHS
from shared.money import share_out

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from program.budget.fiscal import Year
    from program.ledger.chart import Account

Cell = tuple[str, str, str]  # fund code, account, function
Months = tuple[int, ...]  # twelve amounts in cents, from the year's first month

ZEROS: Final[Months] = (0,) * MONTHS
PERCENT: Final = 100


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of a budget. An empty fund or function is any."""

    id: int
    account: str
    fund: str = ""
    function: str = ""
    months: Months


@dataclass(frozen=True, kw_only=True)
class Figures:
    """A line's or a sum's cents. `to_date` is the budget of the months that have begun."""

    income: bool
    budget: int = 0
    to_date: int = 0
    actual: int = 0
    committed: int = 0
    forecast: int = 0

    @property
    def left(self) -> int:
        """What the budget still leaves, or what is still to come in."""
        return self.budget - self.committed - self.actual

    @property
    def difference(self) -> int:
        """How much better it is than meant until now."""
        return better(self.to_date, self.actual, income=self.income)

    @property
    def outcome(self) -> int:
        """How much better the year ends than meant, by the forecast."""
        return better(self.budget, self.forecast, income=self.income)


@dataclass(frozen=True, kw_only=True)
class Row(Figures):
    """One line of the report. `line` is None where something happened that no line foresaw.

    `ahead` is what the forecast adds in each month; `parts` are the months of each fund, account
    and function whose transfers belong to the row.
    """

    account: str
    fund: str = ""
    function: str = ""
    line: int | None = None
    planned: Months = ZEROS
    happened: Months = ZEROS
    ahead: Months = ZEROS
    parts: tuple[tuple[Cell, Months], ...] = ()


@dataclass(frozen=True, kw_only=True)
class Report:
    """A year's lines and sums."""

    income: tuple[Row, ...]
    expense: tuple[Row, ...]

    @property
    def came_in(self) -> Figures:
        """The sum of the income."""
        return _summed(self.income, income=True)

    @property
    def went_out(self) -> Figures:
        """The sum of the costs."""
        return _summed(self.expense, income=False)

    @property
    def net(self) -> Figures:
        """What came in less what went out."""
        plus, minus = self.came_in, self.went_out
        return Figures(
            income=True,
            budget=plus.budget - minus.budget,
            to_date=plus.to_date - minus.to_date,
            actual=plus.actual - minus.actual,
            forecast=plus.forecast - minus.forecast,
        )


def better(meant: int, became: int, *, income: bool) -> int:
    """Return by how much what became is better than what was meant; below zero it is worse.

    Source: OpenStax, Principles of Accounting Vol. 2, sec. 7.5: a variance is favorable where
    income is over, or a cost under, the budget (text-seen).
    """
    return became - meant if income else meant - became


def spread(cents: int, weights: Sequence[int] = ()) -> Months:
    """Return an annual amount over twelve months, in whole cents; their sum is the amount.

    By the weights, such as last year's months, or evenly. Odd cents go where most was cut off,
    the earlier month first.
    """
    return tuple(share_out(cents, weights or ZEROS))


def raised(line: Months, percent: int) -> Months:
    """Return a line's months with their sum raised (or lowered) by a percentage, to the cent.

    Half a cent is rounded up. Months below zero count as nothing.
    """
    weights = tuple(max(month, 0) for month in line)
    return spread((max(sum(line), 0) * (PERCENT + percent) * 2 + PERCENT) // (2 * PERCENT), weights)


def owner(cell: Cell, lines: Mapping[Cell, Line]) -> Line | None:
    """Return the most specific line that fits a fund, account and function, or None.

    One of this fund and function comes first, then of the fund, of the function, of the account.
    """
    fund, account, function = cell
    keys = ((fund, account, function), (fund, account, ""), ("", account, function))
    return next((lines[key] for key in (*keys, ("", account, "")) if key in lines), None)


def rows_of(
    lines: Iterable[Line],
    happened: Mapping[tuple[dt.date, str, str, str], int],
    committed: Mapping[Cell, int],
    chart: Mapping[str, Account],
    year: Year,
) -> list[Row]:
    """Return every line of the year with what belongs to it, then what belongs to none.

    `happened` holds by month, fund, account and function what moved, debit positive; `committed`
    what is set aside, above zero. Accounts other than income and expense are passed over.
    """
    by_key = {(line.fund, line.account, line.function): line for line in lines}
    moved = moved_by_cell(happened, chart, year)
    kept = {line.id: line for line in by_key.values()}
    cells: defaultdict[int, list[Cell]] = defaultdict(list)
    loose = []
    for cell in sorted({*moved, *(cell for cell, cents in committed.items() if cents)}):
        line = owner(cell, by_key)
        if line:
            cells[line.id].append(cell)
        else:
            loose.append(cell)
    own = [_row(kept[pk], cells[pk], moved, committed, chart, year) for pk in kept]
    own += [_row(_no_line(cell), [cell], moved, committed, chart, year) for cell in loose]
    return sorted(own, key=lambda row: (row.account, row.line is None, row.fund, row.function))


def report(rows: Iterable[Row]) -> Report:
    """Return the rows as a report, income and costs apart."""
    every = list(rows)
    return Report(
        income=tuple(row for row in every if row.income),
        expense=tuple(row for row in every if not row.income),
    )


def of_fund(rows: Iterable[Row], fund: str) -> list[Row]:
    """Return the rows of one fund; those of no fund in particular are left out."""
    return [row for row in rows if row.fund == fund]


def of_function(rows: Iterable[Row], function: str, chart: Mapping[str, Account]) -> list[Row]:
    """Return the rows of one function; a line that names none has that of its account."""
    return [row for row in rows if (row.function or chart[row.account].function) == function]


def cumulative(rows: Sequence[Row]) -> tuple[Months, Months, Months]:
    """Return budget, actual and what the forecast adds, each added up month by month."""
    planned, happened, ahead = (
        [sum(column) for column in zip(*parts, strict=True)] or list(ZEROS)
        for parts in (
            [row.planned for row in rows],
            [row.happened for row in rows],
            [row.ahead for row in rows],
        )
    )
    return tuple(accumulate(planned)), tuple(accumulate(happened)), tuple(accumulate(ahead))


def moved_by_cell(
    happened: Mapping[tuple[dt.date, str, str, str], int], chart: Mapping[str, Account], year: Year
) -> dict[Cell, list[int]]:
    """Return what moved in each month by cell, above zero where it usually stands."""
    place = {month: number for number, month in enumerate(year.months)}
    moved: defaultdict[Cell, list[int]] = defaultdict(lambda: list(ZEROS))
    for (month, *cell), cents in happened.items():
        fund, account, function = cell
        kind = chart[account].kind
        if cents and kind in (Kind.INCOME, Kind.EXPENSE):
            moved[fund, account, function][place[month]] += (
                cents if kind == Kind.EXPENSE else -cents
            )
    return dict(moved)


def _no_line(cell: Cell) -> Line:
    fund, account, function = cell
    return Line(id=0, account=account, fund=fund, function=function, months=ZEROS)


def _row(
    line: Line,
    cells: Sequence[Cell],
    moved: Mapping[Cell, Sequence[int]],
    committed: Mapping[Cell, int],
    chart: Mapping[str, Account],
    year: Year,
) -> Row:
    columns = zip(ZEROS, *(moved.get(cell, ZEROS) for cell in cells), strict=True)
    happened = tuple(sum(column) for column in columns)
    aside = sum(committed.get(cell, 0) for cell in cells)
    ahead = _ahead(line.months, happened, aside, year)
    return Row(
        income=chart[line.account].kind == Kind.INCOME,
        budget=sum(line.months),
        to_date=sum(line.months[: year.begun]),
        actual=sum(happened),
        committed=aside,
        forecast=sum(happened) + sum(ahead),
        account=line.account,
        fund=line.fund,
        function=line.function,
        line=line.id or None,
        planned=line.months,
        happened=happened,
        ahead=ahead,
        parts=tuple((cell, tuple(moved[cell])) for cell in cells if cell in moved),
    )


def _ahead(planned: Months, happened: Months, committed: int, year: Year) -> Months:
    """Return what the forecast adds in each month that is not over.

    That is the budget of these months as far as it isn't used yet, or what is set aside where
    that is more.
    """
    rest = [max(planned[n] - happened[n], 0) for n in range(year.over, MONTHS)]
    return (0,) * year.over + tuple(share_out(max(committed, sum(rest)), rest))


def _summed(rows: Iterable[Figures], *, income: bool) -> Figures:
    sums: Counter[str] = Counter()
    names = ("budget", "to_date", "actual", "committed", "forecast")
    for row in rows:
        for name in names:
            sums[name] += getattr(row, name)
    return Figures(income=income, **{name: sums[name] for name in names})
