"""The page of one line: what it may be, and booking it."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING
from urllib.parse import parse_qs, urlsplit

import pytest
from django.urls import reverse

from program.models import BankMatch, Entry, ShutMonth
from shared.accounts.roles import RoleKind
from tests.factories import make_fund
from tests.program.bank.banking import LAST, books, came, general, paid, statement
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

    from program.models import BankLine

pytestmark = pytest.mark.django_db
TREASURER = RoleKind.TREASURER


def line(cents: int) -> BankLine:
    return statement().lines.get(cents=cents)


def page(row: BankLine, name: str = "line_page") -> str:
    return reverse(f"bank:{name}", args=[row.pk])


def test_a_line_shows_the_entries_it_may_be(client: Client) -> None:
    sign_in(client, TREASURER)
    there = books()
    response = client.get(page(line(400_00)))
    assert "2 entries add up to it exactly." in words(response)
    form = response.context["match"]
    assert form["entries"].value() == [there["share"].pk, there["sunday"].pk]


def test_chosen_entries_are_found_when_they_add_up(client: Client) -> None:
    sign_in(client, TREASURER)
    there = books()
    row = line(400_00)
    chosen = [str(there[name].pk) for name in ("share", "sunday")]
    response = client.post(page(row, "match"), {"entries": chosen[:1]})
    assert response.status_code == 422
    assert "what was chosen adds up to $60.00: $340.00 less." in words(response)
    client.post(page(row, "match"), {"entries": chosen})
    assert BankMatch.objects.count() == 2


def test_a_fee_is_booked_by_the_short_form(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    row = line(-15_00)
    sent = {"account": "7030", "fund": str(general().pk), "what": "Bank fee"}
    response = client.post(page(row, "book"), sent, follow=True)
    entry = Entry.objects.get(key=f"bank:{row.pk}")
    assert f"Booked as entry {entry.pk}, and found on its line." in words(response)
    assert "Bank fee" in words(client.get(page(row)))


def test_the_short_form_offers_no_restricted_fund_and_no_other_cash(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    gift = make_fund(code="PRU", restricted=True)
    row = line(-15_00)
    sent = {"account": "1020", "fund": str(gift.pk), "what": "Bank fee"}
    response = client.post(page(row, "book"), sent)
    assert response.status_code == 422
    assert sorted(response.context["book"].errors) == ["account", "fund"]
    assert not BankMatch.objects.exists()


def test_the_form_of_entries_is_led_to_with_what_the_line_says(client: Client) -> None:
    sign_in(client, TREASURER)
    address = urlsplit(client.get(page(line(-15_00))).context["entry_form"])
    assert address.path == reverse("ledger:entry_new")
    assert parse_qs(address.query) == {
        "on": ["2026-10-30"],
        "what": ["SERVICE CHARGE"],
        "credit": ["1010"],
        "amount": ["15.00"],
    }


def test_a_returned_deposit_is_offered_and_booked(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    gift = came(15_00, LAST.replace(day=20), "Gift by check")
    row = line(-15_00)
    assert f"Book that entry {gift.pk} was returned" in words(client.get(page(row)))
    address = reverse("bank:bounced", args=[row.pk, gift.pk])
    text = words(client.post(address, follow=True))
    assert "the deposit was returned." in text
    assert Entry.objects.get(reverses=gift).key == f"bank:{row.pk}"
    assert "This line doesn’t take that deposit back." in words(client.post(address, follow=True))


def test_the_board_sees_a_line_and_decides_nothing(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    row = line(-15_00)
    text = words(client.get(page(row)))
    assert "No entry yet. A treasurer or coordinator decides what it is." in text
    assert "Book it" not in text
    for name in ("match", "book"):
        assert client.post(page(row, name)).status_code == 403


def test_a_line_is_changed_by_nothing_that_only_looks(client: Client) -> None:
    sign_in(client, TREASURER)
    row = line(-15_00)
    for name in ("match", "book"):
        assert client.get(page(row, name)).status_code == 405


def test_nothing_is_booked_from_a_line_of_a_shut_month(client: Client) -> None:
    user = sign_in(client, TREASURER)
    row = line(-15_00)
    ShutMonth.objects.create(program=row.program, month=date(2026, 10, 1), shut_by=user)
    sent = {"account": "7030", "fund": str(general().pk), "what": "Bank fee"}
    response = client.post(page(row, "book"), sent)
    assert response.status_code == 422
    assert "October 2026 was shut by" in words(response)
    assert not Entry.objects.exists()


def test_a_line_is_no_entry_that_was_not_chosen(client: Client) -> None:
    sign_in(client, TREASURER)
    response = client.post(page(line(400_00), "match"), {})
    assert response.status_code == 422
    assert "Choose at least one entry." in words(response)


def test_a_slip_names_the_entry_whose_digits_changed_places(client: Client) -> None:
    sign_in(client, TREASURER)
    entry = paid(51_00, date(2026, 10, 29), "Stamps")
    text = words(client.get(page(line(-15_00))))
    assert f"Stamps (entry {entry.pk}): Two digits of this entry have changed places." in text
