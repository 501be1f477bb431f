"""The tables of the books."""

from __future__ import annotations

import csv
from typing import TYPE_CHECKING, Any, ClassVar

from django.http import StreamingHttpResponse
from django.urls import reverse
from django.utils.html import format_html
from django_tables2 import A

from program.ledger.chart import load
from shared.tables import (
    Column,
    DateColumn,
    MoneyColumn,
    Table,
    TotalOrderData,
    guarded,
    in_total_order,
)

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.db.models import QuerySet
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


class Counted(TotalOrderData):
    """Rows of a queryset whose number is known beforehand."""

    count = 0

    def __len__(self) -> int:
        return self.count


class SumColumn(MoneyColumn):
    """Amounts whose sum is known beforehand, since nobody adds up a million rows for a footer."""

    def sum_of(self, table: Table, bound_column: Any) -> str:
        totals = getattr(table, "totals", None)
        return super().sum_of(table, bound_column) if totals is None else self.render(totals[1])


class TransferTable(Sides, Table):
    """The journal: every transfer. `totals` are how many there are, and their sum."""

    totals: ClassVar[tuple[int, int] | None] = None

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
    cents = SumColumn(verbose_name="Amount", total=True, attrs={"cell": {"class": "n col d"}})

    def __init__(self, data: Any = None, **kwargs: Any) -> None:
        if self.totals is not None:
            data = Counted(in_total_order(data))
            data.count = self.totals[0]
        super().__init__(data, **kwargs)

    def render_what(self, record: Transfer, value: str) -> SafeString:
        rest = ", ".join(part for part in _about(record) if part)
        if not rest:
            return entry_link(record.entry_id, value)
        return format_html(
            '{}<span class="sub">{}</span>', entry_link(record.entry_id, value), rest
        )

    def value_what(self, value: str) -> str:
        return value

    def render_fund(self, value: Fund) -> str:
        return capital(value.name)


def _about(record: Transfer) -> list[str]:
    """Return what else a transfer says of itself, empty where it says nothing."""
    return [
        record.memo,
        f"case {record.case}" if record.case else "",
        f"for {record.function}" if record.function else "",
        "it had happened" if record.entry.fact else "",
    ]


class Streamed(TotalOrderData):
    """Rows of a queryset that are read a few thousand at a time and not kept."""

    def __iter__(self) -> Iterator[Any]:
        rows: Iterator[Any] = self.data.iterator(chunk_size=2_000)
        return rows


class Echo:
    """What a CSV writer writes to, handing each line back."""

    def write(self, line: str) -> str:
        return line


def journal_sheet(rows: QuerySet[Transfer], order: list[str]) -> StreamingHttpResponse:
    """Return the whole journal as CSV, as `shared.tables.sheet` writes it, read as it is sent."""
    table = TransferTable(Streamed(in_total_order(rows)))
    if order:
        table.order_by = order
    writer = csv.writer(Echo())
    lines = (writer.writerow(guarded(line)) for line in table.as_values())
    response = StreamingHttpResponse(_marked(lines), content_type="text/csv; charset=utf-8")
    response["Content-Disposition"] = 'attachment; filename="journal.csv"'
    response["Cache-Control"] = "no-store"
    return response


def _marked(lines: Iterator[str]) -> Iterator[str]:
    yield "\ufeff"
    yield from lines


class EntryTable(Sides, Table):
    """The transfers of one entry."""

    caption = "Transfers of this entry"
    one, many = "transfer", "transfers"
    debit = Column(verbose_name="Debit", footer="Sum")
    credit = Column(verbose_name="Credit")
    fund = Column(verbose_name="Fund")
    case = Column(verbose_name="Case", linkify=("desk:case_page", [A("case__number")]))
    item = Column(verbose_name="Repair")
    function = Column(verbose_name="Function")
    memo = Column(verbose_name="Note")
    cents = MoneyColumn(verbose_name="Amount", total=True, attrs=LAST)

    class Meta:
        orderable = False

    def render_fund(self, value: Fund) -> str:
        return capital(value.name)

    def render_item(self, record: Transfer, value: object) -> SafeString | str:
        item = record.item
        if item is None:
            return ""
        address = reverse("repairs:item_page", args=[item.intake_id, item.pk])
        return format_html('<a href="{}">{}</a>', address, value)


class AccountTable(Table):
    """The chart of accounts, each with its balance now on its usual side."""

    caption = "Chart of accounts"
    looks = "li"
    one, many = "account", "accounts"
    code = Column(verbose_name="Code", attrs={"td": {"class": "min"}})
    name = Column(verbose_name="Account")
    kind = Column(verbose_name="Kind")
    side = Column(verbose_name="Usual side")
    function = Column(verbose_name="Function")
    cents = MoneyColumn(verbose_name="Balance now", attrs=LAST)

    class Meta:
        orderable = False

    def render_name(self, record: dict[str, str], value: str) -> SafeString:
        address = reverse("ledger:entry_list", query={"account": record["code"]})
        return format_html('<a href="{}">{}</a>', address, value)

    def value_name(self, value: str) -> str:
        return value


class ProposalTable(Table):
    """What waits for a second person."""

    caption = "Waiting for a second person"
    one, many = "spend", "spends"
    on = DateColumn(verbose_name="Date", attrs={"td": {"class": "min"}})
    what = Column(verbose_name="What", linkify=("ledger:proposal_page", [A("pk")]))
    by = Column(verbose_name="Asked by")
    why = Column(verbose_name="Why two")
    cents = MoneyColumn(verbose_name="Amount", attrs=LAST)

    class Meta:
        orderable = False


class LineTable(EntryTable):
    """The lines of a proposal, as its entry would have them."""

    caption = "Lines of the entry"
    one, many = "line", "lines"
