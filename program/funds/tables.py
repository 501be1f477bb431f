"""The tables of the funds."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.html import format_html

from program.ledger.tables import LAST, Sides, entry_link
from shared.tables import Column, DateColumn, MoneyColumn, Table
from shared.templatetags import handback

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.funds.queries import FundRow, MoneyLine
    from program.ledger.models import Commitment


class FundTable(Table):
    """Every fund: what it may pay for, what is there, set aside, and free."""

    caption = "Balances by fund"
    one, many = "fund", "funds"
    nothing_yet = "No fund has been opened."
    name = Column(verbose_name="Fund", footer="Together")
    there = MoneyColumn(verbose_name="In the fund", total=True)
    set_aside = MoneyColumn(verbose_name="Set aside", total=True)
    free = MoneyColumn(verbose_name="Free", total=True, attrs=LAST)

    class Meta:
        orderable = False

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
    nothing_yet = "Nothing was booked in this fund."
    on = DateColumn(verbose_name="Date", attrs={"td": {"class": "min"}})
    what = Column(verbose_name="What", attrs={"cell": {"class": "a"}})
    debit = Column(verbose_name="Debit", attrs={"cell": {"class": "j2"}})
    credit = Column(verbose_name="Credit", attrs={"cell": {"class": "j3"}})
    change = MoneyColumn(verbose_name="Free money", attrs={"cell": {"class": "n d"}})
    free = MoneyColumn(verbose_name="Free after", attrs={"cell": {"class": "n col x"}})

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
