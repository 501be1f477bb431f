"""The register of equipment as a list."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from django.utils.html import format_html
from django_tables2 import A

from shared.dates import short_date
from shared.tables import Column, DateColumn, NumberColumn, Table
from shared.templatetags import handback
from vehicles.shop.duty import Standing
from vehicles.shop.queries import piece

if TYPE_CHECKING:
    import datetime as dt

    from django.utils.safestring import SafeString

    from vehicles.shop.models import Equipment, EquipmentInspection

#: The heavier the frame, the graver the standing.
MARKS = {
    Standing.TAGGED_OUT: "dangerous",
    Standing.OVERDUE: "major",
    Standing.SOON: "minor",
    Standing.IN_DATE: "met",
    Standing.RETIRED: "none",
}


class EquipmentTable(Table):
    """One piece a line, with how it stands today."""

    caption: ClassVar[str] = "Equipment"
    one, many = "piece", "pieces"
    empty_title: ClassVar[str] = "No equipment is on the list yet"
    nothing_yet: ClassVar[str] = "Add lifts, jacks, stands and torque wrenches, or import a sheet."
    name = Column(verbose_name="Piece", linkify=("shop:equipment_page", [A("pk")]))
    kind = Column(verbose_name="Kind")
    bay = Column(verbose_name="Stops", empty_values=(None,))
    standing = Column(verbose_name="Today", empty_values=(), orderable=False)
    inspected_on = DateColumn(verbose_name="Inspected")
    due_on = DateColumn(verbose_name="Next due")
    interval_months = NumberColumn(verbose_name="Every, months", attrs={"td": {"class": "n x"}})

    def render_kind(self, record: Equipment) -> str:
        return record.get_kind_display()

    def render_standing(self, record: Equipment) -> SafeString:
        standing = self._standing(record)
        return handback.mark(MARKS[standing], standing.label)

    def value_standing(self, record: Equipment) -> str:
        return self._standing(record).value

    def render_inspected_on(self, value: dt.date) -> str:
        return dated(value)

    def render_due_on(self, value: dt.date) -> str:
        return dated(value)

    def value_inspected_on(self, value: dt.date | None) -> str:
        return value.isoformat() if value else ""

    def value_due_on(self, value: dt.date) -> str:
        return value.isoformat()

    def _standing(self, record: Equipment) -> Standing:
        return piece(record).standing(self.request.user.program.today())


class InspectionTable(Table):
    """The inspections of one piece, newest first."""

    caption: ClassVar[str] = "Inspections"
    empty_title: ClassVar[str] = "No inspection is recorded here yet"
    nothing_yet: ClassVar[str] = "What was known before came with the list of equipment."
    on = DateColumn(verbose_name="Day", orderable=False)
    passed = Column(verbose_name="Result", orderable=False)
    by_name = Column(verbose_name="Inspected by", orderable=False)
    paper = Column(verbose_name="Paper", orderable=False)
    next_due_on = DateColumn(verbose_name="Next due", orderable=False)
    recorded_by = Column(verbose_name="Recorded by", orderable=False)

    def render_on(self, value: dt.date) -> str:
        return dated(value)

    def render_passed(self, value: bool, record: EquipmentInspection) -> SafeString:  # noqa: FBT001  # a column's value
        result = handback.mark("met", "passed") if value else handback.mark("dangerous", "failed")
        return format_html('{}<span class="sub">{}</span>', result, record.note)

    def render_next_due_on(self, value: dt.date) -> str:
        return dated(value)


def dated(day: dt.date) -> str:
    """Return a day with its year, as the register writes it.

    >>> import datetime as dt
    >>> dated(dt.date(2027, 4, 14))
    'Apr 14, 2027'
    """
    return f"{short_date(day)}, {day.year}"
