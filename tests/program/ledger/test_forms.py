"""Booking an entry on its page."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from program.models import Entry
from tests.factories import (
    make_fund,
    make_program,
)
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

from tests.program.ledger.books import KEY, NEW, TREASURER, books, typed

pytestmark = pytest.mark.django_db


def test_an_entry_is_booked_as_it_was_typed(client: Client) -> None:
    user = sign_in(client, TREASURER)
    general, gift = books()
    more = {
        "debit_2": "6010",
        "credit_2": "1010",
        "fund_2": str(gift.pk),
        "amount_2": "$1.50",
        "memo_2": "clips",
    }
    response = client.post(NEW, typed(general, **more), follow=True)
    entry = Entry.objects.get(key=f"form:{KEY}")
    assert f"Booked as entry {entry.pk}." in words(response)
    assert (entry.what, entry.by) == ("Rags and gloves", user)
    rows = entry.transfers.order_by("pk").values_list("debit", "credit", "cents", "fund", "memo")
    assert list(rows) == [
        ("6050", "1010", 2_500, general.pk, ""),
        ("6010", "1010", 150, gift.pk, "clips"),
    ]


def test_an_overdraft_is_refused_with_the_sentence_and_keeps_what_was_typed(
    client: Client,
) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    response = client.post(NEW, typed(general, amount_1="640.00"))
    assert response.status_code == 422
    assert "The general fund has $500.00 free. This needs $640.00: $140.00 more." in words(response)
    assert 'value="640.00"' in response.content.decode()
    assert Entry.objects.count() == 3


def test_what_has_happened_anyway_is_booked(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    assert client.post(NEW, typed(general, amount_1="640.00", fact="on")).status_code == 302
    assert Entry.objects.filter(key=f"form:{KEY}").exists()


def test_a_form_sent_twice_books_once(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    client.post(NEW, typed(general))
    response = client.post(NEW, typed(general))
    assert "This was booked already." in words(response)
    assert Entry.objects.count() == 4


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"amount_1": ""}, "Amount: an answer is missing."),
        ({"amount_1": "0"}, "$0.00 is too little. Type at least $0.01."),
        ({"amount_1": "x"}, "“x” is not an amount. Type dollars and cents, such as 1240.50."),
        ({"on": "soon"}, "“soon” is not a date. Type 2026-12-01 or 12/1/2026."),
        ({"credit_1": "6050"}, "Account 6050 is on both sides."),
        ({"debit_2": "6010"}, "Line 2 lacks its amount."),
    ],
)
def test_a_line_that_can_not_be_is_refused(
    client: Client, fields: dict[str, str], sentence: str
) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    response = client.post(NEW, typed(general, **fields))
    assert response.status_code == 422
    assert sentence in words(response)
    assert Entry.objects.count() == 3


def test_another_programs_fund_can_not_be_chosen(client: Client) -> None:
    sign_in(client, TREASURER)
    other = make_fund(program=make_program(name="Other garage"))
    assert client.post(NEW, typed(other)).status_code == 422
    assert not Entry.objects.exists()
