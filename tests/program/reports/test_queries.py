"""The books as the year file reads them."""

from __future__ import annotations

from datetime import date

import pytest
import time_machine

from program.models import YearFile
from program.reports.queries import first_day, fiscal_years, fund_cells, journal, spends
from shared.accounts.roles import RoleKind
from shared.policy.actions import set_policies
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.reports.books import KEY, books, put_paper

pytestmark = pytest.mark.django_db


def year_file() -> YearFile:
    return YearFile.objects.create(
        program=make_program(),
        from_on=date(2026, 1, 1),
        until_on=date(2026, 12, 31),
        asked_by=make_user(RoleKind.TREASURER),
        client_key=KEY,
    )


@time_machine.travel("2026-11-30 15:00:00+00:00", tick=False)
def test_without_entries_the_books_begin_today() -> None:
    assert first_day(make_program()) == date(2026, 11, 30)
    assert list(fiscal_years(make_program())) == [2026]


@time_machine.travel("2026-11-30 15:00:00+00:00", tick=False)
def test_each_fiscal_year_since_the_first_entry_is_offered() -> None:
    make_entry(("1010", "4010", 100, make_fund()), on=date(2024, 6, 30))
    assert list(fiscal_years(make_program())) == [2026, 2025, 2024]
    set_policies(
        program=make_program(),
        values={"fiscal_year_month": 7},
        because="The board chose July.",
        by=make_user(RoleKind.TREASURER),
    )
    years = fiscal_years(make_program())
    assert list(years) == [2026, 2025, 2024, 2023]
    assert years[2023] == (date(2023, 7, 1), date(2024, 6, 30))


def test_only_what_was_bought_asks_for_a_paper() -> None:
    _, _, bill = books()
    put_paper(bill)
    found = [(cells["what"], cells["papers"]) for _, cells in spends(year_file())]
    assert found == [("Front pads", 1), ("Rags", 0)]


def test_the_journal_names_accounts_and_who_booked() -> None:
    books()
    [first, *_] = journal(year_file())
    assert first[2:10] == (
        "Sunday collection", "1010", "Checking account", "4010", "Gifts of money from people",
        first[7], "GEN", "general fund",
    )  # fmt: skip


def test_a_fund_is_written_with_its_whole_rule() -> None:
    _, gift, _ = books()
    assert fund_cells(gift)[:6] == ["PRU", "PRU", "Pruitt gift", "yes", "", "brakes; tires"]
    assert fund_cells(gift)[11] == "500.00"


def test_many_rows_take_as_many_queries_as_few(
    django_assert_num_queries: pytest.FixtureRequest,
) -> None:
    general, _, _ = books()
    for number in range(40):
        make_entry(("6050", "1010", 100 + number, general), on=date(2026, 4, 1))
    file = year_file()
    with django_assert_num_queries(1):  # type: ignore[operator]
        assert len(list(journal(file))) == 45
