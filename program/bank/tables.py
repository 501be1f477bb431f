"""The tables of bank statements."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.html import format_html, format_html_join

from program.bank.pairing import Sure
from program.bank.queries import cash_accounts
from program.ledger.tables import LAST, entry_link
from shared.dates import full_date
from shared.tables import Column, DateColumn, MoneyColumn, NumberColumn, Table
from shared.templatetags import handback

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.bank.gathering import LineView
    from program.bank.models import BankStatement
    from program.bank.reconciling import Item
    from program.bank.statement_file import FileLine

#: The mark and word of each kind of proposal.
SURE = {
    Sure.SURE: ("met", "sure"),
    Sure.LIKELY: ("minor", "likely"),
    Sure.SEVERAL: ("decide", "several fit"),
    Sure.SLIP: ("missing", "perhaps a slip"),
}


class StatementTable(Table):
    """Every statement that was read."""

    caption = "Bank statements"
    one, many = "statement", "statements"
    nothing_yet = "No statement has been read."
    until_on = DateColumn(verbose_name="Statement to")
    account = Column(verbose_name="Account")
    opening_cents = MoneyColumn(verbose_name="Opening")
    closing_cents = MoneyColumn(verbose_name="Closing")
    lines_count = NumberColumn(verbose_name="Lines")
    open_count = NumberColumn(verbose_name="Without an entry")
    state = Column(verbose_name="Reconciled", empty_values=(), orderable=False)

    def render_until_on(self, record: BankStatement) -> SafeString:
        return format_html(
            '<a href="{}">{}, {}</a>',
            reverse("bank:statement_page", args=[record.pk]),
            handback.day(record.until_on),
            record.until_on.year,
        )

    def render_account(self, value: str) -> str:
        return f"{value} {cash_accounts().get(value, '')}"

    def render_state(self, record: BankStatement) -> SafeString:
        if not record.reconciled_at:
            return handback.mark("missing", "not yet")
        if record.note:
            return handback.mark("decide", f"differs by {handback.usd(record.differs_cents)}")
        return handback.mark("met", f"{record.reconciled_by}, {handback.day(record.reconciled_at)}")

    def value_state(self, record: BankStatement) -> str:
        return record.reconciled_at.date().isoformat() if record.reconciled_at else ""


class LineTable(Table):
    """The lines of a statement, each with its entry or what is proposed."""

    caption = "Lines of the statement"
    one, many = "line", "lines"
    nothing_yet = "This statement has no new line."
    on = DateColumn(verbose_name="Day")
    words = Column(verbose_name="The bank’s words", accessor="line", order_by="line__words")
    cents = MoneyColumn(verbose_name="Amount")
    found = Column(verbose_name="In the books", accessor="line", orderable=False)
    act = Column(verbose_name="Next", accessor="line", orderable=False)

    def render_words(self, record: LineView) -> SafeString:
        return format_html(
            '<a href="{}">{}</a><span class="sub">{}</span>',
            reverse("bank:line_page", args=[record.pk]),
            str(record.line) or "No words",
            record.line.reference if record.line.words else "",
        )

    def value_words(self, record: LineView) -> str:
        return str(record.line)

    def render_found(self, record: LineView) -> SafeString:
        if record.matches:
            return _entries([match.entry for match in record.matches], record.matches[0].reason, "")
        if record.proposed is None:
            return handback.mark("missing", "no entry")
        mark = format_html("{}. ", handback.mark(*SURE[record.proposed.sure]))
        return _entries(record.entries, handback.say(record.proposed.reason), mark)

    def value_found(self, record: LineView) -> str:
        return ", ".join(str(match.entry_id) for match in record.matches)

    def render_act(self, record: LineView) -> SafeString:
        if record.matches:
            return _button("undo", f"{record.pk}", "Undo", record)
        if record.acceptable:
            ids = ",".join(str(entry.pk) for entry in record.entries)
            return _button("accept", f"{record.pk}:{ids}", "Accept", record)
        return format_html(
            '<a href="{}">Decide<span class="sr"> on {}</span></a>',
            reverse("bank:line_page", args=[record.pk]),
            str(record.line),
        )

    def value_act(self) -> str:
        return ""


class ReadLineTable(LineTable):
    """The lines for somebody who decides nothing on them."""

    class Meta:
        exclude = ("act",)


def _entries(entries: object, reason: str, mark: SafeString | str) -> SafeString:
    links = format_html_join(
        ", ",
        "{}",
        ((entry_link(entry.pk, entry.what),) for entry in entries),  # type: ignore[attr-defined]
    )
    return format_html('{}<span class="sub">{}{}</span>', links, mark, reason)


def _button(form: str, value: str, word: str, record: LineView) -> SafeString:
    return format_html(
        '<button class="btn quiet" type="submit" form="{}" name="line" value="{}">{}'
        '<span class="sr"> {}, {}</span></button>',
        form,
        value,
        word,
        str(record.line),
        handback.usd(record.cents),
    )


class PreviewTable(Table):
    """The lines of a file that wasn't read yet."""

    caption = "What would be read"
    one, many = "line", "lines"
    empty_title = "No line can be read yet"
    nothing_yet = "Say what the columns hold, then look again."
    on = Column(verbose_name="Day")
    words = Column(verbose_name="Words")
    reference = Column(verbose_name="Reference")
    cents = MoneyColumn(verbose_name="Amount", attrs=LAST)
    balance = MoneyColumn(verbose_name="Balance")
    row = NumberColumn(verbose_name="Row")

    class Meta:
        orderable = False

    def render_on(self, record: FileLine) -> str:
        return full_date(record.on)


class ItemTable(Table):
    """What only one side knows."""

    one, many = "movement", "movements"
    on = DateColumn(verbose_name="Day", footer="Sum")
    what = Column(verbose_name="What")
    cents = MoneyColumn(verbose_name="Amount", total=True, attrs=LAST)

    class Meta:
        orderable = False

    def __init__(self, *args: object, caption: str, address: str, on: object = None) -> None:
        super().__init__(*args)
        self.caption = f"{caption}, line by line"  # type: ignore[misc]  # each list names itself
        self.address = address
        self.last_on = on

    def render_on(self, record: Item) -> str:
        return f"{handback.day(record.on)}, {record.on.year}"

    def render_what(self, record: Item) -> SafeString:
        link = format_html(
            '<a href="{}">{}</a>', reverse(self.address, args=[record.id]), record.what or "–"
        )
        if self.last_on is None or not record.stale(self.last_on):  # type: ignore[arg-type]
            return link
        days = (self.last_on - record.on).days  # type: ignore[operator]
        return format_html('{}<span class="sub">{} days old: ask who holds it.</span>', link, days)
