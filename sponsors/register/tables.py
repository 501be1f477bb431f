"""The list of sponsors."""

from __future__ import annotations

from typing import Any, ClassVar

from django_tables2 import A

from shared.tables import Column, DateColumn, NumberColumn, Table
from sponsors.register.queries import in_words


class SponsorTable(Table):
    """Who gives what, and when they were asked last."""

    caption: ClassVar[str] = "Sponsors"
    one, many = "sponsor", "sponsors"
    empty_title: ClassVar[str] = "No sponsor is on record yet"
    nothing_yet: ClassVar[str] = "Add one, or import the sheet of sponsors."
    name = Column(verbose_name="Sponsor", linkify=("register:sponsor_page", [A("pk")]))
    gives = Column(verbose_name="Gives", accessor="gives", orderable=False)
    open_pledges = NumberColumn(verbose_name="Open pledges")
    last_asked_on = DateColumn(verbose_name="Last asked")
    mail = Column(
        verbose_name="Mail", accessor="address", order_by="address__opted_out_at", empty_values=()
    )

    def render_gives(self, value: Any) -> str:
        return in_words(value.all()) or self.default

    def value_gives(self, value: Any) -> str:
        return in_words(value.all())

    def render_mail(self, value: Any) -> str:
        if value.opted_out_at:
            return "stopped"
        return "allowed" if value.email else "none: call"
