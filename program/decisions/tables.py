"""The supplements that wait, and the lines of an estimate."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from django.urls import reverse
from django.utils.html import format_html

from program.decisions.queries import decide_by
from shared.tables import Column, DateColumn, MomentColumn, MoneyColumn, Table
from shared.templatetags import handback

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.decisions.models import Supplement


class SupplementTable(Table):
    """Supplements that wait for an answer, oldest first."""

    caption: ClassVar[str] = "Supplements that wait"
    one, many = "supplement waits", "supplements wait"
    empty_title: ClassVar[str] = "No supplement waits"
    nothing_yet: ClassVar[str] = "One appears here when a technician asks for it beside a car."
    case = Column(
        verbose_name="Case",
        accessor="authorization__case__number",
        attrs={"td": {"class": "a"}},
    )
    car = Column(verbose_name="Car", accessor="authorization__case__vehicle", orderable=False)
    reason = Column(verbose_name="Why")
    cents = MoneyColumn(verbose_name="More")
    missing = Column(verbose_name="Waits for", empty_values=(), orderable=False)
    asked_at = MomentColumn(verbose_name="Asked")
    by = DateColumn(verbose_name="Answer by", accessor="asked_at")

    def render_case(self, value: str, record: Supplement) -> SafeString:
        url = reverse("decisions:supplement_page", args=[value, record.pk])
        return handback.tag(value, url)

    def value_case(self, value: str) -> str:
        return value

    def render_missing(self, record: Supplement) -> str:
        return waits_for(record)

    def value_missing(self, record: Supplement) -> str:
        return waits_for(record)

    def render_by(self, record: Supplement) -> SafeString:
        return format_html('<span class="nb">{}</span>', handback.day(decide_by(record)))

    def value_by(self, record: Supplement) -> str:
        return decide_by(record).isoformat()


def waits_for(supplement: Supplement) -> str:
    """Return whose answer is missing."""
    missing = (
        ("the owner", supplement.owner_at is None),
        ("the budget", supplement.budget_at is None),
    )
    return " and ".join(name for name, waits in missing if waits)


class LineTable(Table):
    """What each item adds to an estimate."""

    caption: ClassVar[str] = "Lines of the estimate"
    looks: ClassVar[str] = "pairs"
    one, many = "line", "lines"
    item = Column(verbose_name="Work", accessor="item__title", footer="Together")
    low_cents = MoneyColumn(verbose_name="Low")
    likely_cents = MoneyColumn(verbose_name="Likely")
    high_cents = MoneyColumn(verbose_name="High")
    p80_cents = MoneyColumn(verbose_name="Share of 80 in 100", total=True)

    class Meta:
        orderable = False
