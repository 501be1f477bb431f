"""The files of the books that were made."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.template.defaultfilters import filesizeformat
from django.urls import reverse
from django.utils.html import format_html

from shared.tables import Column, MomentColumn, Table
from shared.templatetags import handback

if TYPE_CHECKING:
    import datetime as dt

    from django.utils.safestring import SafeString

    from program.closing.models import YearFile


class YearFileTable(Table):
    """Each file: its days, who asked, how large it is."""

    caption = "Files of the books"
    one, many = "file", "files"
    empty_title = "No file was made yet"
    nothing_yet = "Ask for one above; it takes a minute for a large year."
    days = Column(verbose_name="Days", accessor="from_on", orderable=False)
    asked_by = Column(verbose_name="Asked by", orderable=False)
    asked_at = MomentColumn(verbose_name="Asked")
    size = Column(verbose_name="Size", attrs={"cell": {"class": "n"}})

    def render_days(self, record: YearFile) -> SafeString:
        address = reverse("reports:file", args=[record.pk])
        return format_html('<a href="{}">{}</a>', address, days_of(record))

    def value_days(self, record: YearFile) -> str:
        return f"{record.from_on} to {record.until_on}"

    def render_size(self, record: YearFile) -> str:
        return filesizeformat(record.size) if record.made_at else "being made"


def days_of(file: YearFile) -> str:
    """Return the days of a file: `Jan 1, 2026 to Dec 31, 2026`."""
    return f"{_day(file.from_on)} to {_day(file.until_on)}"


def _day(on: dt.date) -> str:
    return f"{handback.day(on)}, {on.year}"
