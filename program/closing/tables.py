"""The months of a year."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils.html import format_html

from program.closing.kinds import StepKind
from shared.tables import Column, MomentColumn, Table

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.closing.queries import MonthRow
    from program.closing.steps import MonthState


class MonthTable(Table):
    """The months of a fiscal year, each shut, ready or open."""

    caption = "Months of the year"
    one, many = "month", "months"
    name = Column(verbose_name="Month")
    state = Column(verbose_name="State")
    ticked = Column(verbose_name="List", attrs={"cell": {"class": "nb"}})
    shut_by = Column(verbose_name="Shut by", accessor="shut__shut_by")
    shut_at = MomentColumn(verbose_name="On", accessor="shut__shut_at")

    class Meta:
        orderable = False

    def render_name(self, record: MonthRow, value: str) -> SafeString:
        address = reverse("closing:month_page", args=[record.month.year, record.month.month])
        return format_html('<a href="{}">{}</a>', address, value)

    def render_state(self, value: MonthState) -> str:
        return value.label

    def render_ticked(self, value: int) -> str:
        return f"{value} of {len(StepKind)}"
