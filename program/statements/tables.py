"""A statement as a table whose figures lead to their transfers."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.urls import reverse
from django.utils.html import format_html
from django.utils.http import urlencode
from django_tables2.data import TableData
from django_tables2.rows import BoundRows

from program.ledger.tables import LAST
from shared.tables import Column, Table
from shared.templatetags import handback

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.utils.safestring import SafeString

    from program.ledger.models import Fund
    from program.statements.rows import Figure, Row, Sheet

FIGURE = {"cell": {"class": "n"}}
STAYS = 2  # so many figures fit beside their line on a phone


class FigureColumn(Column):
    """One column of figures, each a link to the transfers behind it."""

    def __init__(self, place: int, **kwargs: Any) -> None:
        super().__init__(empty_values=(), orderable=False, **kwargs)
        self.place = place

    def render(self, record: Row, table: SheetTable) -> SafeString | str:
        figure = record.figures[self.place]
        if figure is None:
            return ""
        written = handback.money(figure.cents if record.look else figure.cents or None)
        where = "" if figure.plain or not figure.cents else table.journal(figure)
        return format_html('<a href="{}">{}</a>', where, written) if where else written


class SheetTable(Table):
    """One statement. `funds` are the program's, by code."""

    looks = "pairs"
    one, many = "line", "lines"
    nothing_yet = "Nothing was booked by the last of these days."
    name = Column(orderable=False)

    class Meta:
        row_attrs = {"class": lambda record: record.look.value or None}

    def __init__(self, sheet: Sheet, funds: dict[str, Fund]) -> None:
        self.base = reverse("ledger:entry_list")
        self.funds = {code: fund.pk for code, fund in funds.items()}
        self.caption = sheet.title  # type: ignore[misc]  # one class draws every statement
        if len(sheet.columns) <= STAYS:
            self.stays, self.looks = True, ""  # type: ignore[misc]  # as above
        lines, self.below = _parted(sheet)
        looks = [*[FIGURE] * (len(sheet.columns) - 1), LAST]
        columns = [
            (f"figure_{n}", FigureColumn(n, verbose_name=head, attrs=look))
            for n, (head, look) in enumerate(zip(sheet.columns, looks, strict=True))
        ]
        super().__init__(list(lines), extra_columns=columns)
        self.columns["name"].column.verbose_name = sheet.first

    @property
    def paginated_rows(self) -> list[Any]:
        """The lines of the page shown, then the rows that are over all lines."""
        below = BoundRows(TableData.from_data(list(self.below)), table=self)
        return [*super().paginated_rows, *below]

    def journal(self, figure: Figure) -> str:
        """Return the address of the journal narrowed to the transfers of a figure."""
        asked = {
            "fund": self.funds.get(figure.fund, "") if figure.fund else "",
            "account": figure.account,
            "function": figure.function,
            "case": figure.case,
            "since": figure.since.isoformat() if figure.since else "",
            "until": figure.until.isoformat() if figure.until else "",
        }
        given = {name: value for name, value in asked.items() if value}
        return f"{self.base}?{urlencode(given)}"


def _parted(sheet: Sheet) -> tuple[Sequence[Row], Sequence[Row]]:
    """Return the lines that pages are made of, and the rows that stand under each page."""
    cut = len(sheet.rows) - sheet.below
    return (sheet.rows[:cut], sheet.rows[cut:]) if cut else (sheet.rows, ())
