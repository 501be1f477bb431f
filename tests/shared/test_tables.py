"""The base list: looks, order, pages, and an export that no spreadsheet runs."""

from __future__ import annotations

import csv
import datetime as dt
from io import StringIO
from typing import TYPE_CHECKING, Any, ClassVar

import django_filters
import pytest

from shared.accounts.models import User
from shared.tables import (
    Column,
    DateColumn,
    MarkColumn,
    MinutesColumn,
    MoneyColumn,
    Table,
    TagColumn,
    TakenColumn,
    guarded,
    in_total_order,
    rows_a_page,
    table_page,
)
from tests.factories.shared import make_user
from tests.shared.pages import tidy

if TYPE_CHECKING:
    from django.http import HttpResponse
    from django.test import RequestFactory
    from pytest_django import DjangoAssertNumQueries

TEMPLATE = "looks/piece_list.html"


class NeedTable(Table):
    caption: ClassVar[str] = "Open needs"
    one, many = "open need", "open needs"
    part = Column(verbose_name="Part", footer="Together")
    case = TagColumn(verbose_name="Frees")
    tier = MarkColumn(verbose_name="Tier")
    since_on = DateColumn(verbose_name="Open since")
    minutes = MinutesColumn(verbose_name="Hours", total=True)
    price = MoneyColumn(verbose_name="Price", total=True)
    taken = TakenColumn(verbose_name="Set aside")


class UserTable(Table):
    caption: ClassVar[str] = "Users"
    first_name = Column(verbose_name="Name")
    username = Column(verbose_name="Sign-in")


class UserFilter(django_filters.FilterSet):  # type: ignore[misc]  # the library is untyped
    name = django_filters.CharFilter(field_name="first_name", label="Name")

    class Meta:
        model = User
        fields: ClassVar[list[str]] = []


def need(**fields: Any) -> dict[str, Any]:
    return {
        "part": "Radiator",
        "case": "26-043",
        "tier": 1,
        "since_on": dt.date(2026, 11, 13),
        "minutes": 210,
        "price": 124050,
        "taken": 6200,
    } | fields


def ask(rf: RequestFactory, rows: Any, query: str = "", **headers: str) -> HttpResponse:
    request = rf.get(f"/needs/?{query}", headers=headers)
    return table_page(request, NeedTable, rows, TEMPLATE)


def page(rf: RequestFactory, rows: Any, query: str = "") -> str:
    """Return the list alone, drawn as a page would show it."""
    request = rf.get(f"/needs/?{query}")
    response = table_page(request, NeedTable, rows, "shared/rows.html")
    return tidy(response.content.decode())


def sheet_of(response: HttpResponse) -> list[list[str]]:
    return list(csv.reader(StringIO(response.content.decode().removeprefix("\ufeff"))))


def test_each_cell_is_written_as_the_house_writes_it(rf: RequestFactory) -> None:
    shown = page(rf, [need()])
    for written in (
        '<span class="v">3:30</span>',
        '<span class="v">1,240.50</span>',
        '<span class="v">−62.00</span>',
        '<span class="nb">Nov 13</span>',
        '<span class="tag s">26-043</span>',
        '<use href="#t1"/></svg><span class="sr">tier 1,</span>stops the car</span>',
    ):
        assert written in shown


def test_a_list_has_caption_scopes_and_labels_for_the_phone(rf: RequestFactory) -> None:
    shown = page(rf, [need()], "sort=-price")
    assert '<caption class="sr">Open needs</caption>' in shown
    assert 'role="region" aria-label="Open needs" tabindex="0"' in shown
    assert shown.count('scope="col"') == 7
    assert shown.count('scope="row"') == 2
    assert 'data-l="Open since"' in shown
    assert shown.count('aria-sort="descending"') == 1


def test_nothing_is_a_dash(rf: RequestFactory) -> None:
    shown = page(rf, [need(price=None, minutes=None, since_on=None, taken=0)])
    assert shown.count('<span class="v">–</span>') == 4


def test_a_total_holds_all_pages(rf: RequestFactory) -> None:
    shown = page(rf, [need(price=100, minutes=30) for _ in range(30)])
    assert "30.00</span>" in shown
    assert "15:00</span>" in shown
    assert "30 open needs, 1 to 25 shown" in shown


def test_a_single_row_is_counted_as_one(rf: RequestFactory) -> None:
    assert ">1 open need<" in page(rf, [need()])


@pytest.mark.parametrize(
    ("query", "current"), [("", 1), ("page=2", 2), ("page=99", 3), ("page=x", 1), ("page=0", 3)]
)
def test_pages_are_numbered_and_a_wrong_number_finds_one(
    rf: RequestFactory, query: str, current: int
) -> None:
    shown = page(rf, [need() for _ in range(60)], query)
    assert f'<b aria-current="page">{current}</b>' in shown


def test_nobody_gets_more_than_100_rows_a_page(rf: RequestFactory) -> None:
    shown = page(rf, [need() for _ in range(130)], "per_page=5000")
    assert "130 open needs, 1 to 100 shown" in shown


def test_an_empty_list_says_so_and_offers_all(rf: RequestFactory) -> None:
    assert "Show all" not in page(rf, [])
    assert '<a class="btn" href="/needs/">Show all</a>' in page(rf, [], "part=x")


@pytest.mark.parametrize(
    ("typed", "rows"),
    [("", 25), ("-1", 25), ("abc", 25), ("²", 25), ("0", 1), ("7", 7), ("9" * 5000, 100)],
)
def test_a_page_has_a_possible_number_of_rows(typed: str, rows: int) -> None:
    assert rows_a_page(typed) == rows


@pytest.mark.parametrize("number", ["0", "-1", "99", "abc", "9" * 5000])
def test_a_page_that_is_not_there_is_answered(rf: RequestFactory, number: str) -> None:
    rows = [need() for _ in range(30)]
    assert ask(rf, rows, f"page={number}").status_code == 200


def test_text_that_looks_like_a_formula_is_guarded() -> None:
    cells = ["=1+1", "+1", "-1", "@x", "\tx", "\rx", "plain", -3, None]
    expected = ["'=1+1", "'+1", "'-1", "'@x", "'\tx", "'\rx", "plain", -3, None]
    assert guarded(cells) == expected


def test_the_export_holds_plain_values_of_all_pages_in_the_order_shown(rf: RequestFactory) -> None:
    rows = [need(part=f"=Part {n:02}", price=n) for n in range(40)]
    lines = sheet_of(ask(rf, rows, "export=csv&sort=-price&page=2"))
    assert len(lines) == 41
    assert lines[0] == ["Part", "Frees", "Tier", "Open since", "Hours", "Price", "Set aside"]
    assert lines[1] == ["'=Part 39", "26-043", "1", "2026-11-13", "210", "0.39", "-62.00"]


def test_the_export_is_a_file_that_nobody_keeps(rf: RequestFactory) -> None:
    response = ask(rf, [need()], "export=csv")
    assert response.headers["Content-Disposition"] == 'attachment; filename="open-needs.csv"'
    assert response.headers["Cache-Control"] == "no-store"
    assert response.content.startswith(b"\xef\xbb\xbf")


@pytest.mark.django_db
def test_equal_rows_are_sorted_by_their_key() -> None:
    assert in_total_order(User.objects.order_by("first_name")).query.order_by == (
        "first_name",
        "pk",
    )
    assert in_total_order(User.objects.order_by("-pk")).query.order_by == ("-pk",)


@pytest.mark.django_db
def test_sorting_by_a_column_keeps_the_key_as_last(rf: RequestFactory) -> None:
    users = [make_user(first_name="Imke") for _ in range(4)]
    table = UserTable(User.objects.all(), order_by="-first_name")
    assert [row.record for row in table.rows] == users


@pytest.mark.django_db
def test_exported_is_exactly_what_is_filtered(rf: RequestFactory) -> None:
    make_user(first_name="Imke", username="imke")
    make_user(first_name="Jo", username="jo")
    request = rf.get("/users/?export=csv&name=Jo")
    response = table_page(request, UserTable, User.objects.all(), TEMPLATE, filterset=UserFilter)
    assert sheet_of(response) == [["Name", "Sign-in"], ["Jo", "jo"]]


@pytest.mark.django_db
@pytest.mark.parametrize("count", [1, 3])
def test_a_list_asks_the_database_as_often_for_one_row_as_for_three(
    rf: RequestFactory, django_assert_num_queries: DjangoAssertNumQueries, count: int
) -> None:
    for _ in range(count):
        make_user()
    request = rf.get("/users/")
    with django_assert_num_queries(2):
        table_page(request, UserTable, User.objects.all(), "shared/rows.html")
