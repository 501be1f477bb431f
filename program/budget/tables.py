"""The tables of the budget."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.html import format_html, format_html_join

from program.budget.variance import better
from program.ledger.chart import load
from program.ledger.fiscal import last_of
from program.ledger.tables import LAST, account, capital
from shared.money import dollars
from shared.tables import Column, MoneyColumn, Table
from shared.templatetags import handback

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from django.utils.safestring import SafeString

    from program.budget.fiscal import Year
    from program.budget.queries import Shown
    from program.budget.variance import Cell, Figures, Report, Row
    from program.ledger.models import Fund


def journal(cell: Cell, funds: Mapping[str, Fund], since: dt.date, until: dt.date) -> str:
    """Return the address of the transfers of one fund, account and function within some days."""
    fund, code, function = cell
    asked = {"account": code, "since": since.isoformat(), "until": until.isoformat()}
    if fund:
        asked["fund"] = str(funds[fund].pk)
    if function:
        asked["function"] = function
    return f"{reverse('ledger:entry_list')}?{urlencode(asked)}"


def named(row: Row, funds: Mapping[str, Fund]) -> str:
    """Return what a row is about beyond its account: its fund, and a function it doesn't imply."""
    implied = load()[row.account].function if row.line is None else ""
    function = "" if row.function == implied else row.function
    parts = [capital(funds[row.fund].name) if row.fund else "Any fund", function]
    return ", ".join(part for part in parts if part)


def signed(cents: int) -> str:
    """Return a difference with its sign: `+215.00`, `−215.00`, `0.00`."""
    return f"+{dollars(cents)}" if cents > 0 else dollars(cents)


class SignedColumn(MoneyColumn):
    """A difference; above zero is better for the program."""

    def render(self, value: int) -> str:
        return signed(value)


class BudgetTable(Table):
    """A year's lines of one kind, with what became of them."""

    looks = "pairs"
    one, many = "line", "lines"
    empty_title = "No line"
    nothing_yet = "Neither a budget nor a transfer."
    name = Column(verbose_name="Line", accessor="account", footer="Together")
    budget = MoneyColumn(verbose_name="Budget", total=True)
    to_date = MoneyColumn(verbose_name="To date", total=True, attrs={"cell": {"class": "n x"}})
    actual = MoneyColumn(verbose_name="Actual", total=True)
    difference = SignedColumn(verbose_name="Difference", total=True)
    committed = MoneyColumn(verbose_name="Set aside", total=True)
    left = MoneyColumn(verbose_name="Left", total=True)
    forecast = MoneyColumn(verbose_name="Year end", total=True, attrs=LAST)

    class Meta:
        orderable = False

    def __init__(self, data: Any, *, shown: Shown, caption: str) -> None:
        self.shown = shown
        self.caption = caption  # type: ignore[misc]  # each of the two tables has its own
        super().__init__(data)
        if not any(row.committed for row in data):
            self.columns.hide("committed")
        if shown.is_over:
            self.columns.hide("to_date")

    def render_name(self, record: Row) -> SafeString:
        """Return the account, linked to its line; what fits no line says so."""
        about = named(record, self.shown.funds)
        if record.line is None:
            words = '{}<span class="sub">{}. No budget line.</span>'
            return format_html(words, account(record.account), about)
        link = reverse("budget:line_page", args=[record.line])
        words = format_html('<a href="{}">{}</a>', link, account(record.account))
        return format_html('{}<span class="sub">{}</span>', words, about)

    def render_actual(self, record: Row) -> SafeString | str:
        """Return what happened, linked to its transfers: in the journal, or by month and fund."""
        if not record.parts:
            return dollars(record.actual)
        return format_html('<a href="{}">{}</a>', self._leads(record), dollars(record.actual))

    def _leads(self, record: Row) -> str:
        year: Year = self.shown.year
        if len(record.parts) > 1 and record.line is not None:
            return reverse("budget:line_page", args=[record.line]) + "#months"
        return journal(record.parts[0][0], self.shown.funds, year.first_on, year.last_on)

    def render_committed(self, record: Row) -> SafeString | str:
        if not record.committed:
            return handback.NOTHING
        if not record.fund:
            return format_html(
                '<a href="{}">{}</a>', reverse("funds:fund_list"), dollars(record.committed)
            )
        link = reverse("funds:fund_page", args=[self.shown.funds[record.fund].pk])
        return format_html('<a href="{}">{}</a>', link, dollars(record.committed))


@dataclass(frozen=True, kw_only=True)
class MonthRow:
    """One month of a line: what was meant, what happened, and where its transfers are."""

    month: dt.date
    planned: int
    happened: int
    difference: int
    ahead: int
    links: tuple[tuple[str, str], ...]


def month_rows(row: Row, year: Year, funds: Mapping[str, Fund]) -> list[MonthRow]:
    """Return a line month by month, with a link to the transfers of each fund and function."""
    return [
        MonthRow(
            month=month,
            planned=row.planned[n],
            happened=row.happened[n],
            difference=better(row.planned[n], row.happened[n], income=row.income),
            ahead=row.ahead[n],
            links=tuple(
                (_cell_words(cell, funds), journal(cell, funds, month, last_of(month)))
                for cell, months in row.parts
                if months[n]
            ),
        )
        for n, month in enumerate(year.months)
    ]


def _cell_words(cell: Cell, funds: Mapping[str, Fund]) -> str:
    fund, _, function = cell
    return ", ".join(part for part in (capital(funds[fund].name), function) if part)


class MonthTable(Table):
    """One line month by month."""

    caption = "Budget and actual by month"
    looks = "pairs"
    one, many = "month", "months"
    month = Column(verbose_name="Month", footer="Together")
    planned = MoneyColumn(verbose_name="Budget", total=True)
    happened = MoneyColumn(verbose_name="Actual", total=True)
    difference = SignedColumn(verbose_name="Difference", total=True)
    ahead = MoneyColumn(verbose_name="Still to come", total=True)
    links = Column(verbose_name="Transfers", empty_values=(None, "", ()))

    class Meta:
        orderable = False

    def render_month(self, value: dt.date) -> str:
        return f"{value:%B %Y}"

    def render_links(self, value: tuple[tuple[str, str], ...]) -> SafeString:
        return format_html_join(", ", '<a href="{1}">{0}</a>', value)


@dataclass(frozen=True, kw_only=True)
class SumRow:
    """One sum of the report under its name."""

    name: str
    figures: Figures


def sum_rows(report: Report) -> list[SumRow]:
    """Return income, costs, and what is between them."""
    return [
        SumRow(name="Came in", figures=report.came_in),
        SumRow(name="Went out", figures=report.went_out),
        SumRow(name="Between them", figures=report.net),
    ]


class SumTable(Table):
    """The sums of a year."""

    caption = "Sums of the budget"
    looks = "pairs"
    name = Column(verbose_name="Sum")
    budget = MoneyColumn(verbose_name="Budget", accessor="figures__budget")
    to_date = MoneyColumn(verbose_name="To date", accessor="figures__to_date")
    actual = MoneyColumn(verbose_name="Actual", accessor="figures__actual")
    difference = SignedColumn(verbose_name="Difference", accessor="figures__difference")
    forecast = MoneyColumn(verbose_name="Year end", accessor="figures__forecast")
    outcome = SignedColumn(verbose_name="Better by", accessor="figures__outcome", attrs=LAST)

    class Meta:
        orderable = False
