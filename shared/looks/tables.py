"""The sample list."""

from __future__ import annotations

from typing import ClassVar

from shared.tables import (
    Column,
    DateColumn,
    MarkColumn,
    MinutesColumn,
    MoneyColumn,
    Table,
    TagColumn,
)


class SampleTable(Table):
    """Invented needs, with every kind of column."""

    caption: ClassVar[str] = "Open needs"
    one, many = "open need", "open needs"
    part = Column(verbose_name="Part", footer="Together")
    tag = TagColumn(verbose_name="Frees")
    tier = MarkColumn(verbose_name="Tier")
    since_on = DateColumn(verbose_name="Open since")
    labor_minutes = MinutesColumn(verbose_name="Hours", total=True)
    price_cents = MoneyColumn(verbose_name="Price", total=True)
