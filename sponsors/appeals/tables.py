"""The list of appeals."""

from __future__ import annotations

from typing import Any, ClassVar

from django_tables2 import A

from shared.tables import Column, MomentColumn, Table
from sponsors.appeals.queries import became


class AppealTable(Table):
    """What was drafted to whom, and what became of it."""

    caption: ClassVar[str] = "Appeals"
    one, many = "appeal", "appeals"
    empty_title: ClassVar[str] = "No appeal was drafted yet"
    nothing_yet: ClassVar[str] = "They are drafted each week from what a plan asks for first."
    subject = Column(verbose_name="Subject", linkify=("appeals:appeal_page", [A("pk")]))
    sponsor = Column(verbose_name="To", linkify=("register:sponsor_page", [A("sponsor_id")]))
    round = Column(verbose_name="Round")
    drafted_at = MomentColumn(verbose_name="Drafted")
    state = Column(verbose_name="State")

    def render_state(self, record: Any) -> str:
        return became(record)
