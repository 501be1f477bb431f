"""Lists: their looks, columns, filters, sorting, pages and export.

A room's table is columns and a caption; `table_page` does the rest:

    class NeedTable(Table):
        caption = "Open needs"
        part = Column(verbose_name="Part")
        since_on = DateColumn(verbose_name="Open since")

    return table_page(request, NeedTable, needs, "repairs/need_list.html", filterset=NeedFilter)
"""

from __future__ import annotations

import csv
from decimal import Decimal
from io import StringIO
from typing import TYPE_CHECKING, Any, ClassVar

import django_tables2
from django.db.models import F
from django.http import HttpResponse
from django.utils.html import format_html
from django.utils.text import slugify
from django_tables2 import Column
from django_tables2.data import TableData, TableQuerysetData

from shared import htmx
from shared.forms import dress
from shared.templatetags import handback

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    import django_filters
    from django.http import HttpRequest
    from django.utils.safestring import SafeString

__all__ = [
    "Column",
    "DateColumn",
    "MarkColumn",
    "MinutesColumn",
    "MomentColumn",
    "MoneyColumn",
    "NumberColumn",
    "SayColumn",
    "Table",
    "TagColumn",
    "TakenColumn",
    "table_page",
    "turn_to_page",
]

ROWS_A_PAGE = 25
MOST_ROWS_A_PAGE = 100
FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r")
FIGURE = {"cell": {"class": "n"}}


class TotalOrderData(TableQuerysetData):
    """Rows of a queryset; whatever they are sorted by, the key decides between equals.

    What is empty comes last both ways: databases don't agree where it goes.
    """

    def order_by(self, aliases: Any) -> None:
        super().order_by(aliases)
        rows: Any = in_total_order(self.data)
        self.data: Any = rows.order_by(*[_empty_last(rows, name) for name in rows.query.order_by])


def in_total_order(rows: Any) -> Any:
    """Return the queryset with its key as the last thing it is sorted by."""
    order = rows.query.order_by or (rows.model._meta.ordering if rows.model else ())
    if any(str(name).lstrip("-") in ("pk", "id") for name in order):
        return rows
    return rows.order_by(*order, "pk")


def _empty_last(rows: Any, name: Any) -> Any:
    """Return the same order with what is empty last; a relation is sorted as its model says."""
    if not isinstance(name, str):
        return name
    field = F(name.lstrip("-"))
    if field.resolve_expression(rows.query.clone()).output_field.is_relation:
        return name
    return field.desc(nulls_last=True) if name.startswith("-") else field.asc(nulls_last=True)


class Table(django_tables2.Table):
    """The base of every list.

    `caption` names the list for everybody (`caption_shown` prints it above the table as well);
    `looks` are further classes of the table: `pairs`, `li`, `jr`, `sum`, `fit`. On a phone each
    row becomes a small list, unless `stays` says that its few narrow columns stay a table.
    `empty_title` says that nothing is listed; `nothing_yet` why that may be, while no filter is
    set, and `none_left` the same when one is.
    """

    caption: ClassVar[str] = ""
    caption_shown: ClassVar[bool] = False
    looks: ClassVar[str] = ""
    stays: ClassVar[bool] = False
    one, many = "row", "rows"
    empty_title: ClassVar[str] = "Nothing is listed here"
    nothing_yet: ClassVar[str] = ""
    none_left: ClassVar[str] = "Nothing here matches what was asked for"
    whole: Sequence[Any] | None = None  # what the sums are over, when only the first rows are shown

    def __init__(self, data: Any = None, **kwargs: Any) -> None:
        if TableQuerysetData.validate(data) and not isinstance(data, list | TableData):
            data = TotalOrderData(in_total_order(data))
        # django-tables2 doesn't hand a parent's Meta down: what holds for every list is given here.
        kwargs = {"template_name": "shared/table.html", "default": handback.NOTHING} | kwargs
        super().__init__(data=data, **kwargs)

    @property
    def classes(self) -> str:
        """The classes of the table element."""
        total = " sum" if self.has_footer() and "sum" not in self.looks else ""
        return f"t{'' if self.stays else ' ph'}{total} {self.looks}".strip()

    @property
    def count_in_words(self) -> str:
        """How many rows there are, such as `38 open needs`."""
        count = self.paginator.count if hasattr(self, "paginator") else len(self.rows)
        return f"{count:,} {self.one if count == 1 else self.many}"


class NumberColumn(Column):
    """A count or a measured value, right-aligned; a dash for none.

    `total` writes the sum over the whole list, all pages of it, below the column.
    """

    attrs: ClassVar[dict[str, Any]] = FIGURE

    def __init__(self, *args: Any, total: bool = False, **kwargs: Any) -> None:
        super().__init__(*args, footer=self.sum_of if total else None, **kwargs)

    def sum_of(self, table: Table, bound_column: Any) -> str:
        """Return the sum of the column as the column writes it."""
        rows = table.data if table.whole is None else table.whole
        values = (bound_column.accessor.resolve(row, quiet=True) for row in rows)
        return self.render(sum(value or 0 for value in values))

    def render(self, value: Any) -> str:
        return f"{value:,}" if isinstance(value, int) else str(value)

    def value(self, value: Any) -> Any:
        return value


class MoneyColumn(NumberColumn):
    """Whole cents as dollars with two decimals; exported as a plain number."""

    def render(self, value: int) -> str:
        return handback.money(value)

    def value(self, value: int | None) -> Any:
        return "" if value is None else Decimal(value).scaleb(-2)


class TakenColumn(MoneyColumn):
    """Cents that are taken away: written and exported with a minus, a dash where nothing is."""

    def render(self, value: int) -> str:
        return handback.minus(value)

    def value(self, value: int | None) -> Any:
        return super().value(-value if value else value)


class MinutesColumn(NumberColumn):
    """Whole minutes as hours and minutes, `3:30`; exported as whole minutes."""

    def render(self, value: int) -> str:
        return handback.minutes(value)


class DateColumn(Column):
    """A day or moment, `Dec 1`; exported as ISO 8601."""

    def render(self, value: dt.date) -> SafeString:
        return format_html('<span class="nb">{}</span>', handback.day(value))

    def value(self, value: dt.date | None) -> str:
        return value.isoformat() if value else ""


class MomentColumn(DateColumn):
    """A moment, `Dec 1, 9:38`; exported as ISO 8601 with its zone."""

    def render(self, value: Any) -> SafeString:
        return format_html('<span class="nb">{}</span>', handback.moment(value))


class SayColumn(Column):
    """A sentence of a pure module, in the reader's language."""

    def render(self, value: Any) -> str:
        return handback.say(value)

    def value(self, value: Any) -> str:
        return handback.say(value)


class TagColumn(Column):
    """The tag of a case, a link when `linkify` says where; short, so that it never wraps."""

    attrs: ClassVar[dict[str, Any]] = {"a": {"class": "tag s"}}

    def render(self, value: Any) -> Any:
        return value if self.link else handback.tag(value)

    def value(self, value: Any) -> str:
        return str(value)


class MarkColumn(Column):
    """A class, tier or state: its mark and its word; exported as its code."""

    def render(self, value: Any) -> SafeString:
        return handback.mark(value)

    def value(self, value: Any) -> str:
        return str(value)


def table_page(
    request: HttpRequest,
    table_class: type[Table],
    rows: Any,
    template: str,
    *,
    filterset: type[django_filters.FilterSet] | None = None,
    extra: dict[str, Any] | None = None,
) -> HttpResponse:
    """Return a list as page, as the part `rows` for htmx, or with `?export=csv` as a sheet.

    `rows` is a queryset or a list. Exported is exactly what is filtered, in the order shown, all
    of it. The template gets `table` and `filter` beside `extra`; in it stands

        {% partialdef rows inline %}{% include "shared/rows.html" %}{% endpartialdef %}
    """
    narrowed = filterset(request.GET, queryset=rows, request=request) if filterset else None
    if narrowed is not None:
        dress(narrowed.form)
    table = table_class(rows if narrowed is None else narrowed.qs)
    django_tables2.RequestConfig(request, paginate=False).configure(table)
    if request.GET.get("export") == "csv":
        return sheet(table)
    turn_to_page(table, request)
    context = {"table": table, "filter": narrowed} | (extra or {})
    return htmx.answer(request, template, context, part="rows")


def turn_to_page(table: Table, request: HttpRequest) -> None:
    """Turn a list to the page that the address asks for, the nearest one where it has no such."""
    table.paginate(per_page=rows_a_page(request.GET.get("per_page", "")))
    table.page = table.paginator.get_page(request.GET.get("page"))


def rows_a_page(typed: str) -> int:
    """Return how many rows a page shows: as asked in the address, from 1 to the most."""
    if not typed.isascii() or not typed.isdigit():
        return ROWS_A_PAGE
    # Longer numbers are cut, since Python refuses to read one of thousands of digits.
    return min(max(int(typed[:9]), 1), MOST_ROWS_A_PAGE)


def sheet(table: Table) -> HttpResponse:
    """Return the whole table as CSV that any spreadsheet opens: UTF-8 with its mark, CRLF."""
    text = StringIO()
    csv.writer(text).writerows(guarded(line) for line in table.as_values())
    response = HttpResponse("\ufeff" + text.getvalue(), content_type="text/csv; charset=utf-8")
    name = slugify(table.caption) or "list"
    response["Content-Disposition"] = f'attachment; filename="{name}.csv"'
    response["Cache-Control"] = "no-store"
    return response


def guarded(line: Iterable[Any]) -> list[Any]:
    """Return the cells with an apostrophe before text that would be taken for a formula."""
    return [
        f"'{cell}" if isinstance(cell, str) and cell.startswith(FORMULA_STARTS) else cell
        for cell in line
    ]
