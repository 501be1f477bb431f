"""The program's own limits, each beside the one that is shipped."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from django.urls import reverse
from django.utils.html import format_html

from shared.tables import Column, DateColumn, Table
from shared.templatetags import handback

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from vehicles.inspection.queries import LimitLine


class LimitTable(Table):
    """Local limits."""

    caption: ClassVar[str] = "Local limits"
    one, many = "local limit", "local limits"
    empty_title: ClassVar[str] = "No local limit is set"
    nothing_yet: ClassVar[str] = "The limits of the catalogue count as they are shipped."
    title = Column(verbose_name="Point", orderable=False)
    typed = Column(verbose_name="Limit here", accessor="row__typed", orderable=False)
    shipped = Column(verbose_name="As shipped", orderable=False)
    because = Column(verbose_name="Because", accessor="row__because", orderable=False)
    since_on = DateColumn(verbose_name="From", accessor="row__since_on", orderable=False)
    ended_on = Column(verbose_name="Until", empty_values=(), orderable=False)

    def render_title(self, value: str, record: LimitLine) -> SafeString:
        return format_html('{}<span class="sub">{}</span>', value, record.row.reason)

    def render_because(self, value: str, record: LimitLine) -> SafeString | str:
        if not record.row.source:
            return value
        return format_html('{}<span class="sub">{}</span>', value, record.row.source)

    def render_ended_on(self, record: LimitLine) -> SafeString | str:
        if record.row.ended_on:
            return handback.day(record.row.ended_on)
        words = "End it" if record.fits else "No longer fits the catalogue: end it"
        address = reverse("inspection:end_limit", args=[record.row.pk])
        return format_html('<a href="{}">{}</a>', address, words)
