"""One entry, the statements, and who may open the books."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from program.models import Entry, ShutMonth
from shared.accounts.roles import OFFICE, RoleKind
from tests.factories import TODAY, make_entry, make_fund, make_program, make_user
from tests.vehicles.pages import BACKEND, sign_in, words

if TYPE_CHECKING:
    from django.test import Client

from tests.program.ledger.books import (
    JOURNAL,
    MONEY,
    NEW,
    STATEMENTS,
    TREASURER,
    books,
    page,
    put_aside,
    typed,
)

pytestmark = pytest.mark.django_db

OCTOBER = dt.date(2026, 10, 15)


def test_an_entry_shows_its_transfers_and_its_cause(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    text = words(client.get(page(Entry.objects.get(key="import:t-1"))))
    assert "Sunday collection Monday, November 30, 2026. An import of sheets." in text
    assert "1010 Checking account 4010 Gifts of money from people General fund" in text


def test_an_entry_is_reversed_with_a_reason_and_both_name_each_other(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    entry = Entry.objects.get(what="Front pads")
    response = client.post(
        page(entry, "entry_reverse"), {"on": "2026-11-30", "reason": "Wrong fund."}, follow=True
    )
    written = Entry.objects.get(reverses=entry)
    text = words(response)
    assert f"Entry {entry.pk} is reversed by entry {written.pk}." in text
    assert f"It reverses entry {entry.pk}." in text
    assert "Wrong fund." in text
    text = words(client.get(page(entry)))
    assert f"Reversed by entry {written.pk}" in text
    assert "Wrong fund." in text
    assert "Reverse it" not in text


def test_a_reversal_without_a_reason_is_refused(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    entry = Entry.objects.get(what="Front pads")
    response = client.post(page(entry, "entry_reverse"))
    assert response.status_code == 422
    assert "Why: an answer is missing." in words(response)
    assert not Entry.objects.filter(reverses=entry).exists()


def test_a_slip_is_reversed_on_its_own_day_while_its_month_is_open(client: Client) -> None:
    sign_in(client, TREASURER)
    entry = make_entry(("1010", "4010", 100, make_fund()), on=OCTOBER)
    assert client.get(page(entry)).context["form"]["on"].value() == OCTOBER.isoformat()
    client.post(page(entry, "entry_reverse"), {"on": OCTOBER.isoformat(), "reason": "A slip."})
    assert Entry.objects.get(reverses=entry).on == OCTOBER


def test_an_entry_of_a_shut_month_is_reversed_today(client: Client) -> None:
    user = sign_in(client, TREASURER)
    entry = make_entry(("1010", "4010", 100, make_fund()), on=OCTOBER)
    ShutMonth.objects.create(program=make_program(), month=OCTOBER.replace(day=1), shut_by=user)
    assert client.get(page(entry)).context["form"]["on"].value() == TODAY.isoformat()
    sent = {"on": OCTOBER.isoformat(), "reason": "A slip."}
    response = client.post(page(entry, "entry_reverse"), sent)
    assert response.status_code == 422
    assert "October 2026 was shut by" in words(response)
    assert not Entry.objects.filter(reverses=entry).exists()


@pytest.mark.parametrize(
    ("on", "sentence"),
    [
        ("2026-10-14", "It was booked for Thursday, October 15, 2026; it is reversed then or"),
        ("2026-12-01", "Tuesday, December 1, 2026, has not come yet."),
        ("soon", "“soon” is not a date"),
    ],
)
def test_a_reversal_before_its_entry_or_tomorrow_is_refused(
    client: Client, on: str, sentence: str
) -> None:
    sign_in(client, TREASURER)
    entry = make_entry(("1010", "4010", 100, make_fund()), on=OCTOBER)
    response = client.post(page(entry, "entry_reverse"), {"on": on, "reason": "A slip."})
    assert response.status_code == 422
    assert sentence in words(response)
    assert not Entry.objects.filter(reverses=entry).exists()


def test_a_second_reversal_is_refused(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    entry = Entry.objects.get(what="Front pads")
    client.post(page(entry, "entry_reverse"), {"on": "2026-11-30", "reason": "Wrong fund."})
    response = client.post(page(entry, "entry_reverse"), {"on": "2026-11-30", "reason": "Again."})
    assert response.status_code == 422
    assert Entry.objects.filter(reverses=entry).count() == 1


def test_money_of_a_plan_is_left_to_plans(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    text = words(client.get(page(put_aside(general, 100))))
    assert "This was booked for an approved plan: the next approved plan changes it." in text


@pytest.mark.parametrize("role", list(RoleKind))
def test_the_office_reads_the_books_and_nobody_else(client: Client, role: RoleKind) -> None:
    general, _ = books()
    entry = Entry.objects.all()[0]
    sign_in(client, role)
    fund = reverse("funds:fund_page", args=[general.pk])
    for url in (MONEY, JOURNAL, STATEMENTS, fund, page(entry)):
        assert client.get(url).status_code == (200 if role in OFFICE else 403)


@pytest.mark.parametrize("role", [RoleKind.BOARD, RoleKind.TECHNICIAN, RoleKind.SPONSOR])
def test_only_treasurer_and_coordinator_book(client: Client, role: RoleKind) -> None:
    general, _ = books()
    entry = Entry.objects.all()[0]
    sign_in(client, role)
    assert client.get(NEW).status_code == 403
    assert client.post(NEW, typed(general)).status_code == 403
    assert client.post(page(entry, "entry_reverse"), {"reason": "x"}).status_code == 403
    assert Entry.objects.count() == 3


def test_the_board_is_not_offered_what_it_may_not_do(client: Client) -> None:
    books()
    sign_in(client, RoleKind.BOARD)
    for url in (MONEY, JOURNAL, page(Entry.objects.all()[0])):
        text = words(client.get(url))
        assert "Book an entry" not in text
        assert "Reverse it" not in text


def test_strangers_sign_in_first(client: Client) -> None:
    for url in (MONEY, JOURNAL, NEW, STATEMENTS):
        assert client.get(url)["Location"].startswith("/accounts/")


def test_another_programs_books_are_not_there(client: Client) -> None:
    general, _ = books()
    entry = Entry.objects.all()[0]
    stranger = make_user(TREASURER, program=make_program(name="Other garage"))
    client.force_login(stranger, BACKEND)
    assert client.get(page(entry)).status_code == 404
    assert client.get(reverse("funds:fund_page", args=[general.pk])).status_code == 404
    assert client.post(page(entry, "entry_reverse"), {"reason": "x"}).status_code == 404
    assert "Nothing has been booked." in words(client.get(JOURNAL))


@pytest.mark.parametrize("url", [MONEY, JOURNAL, STATEMENTS])
def test_a_page_takes_as_many_queries_for_many_entries_as_for_few(client: Client, url: str) -> None:
    sign_in(client, TREASURER)
    general, _ = books()

    def count() -> int:
        with CaptureQueriesContext(connection) as queries:
            client.get(url)
        return len(queries)

    few = count()
    for _ in range(4):
        make_entry(("6010", "1010", 100, general))
    assert count() == few
