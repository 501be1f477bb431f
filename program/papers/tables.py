"""Papers, and spends that lack one."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.template.defaultfilters import filesizeformat
from django.urls import reverse
from django.utils.html import format_html

from shared.tables import Column, DateColumn, MoneyColumn, Table

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.ledger.models import Entry
    from program.papers.models import Paper


class WithoutPaperTable(Table):
    """Spends that nobody put a paper behind."""

    caption = "Spends without a paper"
    one, many = "spend without a paper", "spends without a paper"
    empty_title = "Each spend has its paper"
    nothing_yet = "Entries that buy something were looked at: none lacks its bill or slip."
    on = DateColumn(verbose_name="Date", attrs={"td": {"class": "min"}})
    number = Column(verbose_name="No.", accessor="pk")
    what = Column(verbose_name="What")
    by = Column(verbose_name="Booked by")
    spent_cents = MoneyColumn(verbose_name="Amount", attrs={"cell": {"class": "n col"}})

    def render_what(self, record: Entry, value: str) -> SafeString:
        address = reverse("papers:entry_papers", args=[record.pk])
        return format_html('<a href="{}">{}</a>', address, value)

    def value_what(self, value: str) -> str:
        return value


class PaperTable(Table):
    """The papers behind one entry."""

    caption = "Papers of this entry"
    one, many = "paper", "papers"
    empty_title = "No paper yet"
    nothing_yet = "Nobody has put a bill, slip or letter behind this entry."
    name = Column(verbose_name="Paper")
    size = Column(verbose_name="Size", attrs={"cell": {"class": "n"}})
    by = Column(verbose_name="Added by")
    at = DateColumn(verbose_name="On")
    sha256 = Column(verbose_name="Fingerprint", attrs={"td": {"class": "code"}})

    class Meta:
        orderable = False

    def render_name(self, record: Paper, value: str) -> SafeString:
        address = reverse("papers:paper_file", args=[record.pk])
        return format_html('<a href="{}">{}</a>', address, value)

    def render_size(self, value: int) -> str:
        return filesizeformat(value)

    def render_sha256(self, value: str) -> SafeString:
        return format_html('<span title="SHA-256">{}…</span>', value[:12])
