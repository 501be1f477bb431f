"""The fault models of a program as a list."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from django.utils.html import format_html
from django_tables2 import A

from shared.tables import Column, DateColumn, NumberColumn, Table

if TYPE_CHECKING:
    from django.utils.safestring import SafeString

    from vehicles.diagnosis.shelf import ModelLine


class ModelTable(Table):
    """One fault model a line, in force today."""

    caption: ClassVar[str] = "Fault models"
    looks: ClassVar[str] = "pairs"
    one, many = "fault model", "fault models"
    title = Column(verbose_name="Complaint", linkify=("diagnosis:model_page", [A("code")]))
    system = Column(verbose_name="System", attrs={"td": {"class": "x"}})
    causes = Column(verbose_name="Causes at once")
    faults = NumberColumn(verbose_name="Faults")
    checks = NumberColumn(verbose_name="Checks")
    used = NumberColumn(verbose_name="Diagnoses")
    version = Column(verbose_name="Version")
    whose = Column(verbose_name="Whose")
    changed_at = DateColumn(verbose_name="Last change", attrs={"td": {"class": "x"}})

    def render_whose(self, value: str, record: ModelLine) -> SafeString | str:
        if record.is_readable:
            return value
        said = "can’t be read any more"
        return format_html('{}<span class="sub">{}</span>', value, said)
