"""The list of cars, and what is found and to be done on one."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any, ClassVar

from django.template.loader import render_to_string
from django.urls import reverse
from django.utils.html import format_html, format_html_join
from django_tables2 import A, TemplateColumn

from shared.tables import Column, DateColumn, MarkColumn, MoneyColumn, NumberColumn, Table
from shared.templatetags import handback
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.repairs.drawn import order_chart
from vehicles.repairs.gathering import cautions_of, costed, drawable, job_of, worst_of
from vehicles.repairs.overlap import shared_access
from vehicles.repairs.prerequisites import gate_of
from vehicles.repairs.states import NeedState

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from shared.charts import Chart
    from vehicles.inspection.models import Finding
    from vehicles.intake.models import Intake
    from vehicles.repairs.models import Need, RepairItem
    from vehicles.repairs.overlap import Shared
    from vehicles.repairs.prerequisites import Costed

Causes = tuple[dict[int, set[int]], dict[int, str]]
NO_CAUSES: Causes = ({}, {})
BY_RANK = {one.rank: one for one in DeficiencyClass}
NONE_SO_FAR = "none so far"


class WorstColumn(Column):
    """The worst open class of a car; `none` only once every point is read."""

    def render(self, value: int, record: Any) -> SafeString:
        if value == 0 and record.left:
            return handback.mark("unread", NONE_SO_FAR)
        return handback.mark(BY_RANK[value].value)

    def value(self, value: int, record: Any) -> str:
        return NONE_SO_FAR if value == 0 and record.left else BY_RANK[value].value


class VehicleTable(Table):
    """The cars that are here now."""

    caption: ClassVar[str] = "Cars"
    one, many = "car here", "cars here"
    empty_title: ClassVar[str] = "No car is here"
    nothing_yet: ClassVar[str] = "A car appears here when its intake is recorded."
    car = Column(
        verbose_name="Car",
        accessor="vehicle",
        order_by=("vehicle__make", "vehicle__model", "vehicle__year"),
        linkify=("intake:vehicle_page", [A("pk")]),
    )
    plate = Column(verbose_name="Plate", accessor="vehicle__plate")
    step = Column(verbose_name="Step", accessor="vehicle__condition__step")
    place = Column(verbose_name="Place", accessor="vehicle__condition__place")
    worst = WorstColumn(verbose_name="Worst open")
    read = NumberColumn(verbose_name="Read")
    left = NumberColumn(verbose_name="Not read")
    arrived_on = DateColumn(verbose_name="Here since")

    def value_car(self, record: Intake) -> str:
        return str(record.vehicle)


class FindingTable(Table):
    """What is wrong with one car."""

    caption: ClassVar[str] = "Open findings"
    empty_title: ClassVar[str] = "No finding is open"
    nothing_yet: ClassVar[str] = "Findings follow from the readings of the sheet."
    title = Column(verbose_name="Finding", orderable=False)
    deficiency = Column(verbose_name="Class", orderable=False)
    sentence = Column(verbose_name="Read, limit and source", orderable=False)
    caused_by = Column(verbose_name="Caused by", orderable=False)

    def render_deficiency(self, record: Finding) -> SafeString:
        lines = [
            "never released with this" if record.never_release else "",
            "leaves the household standing" if record.strands else "",
        ]
        return format_html("{}{}", handback.mark(record.deficiency), subs(lines))

    def render_sentence(self, value: str, record: Finding) -> SafeString:
        return format_html('{}<span class="sub">{}</span>', value, source_of(record))


class ItemTable(Table):
    """The open repair items of one car, most urgent first."""

    caption: ClassVar[str] = "Open repair items"
    empty_title: ClassVar[str] = "No repair item is open"
    nothing_yet: ClassVar[str] = "Add what has to be done to clear the findings."
    title = Column(verbose_name="Item", orderable=False, footer="Together")
    findings = Column(verbose_name="Worst class", orderable=False, empty_values=())
    tier = MarkColumn(verbose_name="Tier", orderable=False)
    cell = Column(verbose_name="Cell", orderable=False)
    points = NumberColumn(verbose_name="Points", orderable=False, total=True)
    index_tenths = NumberColumn(verbose_name="Index", orderable=False)
    net_cost_cents = MoneyColumn(verbose_name="Cash", orderable=False, total=True)
    needs = Column(verbose_name="Parts it lacks", orderable=False, empty_values=())
    done = TemplateColumn(
        template_name="repairs/done.html", verbose_name="To do", orderable=False, empty_values=()
    )

    def __init__(self, rows: list[RepairItem], *, causes: Causes = NO_CAUSES) -> None:
        """Show open items; `causes` as `repairs.queries.after_causes` finds them."""
        super().__init__(rows)
        self.items = rows
        self.first, self.orphans = causes
        self.titles = {row.pk: row.title for row in rows}

    @cached_property
    def gate(self) -> Costed | None:
        """The big item that is solved or funded before anything else of the car is bought."""
        return gate_of(costed(row) for row in self.items)

    @cached_property
    def shared(self) -> list[Shared]:
        """What comes off once for several of the items."""
        return shared_access(job_of(row) for row in self.items)

    @cached_property
    def order(self) -> Chart | None:
        """The picture of what comes first; None while nothing does."""
        gate = self.gate.id if self.gate else None
        drawables = [drawable(row, self.first) for row in self.items]
        if gate is None and not any(one.first or one.causes for one in drawables):
            return None
        return order_chart(drawables, gate, {one.access for one in self.shared})

    def render_title(self, value: str, record: RepairItem) -> SafeString:
        first = {row.first_id: row.first.title for row in record.needs_first.all()}
        first |= {pk: self.titles[pk] for pk in sorted(self.first.get(record.pk, ()))}
        cause = self.orphans.get(record.pk)
        lines = [
            record.tier_because,
            f"After: {', '.join(first.values())}." if first else "",
            f"Its cause, “{cause}”, has no repair item yet." if cause else "",
        ]
        return format_html(
            '<a href="{}">{}</a>{}<div class="sub">{}</div>',
            reverse("repairs:item_page", args=[record.intake_id, record.pk]),
            value,
            subs(lines),
            render_to_string(
                "repairs/cautions.html",
                {"cautions": cautions_of(record.operation), "own": record.caution},
            ),
        )

    def render_findings(self, record: RepairItem) -> SafeString:
        return handback.mark(worst_of(record).value)

    def render_index_tenths(self, record: RepairItem) -> str:
        return f"{record.index:,.1f}"

    def render_needs(self, record: RepairItem) -> SafeString | str:
        rows = [
            (reverse("purchasing:need_page", args=[need.pk]), need_in_words(need))
            for need in record.needs.all()
        ]
        link = '<span class="sub"><a href="{}">{}</a></span>'
        return format_html_join("", link, rows) if rows else handback.NOTHING


def source_of(judged: Finding) -> str:
    """Return where a class comes from, and whether that text was read."""
    if not judged.source:
        return "judged by the technician"
    seen = "text seen" if judged.text_seen else "from memory, text not seen"
    return f"{judged.source} ({seen})"


def need_in_words(need: Need) -> str:
    """Return the part, how many, what it costs, and where it stands when it isn't open."""
    count = f"{need.quantity} × " if need.quantity > 1 else ""
    if need.state != NeedState.OPEN:
        return f"{count}{need.title}: {need.state}"
    price = "can’t be bought" if need.price_cents is None else handback.usd(need.price_cents)
    each = " each" if count and need.price_cents is not None else ""
    return f"{count}{need.title}, {price}{each}"


def subs(lines: list[str]) -> SafeString:
    """Return each line that says something, below the cell's first."""
    return format_html_join("", '<span class="sub">{}</span>', ((line,) for line in lines if line))
