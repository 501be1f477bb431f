"""The tables of the books."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.html import format_html

from program.ledger.chart import load
from shared.tables import Column, DateColumn, MoneyColumn, Table
from shared.templatetags import handback

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.ledger.models import Commitment, Fund, Transfer
    from program.ledger.queries import FundRow, MoneyLine

LAST = {"cell": {"class": "n col"}}


def account(code: str) -> str:
    """Return `1010 Checking account`."""
    return f"{code} {load()[code].name}"


def capital(name: str) -> str:
    """Return a fund's name as it opens a line; inside a sentence it stands as it is."""
    return name[:1].upper() + name[1:]


def _entry(pk: int, what: str) -> SafeString:
    return format_html('<a href="{}">{}</a>', reverse("ledger:entry_page", args=[pk]), what)


class _Sides:
    """Writes both sides of a transfer with the names of their accounts."""

    def render_debit(self, value: str) -> str:
        return account(value)

    def render_credit(self, value: str) -> str:
        return account(value)


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
            reverse("ledger:fund_page", args=[record.pk]),
            record.name,
            record.limits,
            ends,
        )

    def value_name(self, record: FundRow) -> str:
        return record.name


class FundBookTable(_Sides, Table):
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
        return _entry(record.entry_id, record.what)

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
        return _entry(record.entry_id, self.titles.get(record.item_id, record.cause))


class TransferTable(_Sides, Table):
    """The journal: every transfer."""

    caption = "Journal"
    looks = "jr"
    one, many = "transfer", "transfers"
    nothing_yet = "Nothing has been booked."
    on = DateColumn(
        verbose_name="Date", accessor="entry__on", attrs={"td": {"class": "min"}}, footer="Sum"
    )
    number = Column(verbose_name="No.", accessor="entry_id", attrs={"cell": {"class": "j1"}})
    what = Column(verbose_name="What", accessor="entry__what", attrs={"cell": {"class": "a"}})
    debit = Column(verbose_name="Debit", attrs={"cell": {"class": "j2"}})
    credit = Column(verbose_name="Credit", attrs={"cell": {"class": "j3"}})
    fund = Column(
        verbose_name="Fund", attrs={"cell": {"class": "j4"}}, order_by=("fund__name", "pk")
    )
    cents = MoneyColumn(verbose_name="Amount", total=True, attrs={"cell": {"class": "n col d"}})

    def render_what(self, record: Transfer, value: str) -> SafeString:
        rest = ", ".join(
            part for part in (record.memo, f"case {record.case}" if record.case else "") if part
        )
        if not rest:
            return _entry(record.entry_id, value)
        return format_html('{}<span class="sub">{}</span>', _entry(record.entry_id, value), rest)

    def value_what(self, value: str) -> str:
        return value

    def render_fund(self, value: Fund) -> str:
        return capital(value.name)


class EntryTable(_Sides, Table):
    """The transfers of one entry."""

    caption = "Transfers of this entry"
    one, many = "transfer", "transfers"
    debit = Column(verbose_name="Debit", footer="Sum")
    credit = Column(verbose_name="Credit")
    fund = Column(verbose_name="Fund")
    case = Column(verbose_name="Case")
    memo = Column(verbose_name="Note")
    cents = MoneyColumn(verbose_name="Amount", total=True, attrs=LAST)

    class Meta:
        orderable = False

    def render_fund(self, value: Fund) -> str:
        return capital(value.name)


class TrialTable(Table):
    """The trial balance."""

    caption = "Trial balance by account"
    stays = True
    one, many = "account", "accounts"
    nothing_yet = "No account has a balance."
    account = Column(verbose_name="Account", footer="Together")
    debit = MoneyColumn(verbose_name="Debit", total=True)
    credit = MoneyColumn(verbose_name="Credit", total=True, attrs=LAST)

    class Meta:
        orderable = False

    def render_account(self, value: str) -> str:
        return account(value)

    def render_debit(self, value: int) -> str:
        return handback.money(value or None)

    def render_credit(self, value: int) -> str:
        return handback.money(value or None)


class ActivityTable(Table):
    """The statement of activities: what changed the net assets, by donor restriction."""

    caption = "Activities by account"
    looks = "pairs"
    one, many = "line", "lines"
    name = Column(verbose_name="Line")
    without = MoneyColumn(verbose_name="Without restriction")
    with_ = MoneyColumn(verbose_name="With restriction")
    total = MoneyColumn(verbose_name="Total", attrs=LAST)

    class Meta:
        orderable = False


class FundLineTable(Table):
    """How each fund came from its opening to its closing balance."""

    caption = "Funds over the span"
    looks = "pairs"
    one, many = "fund", "funds"
    fund = Column(verbose_name="Fund", footer="Together")
    opening = MoneyColumn(verbose_name="At the start", total=True)
    income = MoneyColumn(verbose_name="Came in", total=True)
    spending = MoneyColumn(verbose_name="Went out", total=True)
    moved = MoneyColumn(verbose_name="Moved", total=True)
    closing = MoneyColumn(verbose_name="At the end", total=True, attrs=LAST)

    class Meta:
        orderable = False

    def __init__(self, *args: object, names: dict[str, str], **kwargs: object) -> None:
        self.names = names
        super().__init__(*args, **kwargs)

    def render_fund(self, value: str) -> str:
        return capital(self.names[value])
