"""The tables of the books."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.html import format_html

from program.ledger.chart import load
from shared.tables import Column, DateColumn, MoneyColumn, Table

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.ledger.models import Fund, Transfer

LAST = {"cell": {"class": "n col"}}


def account(code: str) -> str:
    """Return `1010 Checking account`."""
    return f"{code} {load()[code].name}"


def capital(name: str) -> str:
    """Return a fund's name as it opens a line; inside a sentence it stands as it is."""
    return name[:1].upper() + name[1:]


def entry_link(pk: int, what: str) -> SafeString:
    return format_html('<a href="{}">{}</a>', reverse("ledger:entry_page", args=[pk]), what)


class Sides:
    """Writes both sides of a transfer with the names of their accounts."""

    def render_debit(self, value: str) -> str:
        return account(value)

    def render_credit(self, value: str) -> str:
        return account(value)


class TransferTable(Sides, Table):
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
            return entry_link(record.entry_id, value)
        return format_html(
            '{}<span class="sub">{}</span>', entry_link(record.entry_id, value), rest
        )

    def value_what(self, value: str) -> str:
        return value

    def render_fund(self, value: Fund) -> str:
        return capital(value.name)


class EntryTable(Sides, Table):
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
