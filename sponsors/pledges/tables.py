"""The coordinator's list of pledges."""

from __future__ import annotations

from typing import Any, ClassVar

from django.urls import reverse
from django.utils.html import format_html
from django_tables2 import A

from shared.tables import Column, DateColumn, NumberColumn, Table
from sponsors.pledges.queries import given, kept_for


class PledgeTable(Table):
    """What is promised, for which need each part is kept, and what became of it."""

    caption: ClassVar[str] = "Pledges"
    one, many = "pledge", "pledges"
    empty_title: ClassVar[str] = "Nothing was pledged yet"
    nothing_yet: ClassVar[str] = (
        "A sponsor pledges on their private page, or you record a pledge on the sponsor’s page."
    )
    title = Column(verbose_name="Part", linkify=("matching:pledge_fits", [A("pk")]))
    sponsor = Column(verbose_name="Sponsor", linkify=("register:sponsor_page", [A("sponsor_id")]))
    quantity = NumberColumn(verbose_name="Units")
    pledged_on = DateColumn(verbose_name="Pledged")
    expires_on = DateColumn(verbose_name="Until")
    kept = Column(verbose_name="Kept for", accessor="pk", orderable=False)
    became = Column(verbose_name="What became of it", accessor="pk", orderable=False)
    end = Column(verbose_name="Change", accessor="pk", orderable=False, exclude_from_export=True)

    def render_kept(self, record: Any) -> str:
        return "; ".join(kept_for(record)) or self.default

    def render_became(self, record: Any) -> str:
        return str(given(record).became)

    def render_end(self, record: Any) -> str:
        if not given(record).may_be_taken_back:
            return ""
        url = reverse("pledges:pledge_end", args=[record.pk])
        return format_html('<a href="{}">End<span class="sr"> {}</span></a>', url, record.title)


class PledgesToRead(PledgeTable):
    """The same for whoever may end none."""

    class Meta:
        exclude = ("end",)
