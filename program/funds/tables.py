"""The tables of the funds."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING
from urllib.parse import urlencode

from django.urls import reverse
from django.utils.html import format_html

from program.ledger.chart import Role, load, with_role
from program.ledger.tables import LAST, Sides, entry_link
from shared.tables import Column, DateColumn, MoneyColumn, Table
from shared.templatetags import handback

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.funds.queries import FundRow, MoneyLine
    from program.funds.trying import Row
    from program.ledger.models import Commitment


RESERVE = with_role(load(), Role.RESERVE)


def _cell(look: str) -> dict[str, dict[str, str]]:
    return {"cell": {"class": look}}


def journal_link(text: str, **asked: object) -> SafeString:
    """Return a figure that leads to its transfers."""
    return format_html(
        '<a href="{}?{}">{}</a>', reverse("ledger:entry_list"), urlencode(asked), text
    )


class FundTable(Table):
    """Every fund: what it may pay for, what is there, set aside, and free."""

    caption = "Balances by fund"
    one, many = "fund", "funds"
    empty_title = "No fund is open yet"
    nothing_yet = "Each amount stands in a fund: open one, or bring funds in as sheets."
    name = Column(verbose_name="Fund", footer="Together")
    there = MoneyColumn(verbose_name="In the fund", total=True)
    set_aside = MoneyColumn(verbose_name="Set aside", total=True)
    free = MoneyColumn(verbose_name="Free", total=True, attrs=LAST)

    class Meta:
        orderable = False

    def render_there(self, value: int, record: FundRow) -> SafeString:
        return journal_link(handback.money(value), fund=record.pk)

    def render_set_aside(self, value: int, record: FundRow) -> SafeString | str:
        if not value:
            return handback.money(value)
        return journal_link(handback.money(value), fund=record.pk, account=RESERVE)

    def render_name(self, record: FundRow) -> SafeString:
        ends = ""
        if record.closed_on:
            ends = f" Closed on {handback.day(record.closed_on)}, {record.closed_on.year}."
        elif record.lapses_on:
            ends = f" Lapses on {handback.day(record.lapses_on)}, {record.lapses_on.year}."
        return format_html(
            '<a href="{}">{}</a><span class="sub">{}{}</span>',
            reverse("funds:fund_page", args=[record.pk]),
            record.name,
            record.limits,
            ends,
        )

    def value_name(self, record: FundRow) -> str:
        return record.name


class FundBookTable(Sides, Table):
    """One fund's transfers with the free money after each."""

    caption = "Transfers of this fund"
    looks = "jr"
    one, many = "transfer", "transfers"
    empty_title = "Nothing was booked in this fund"
    nothing_yet = "What an entry moves in it will stand here."
    on = DateColumn(verbose_name="Date", attrs={"td": {"class": "min"}})
    what = Column(verbose_name="What", attrs=_cell("a"))
    debit = Column(verbose_name="Debit", attrs=_cell("j2"))
    credit = Column(verbose_name="Credit", attrs=_cell("j3"))
    change = MoneyColumn(verbose_name="Free money", attrs=_cell("n d"))
    free = MoneyColumn(verbose_name="Free after", attrs=_cell("n col j5"))

    class Meta:
        orderable = False

    def render_what(self, record: MoneyLine) -> SafeString:
        return entry_link(record.entry_id, record.what)

    def value_what(self, record: MoneyLine) -> str:
        return record.what

    def render_change(self, value: int) -> str:
        return handback.money(value) if value else handback.NOTHING


class CommitmentTable(Table):
    """What is set aside in a fund, and for which case."""

    caption = "Set aside by item"
    one, many = "item", "items"
    stays = True
    empty_title = "Nothing is set aside"
    nothing_yet = "An approved plan sets money aside for the items it pays."
    case = Column(verbose_name="Case", footer="Together")
    item = Column(verbose_name="For", empty_values=())
    cents = MoneyColumn(verbose_name="Amount", total=True, attrs=LAST)

    class Meta:
        orderable = False

    def __init__(self, *args: object, titles: dict[int, str], **kwargs: object) -> None:
        self.titles = titles
        super().__init__(*args, **kwargs)

    def render_item(self, record: Commitment) -> SafeString:
        return entry_link(record.entry_id, self.titles.get(record.item_id, record.cause))


class TrialTable(Table):
    """What a rule says to each open repair item."""

    caption = "Open work"
    looks = "li"
    one, many = "item", "items"
    empty_title = "No open work has a price"
    nothing_yet = "A repair item is tried once it has a likely cost."
    case = Column(verbose_name="Case", accessor="work__case")
    item = Column(verbose_name="Work", accessor="work__title", attrs=_cell("a"))
    cents = MoneyColumn(verbose_name="Likely cost", accessor="work__cents", attrs=_cell("n d"))
    answer = Column(
        verbose_name="May it pay?", accessor="why", empty_values=(), attrs={"cell": {"class": "b"}}
    )

    class Meta:
        orderable = False

    def render_case(self, value: str) -> SafeString:
        return handback.tag(value, reverse("desk:case_page", args=[value]))

    def value_case(self, value: str) -> str:
        return value

    @cached_property
    def refuses_alike(self) -> bool:
        """Whether one sentence refuses all: it stands above the rows, and they don't repeat it."""
        rows = self.data if self.whole is None else self.whole
        return len({row.why for row in rows if row.why}) == 1

    def render_answer(self, record: Row) -> SafeString:
        short = record.why is not None and self.refuses_alike
        answer = "No." if short else self.value_answer(record)
        return format_html("{}{}", answer, _beside(record))

    def value_answer(self, record: Row) -> str:
        return "Yes." if record.why is None else f"No. {handback.say(record.why)}"


def _beside(row: Row) -> SafeString | str:
    """Return below an answer what changes, and what is set aside for the item already."""
    notes = []
    if row.changes:
        notes.append("The rule in force says no." if row.pays else "The rule in force says yes.")
    if row.held and not row.pays:
        notes.append(f"${handback.money(row.held)} is set aside for it.")
    return format_html('<span class="sub">{}</span>', " ".join(notes)) if notes else ""
