"""Lists of the estimates room: lines of an estimate, prices side by side, jobs that are done."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, ClassVar

from django.urls import reverse
from django.utils.html import format_html, format_html_join
from django_tables2 import Column, TemplateColumn

from shared.tables import DateColumn, MinutesColumn, MoneyColumn, NumberColumn, Table
from shared.templatetags import handback

if TYPE_CHECKING:
    from collections.abc import Iterable

    from django.utils.safestring import SafeString

    from vehicles.estimates.queries import Price
    from vehicles.estimates.values import CarEstimate, Line, PartPrice
    from vehicles.intake.models import Intake


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row of an estimate: a job, or what the program's rule adds."""

    title: SafeString | str
    minutes: int | None
    low: int
    likely: int
    high: int


class EstimateTable(Table):
    """What a car's open items cost now, with tax and supplies as rows of their own."""

    caption: ClassVar[str] = "Estimate"
    looks: ClassVar[str] = "pairs"
    empty_title: ClassVar[str] = "No repair item is open"
    nothing_yet: ClassVar[str] = "There is nothing to estimate."
    title = Column(verbose_name="What for", orderable=False, footer="Together")
    minutes = MinutesColumn(verbose_name="Labor, likely", orderable=False)
    low = MoneyColumn(verbose_name="At best", orderable=False, total=True)
    likely = MoneyColumn(verbose_name="Likely", orderable=False, total=True)
    high = MoneyColumn(verbose_name="At worst", orderable=False, total=True)


def estimate_rows(estimate: CarEstimate, stay: Intake) -> list[Row]:
    """Return the rows of an estimate: its jobs, then tax and supplies where the rule asks them."""
    rows = [
        Row(
            title=_job(line, stay),
            minutes=line.likely_minutes,
            low=line.low.work,
            likely=line.likely.work,
            high=line.high.work,
        )
        for line in estimate.lines
    ]
    three = (estimate.low, estimate.likely, estimate.high)
    for title, name in (("Sales tax on parts", "tax"), ("Shop supplies", "supplies")):
        low, likely, high = (getattr(one, name) for one in three)
        if high:
            rows.append(Row(title=title, minutes=None, low=low, likely=likely, high=high))
    return rows


def _job(line: Line, stay: Intake) -> SafeString:
    less = handback.minutes(line.saved_minutes)
    money = [
        f"Labor {handback.usd(line.likely.labor)}." if line.likely.labor else "",
        f"{less} less, since it comes off once." if line.saved_minutes else "",
    ]
    return format_html(
        '<a href="{}">{}</a>{}{}{}',
        reverse("repairs:item_page", args=[stay.pk, line.item_id]),
        line.title,
        format_html_join("", '<span class="sub">{}</span>', ((one,) for one in money if one)),
        format_html_join("", "{}", ((_part(part, stay),) for part in line.parts)),
        _outside(line, stay),
    )


def _outside(line: Line, stay: Intake) -> SafeString | str:
    if not line.likely.outside:
        return ""
    return format_html(
        '<span class="sub">Work elsewhere {}, <a href="{}">prices</a></span>',
        handback.usd(line.likely.outside),
        reverse("estimates:item_prices", args=[stay.pk, line.item_id]),
    )


def _part(part: PartPrice, stay: Intake) -> SafeString:
    count = f"{part.quantity} × " if part.quantity > 1 else ""
    if part.is_given:
        return format_html(
            '<span class="sub">{}{}: a gift is kept for it</span>', count, part.title
        )
    url = reverse("estimates:need_prices", args=[stay.pk, part.need_id])
    if not part.can_be_bought:
        text = '<span class="sub">{}<a href="{}">{}</a>: no price, so it counts nothing</span>'
        return format_html(text, count, url, part.title)
    age = f"{part.age}, the oldest price here" if part.is_oldest else part.age
    return format_html(
        '<span class="sub">{}<a href="{}">{}</a> {}: {}, {}</span>',
        count,
        url,
        part.title,
        handback.usd(part.likely_cents),
        part.source or "source not on record",
        format_html("<b>{}</b>", age) if part.is_old else age,
    )


class PriceTable(Table):
    """Prices of one part or of work elsewhere, side by side, the lowest first."""

    caption: ClassVar[str] = "Prices"
    empty_title: ClassVar[str] = "No price is on record"
    nothing_yet: ClassVar[str] = "Write down what a supplier says, with the day."
    where = Column(verbose_name="Where", accessor="quote__supplier", orderable=False)
    cents = MoneyColumn(verbose_name="Price", accessor="quote__cents", orderable=False)
    against = Column(verbose_name="Against the estimate", orderable=False, empty_values=())
    asked = Column(verbose_name="Said", accessor="days", orderable=False)
    lead = Column(verbose_name="Until it is there", accessor="quote__lead_days", orderable=False)
    do = TemplateColumn(
        template_name="estimates/price_do.html",
        verbose_name="To do",
        orderable=False,
        empty_values=(),
    )

    def __init__(self, rows: list[Price], *, stay: Intake, may_change: bool) -> None:
        """Show prices; `may_change` lets one be chosen or withdrawn."""
        super().__init__(rows)
        self.stay, self.may_change = stay.pk, may_change

    def render_where(self, value: str, record: Price) -> SafeString:
        quote = record.quote
        used = "" if quote.condition == "new" else f", {quote.condition}"
        core = (
            f"Deposit on the old part: {handback.usd(quote.core_cents)}."
            if quote.core_cents
            else ""
        )
        lines = [
            f"{quote.get_source_display()}{used}",
            core,
            quote.note,
            str(record.caution or ""),
            f"Withdrawn: {quote.withdrawn_because}" if quote.withdrawn_because else "",
        ]
        return format_html("{}{}", value, _subs(lines))

    def render_against(self, record: Price) -> str:
        if record.quote.chosen_at:
            return "counted"
        if record.against_cents is None or record.quote.withdrawn_because:
            return handback.NOTHING
        if record.dearer_cents:
            return f"{handback.usd(record.dearer_cents)} more"
        return f"{handback.usd(record.cheaper_cents)} less" if record.cheaper_cents else "the same"

    def render_asked(self, record: Price) -> SafeString:
        quote = record.quote
        until = f"Good until {handback.day(quote.good_until_on)}" if quote.good_until_on else ""
        out = f"Ran out on {handback.day(quote.good_until_on)}" if record.has_run_out else until
        age = f"{record.days} days old" if record.days > 1 else ""
        oldest = f"{age}, the oldest price here" if record.is_oldest else age
        return format_html("{}{}", handback.day(quote.quoted_on), _subs([oldest, out]))

    def render_lead(self, value: int) -> str:
        if not value:
            return "at once"
        return f"{value} business day{'' if value == 1 else 's'}"


class JobTable(Table):
    """Jobs that are done: what was likely, and what it came to."""

    caption: ClassVar[str] = "Jobs that are done"
    looks: ClassVar[str] = "pairs"
    one, many = "job", "jobs"
    empty_title: ClassVar[str] = "No job is done yet"
    nothing_yet: ClassVar[str] = "A job stands here once it is marked done."
    title = Column(verbose_name="Job")
    system = Column(verbose_name="System")
    done_on = DateColumn(verbose_name="Done")
    likely_minutes = MinutesColumn(verbose_name="Likely")
    took_minutes = MinutesColumn(verbose_name="Took")
    likely_cents = MoneyColumn(verbose_name="Likely cost")
    cost_cents = MoneyColumn(verbose_name="Cost")
    ratio = NumberColumn(verbose_name="Labor, times likely")

    def render_title(self, value: str, record: Any) -> SafeString | str:
        return format_html('<a href="{}">{}</a>', record.url, value) if record.url else value

    def value_title(self, value: str) -> str:
        return value

    def render_ratio(self, value: float) -> str:
        return f"{value:.2f}"


@dataclass(frozen=True, kw_only=True)
class JobRow:
    """One job of the record; `url` is empty for who may not open its car."""

    title: str
    system: str
    done_on: object
    likely_minutes: int
    took_minutes: int | None
    likely_cents: int | None
    cost_cents: int | None
    ratio: float | None
    url: str


def _subs(lines: Iterable[str]) -> SafeString:
    return format_html_join("", '<span class="sub">{}</span>', ((one,) for one in lines if one))
