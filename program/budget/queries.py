"""The budget of a year, read from its lines, the books and what is set aside."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from program.budget import variance
from program.budget.fiscal import Year, year_as_of, year_in_words
from program.budget.models import BudgetLine
from program.ledger.chart import Kind, load
from program.ledger.fiscal import fiscal_year
from program.ledger.models import Fund
from program.ledger.queries import by_month, standing_commitments, turned
from shared.policy.queries import policies
from vehicles.repairs.models import RepairItem

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shared.accounts.models import Program

PARTS_BOUGHT: Final = "6010"
DONE_ELSEWHERE: Final = "6030"
NO_FUND: Final = "-"  # asks for the lines that name no fund


@dataclass(frozen=True, kw_only=True)
class Shown:
    """A year's budget against its books. `change` is what its activities add to net assets.

    `narrowed_to` says of which rows the report is, empty for all; `left_out` counts the others, so
    that a sum is never taken for the whole.
    """

    year: Year
    words: str
    report: variance.Report
    funds: Mapping[str, Fund]
    change: int
    net: int
    narrowed_to: str
    left_out: int

    @property
    def ties(self) -> bool:
        """Whether all rows together are the activities of the year, to the cent."""
        return self.change == self.net

    @property
    def is_over(self) -> bool:
        """Whether the year has ended, so that nothing is forecast."""
        return self.year.over == len(self.year.months)


def first_month_of(program: Program) -> int:
    """Return the month in which the program's fiscal year begins; one query."""
    return policies(program, program.today())["fiscal_year_month"]


def this_year(program: Program) -> int:
    """Return the fiscal year of today; one query."""
    return fiscal_year(program.today(), first_month=first_month_of(program))


def year_of(program: Program, year: int) -> tuple[Year, str]:
    """Return a fiscal year as of today, and its name; one query."""
    first_month = first_month_of(program)
    shown = year_as_of(year, first_month=first_month, today=program.today())
    return shown, year_in_words(year, first_month=first_month)


def years_of(program: Program) -> list[int]:
    """Return the years that have a budget, oldest first; one query."""
    rows = BudgetLine.objects.filter(program=program).order_by("year")
    return list(rows.values_list("year", flat=True).distinct())


def pure_line(line: BudgetLine) -> variance.Line:
    """Return a line as the pure module reads it; its fund has to be there."""
    return variance.Line(
        id=line.pk,
        account=line.account,
        fund=line.fund.code if line.fund else "",
        function=line.function,
        months=tuple(line.months),
    )


def lines_of(program: Program, year: int) -> list[variance.Line]:
    """Return the lines of a year; one query."""
    rows = BudgetLine.objects.filter(program=program, year=year).select_related("fund")
    return [pure_line(row) for row in rows]


def set_aside(program: Program) -> dict[variance.Cell, int]:
    """Return what is set aside for repairs, by fund, account and function; two queries.

    Work done elsewhere goes to its own account, everything else is parts bought.
    """
    rows = standing_commitments(program).order_by()
    standing = list(rows.values_list("item_id", "fund__code", "cents"))
    ids = {item for item, _, _ in standing}
    elsewhere = set(
        RepairItem.objects.filter(pk__in=ids, sublet_cents__gt=0).values_list("pk", flat=True)
    )
    sums: Counter[variance.Cell] = Counter()
    for item, fund, cents in standing:
        account = DONE_ELSEWHERE if item in elsewhere else PARTS_BOUGHT
        sums[fund, account, load()[account].function] += cents
    return dict(sums)


def rows_of(program: Program, year: Year) -> list[variance.Row]:
    """Return every row of a year's report; four queries. What is set aside is of this year."""
    return variance.rows_of(
        lines_of(program, year.year),
        by_month(program, year.first_on, year.last_on),
        set_aside(program) if year.over < year.begun else {},
        load(),
        year,
    )


def shown(program: Program, year: int, *, fund: str = "", function: str = "") -> Shown:
    """Return a year's report, narrowed to a fund's code (or `NO_FUND`) and a function."""
    about, words = year_of(program, year)
    every = rows_of(program, about)
    rows = every
    if fund:
        rows = variance.of_fund(rows, "" if fund == NO_FUND else fund)
    if function:
        rows = variance.of_function(rows, function, load())
    flows = (Kind.INCOME, Kind.EXPENSE)
    added = turned(program, about.first_on, about.last_on).accounts()
    funds = {fund.code: fund for fund in Fund.objects.filter(program=program)}
    return Shown(
        year=about,
        words=words,
        report=variance.report(rows),
        funds=funds,
        change=-sum(cents for code, cents in added.items() if load()[code].kind in flows),
        net=variance.report(every).net.actual,
        narrowed_to=", ".join(part for part in (_fund_words(fund, funds), function) if part),
        left_out=len(every) - len(rows),
    )


def _fund_words(code: str, funds: Mapping[str, Fund]) -> str:
    if code == NO_FUND:
        return "No fund named"
    name = funds[code].name if code else ""
    return name[:1].upper() + name[1:]


def choices_of_years(program: Program, now: int) -> list[tuple[int, str]]:
    """Return the years a report can be asked for, newest first; two queries.

    They are this one, those beside it, and those that have a budget.
    """
    first_month = first_month_of(program)
    years = {now - 1, now, now + 1, *years_of(program)}
    return [(year, year_in_words(year, first_month=first_month)) for year in sorted(years)[::-1]]
