"""Cases in a list, and what is known of one of them in short tables."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, ClassVar

from django.utils.html import format_html
from django_tables2 import A

from program.cases.next_step import NextStep, next_step
from program.status.queries import facts_of
from shared.say import say
from shared.tables import (
    Column,
    DateColumn,
    MarkColumn,
    MoneyColumn,
    NumberColumn,
    SayColumn,
    Table,
    TagColumn,
)
from shared.templatetags import handback

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from program.cases.models import Case
    from vehicles.inspection.models import Finding

NO_HOUSEHOLD = say("Find a household for this car.")


def cell(look: str) -> dict[str, dict[str, str]]:
    """Return the class of a column's cells: where a phone puts them, `x` leaves them out."""
    return {"cell": {"class": look}}


class CaseTable(Table):
    """Cases with their one next step, which is gathered once for the rows of the page."""

    caption: ClassVar[str] = "Cases"
    one, many = "case", "cases"
    looks: ClassVar[str] = "li"
    empty_title: ClassVar[str] = "No case is here"
    nothing_yet: ClassVar[str] = "A case appears here when a household applies or a car is given."
    number = TagColumn(verbose_name="Case", linkify=("desk:case_page", [A("number")]))
    household = Column(
        verbose_name="Household",
        order_by=("household__name", "number"),
        attrs=cell("a"),
    )
    vehicle = Column(
        verbose_name="Vehicle",
        order_by=("vehicle__make", "vehicle__model", "vehicle__year"),
        attrs=cell("b"),
    )
    stage = Column(verbose_name="Stage", accessor="household__stage", attrs=cell("x"))
    need = NumberColumn(verbose_name="Need", accessor="household__need_weight", attrs=cell("n x"))
    since = DateColumn(verbose_name="Since", accessor="household__stage_since_on", attrs=cell("x"))
    decide_by = DateColumn(
        verbose_name="Decide by", accessor="household__decide_by_on", attrs=cell("d")
    )
    step = SayColumn(verbose_name="What is next", orderable=False, accessor="pk", attrs=cell("c"))

    def render_step(self, record: Case) -> SafeString:
        found = self.steps.get(record.pk)
        if record.closed_on:
            return format_html("{}", "Closed.")
        if found is None:
            return format_html("{}", handback.say(NO_HOUSEHOLD))
        day = handback.day(found.by_on) if found.by_on else ""
        sub = format_html('<span class="sub">by {}</span>', day) if day else ""
        return format_html("{}{}", handback.say(found.staff), sub)

    def value_step(self, record: Case) -> str:
        found = self.steps.get(record.pk)
        return "" if record.closed_on else handback.say(found.staff if found else NO_HOUSEHOLD)

    @property
    def steps(self) -> dict[int, NextStep]:
        """The next step of each case shown, by case; asked for once."""
        if not hasattr(self, "_found"):
            rows = self.page.object_list if hasattr(self, "page") else self.rows
            cases = [row.record for row in rows]
            program = cases[0].program if cases else None
            facts = facts_of(cases, program) if program else {}
            self._found = {key: next_step(one) for key, one in facts.items()}
        return self._found


class FindingTable(Table):
    """What is wrong with the car, worst classes told by their marks."""

    caption: ClassVar[str] = "Open findings"
    empty_title: ClassVar[str] = "No finding is open"
    title = Column(verbose_name="Finding", orderable=False)
    deficiency = Column(verbose_name="Class", orderable=False)
    sentence = Column(verbose_name="Read, limit and source", orderable=False)
    caused_by = Column(verbose_name="Caused by", orderable=False)

    def render_deficiency(self, record: Finding) -> SafeString:
        return handback.mark(record.deficiency)

    def render_sentence(self, value: str, record: Finding) -> SafeString:
        seen = "text seen" if record.text_seen else "from memory, text not seen"
        source = f"{record.source} ({seen})" if record.source else "judged by the technician"
        return format_html('{}<span class="sub">{}</span>', value, source)


class ItemTable(Table):
    """The repair items in the order of the rule, with cash and hours summed."""

    caption: ClassVar[str] = "Repair items in the order of the rule"
    looks: ClassVar[str] = "pairs"
    empty_title: ClassVar[str] = "No repair item is open"
    title = Column(verbose_name="Item", orderable=False, footer="Together")
    tier = MarkColumn(verbose_name="Tier", orderable=False)
    cell = Column(verbose_name="Cell", orderable=False)
    points = NumberColumn(verbose_name="Points", orderable=False)
    index = NumberColumn(verbose_name="Index", orderable=False)
    labor_likely_minutes = NumberColumn(verbose_name="Hours", orderable=False)
    net_cost_cents = MoneyColumn(verbose_name="Cash", orderable=False, total=True)

    def render_title(self, value: str, record: Any) -> SafeString:
        return format_html('{}<span class="sub">{}</span>', value, record.tier_because)

    def render_labor_likely_minutes(self, value: int) -> str:
        return handback.minutes(value)

    def render_index(self, value: float) -> str:
        return f"{value:,.1f}"


class PartTable(Table):
    """The parts that the work lacks, and what is kept for each."""

    caption: ClassVar[str] = "Parts of this case"
    empty_title: ClassVar[str] = "No part is lacking"
    title = Column(verbose_name="Part", orderable=False)
    item = Column(verbose_name="For", orderable=False)
    quantity = NumberColumn(verbose_name="Needed", orderable=False)
    kept = Column(verbose_name="Kept for it", orderable=False)
    state = MarkColumn(verbose_name="State", orderable=False)
    price = MoneyColumn(verbose_name="If bought", orderable=False)


class PaidTable(Table):
    """What the books moved for the case."""

    caption: ClassVar[str] = "Paid"
    empty_title: ClassVar[str] = "Nothing was paid yet"
    what = Column(verbose_name="What", orderable=False, footer="Together")
    fund = Column(verbose_name="Fund", orderable=False)
    on = DateColumn(verbose_name="Day", orderable=False)
    cents = MoneyColumn(verbose_name="Amount", orderable=False, total=True)


class SetAsideTable(PaidTable):
    """What an approved plan keeps for the case and nobody has spent."""

    caption: ClassVar[str] = "Set aside"
    empty_title: ClassVar[str] = "No money is set aside"
