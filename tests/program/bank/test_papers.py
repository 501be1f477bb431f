"""The reconciliation on its page."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from program.bank.actions import match_sure
from program.models import BankStatement
from shared.accounts.roles import RoleKind
from tests.factories import make_user
from tests.program.bank.banking import books, paid, statement
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db
TREASURER = RoleKind.TREASURER


def page(row: BankStatement, name: str = "reconciliation") -> str:
    return reverse(f"bank:{name}", args=[row.pk])


def test_the_page_shows_both_sides_and_what_only_one_knows(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    row = statement()
    match_sure(statement=row, by=make_user())
    text = words(client.get(page(row)))
    assert "2 lines have no entry yet; with them both sides agree." in text
    assert "Balance 1,248.60 1,199.60" in text
    assert "Adjusted 1,584.60 1,584.60" in text
    assert "Tires fetched" in text


def test_it_is_not_finished_above_zero_without_a_note(client: Client) -> None:
    sign_in(client, TREASURER)
    row = statement()
    response = client.post(page(row, "finish"), {"version": "1", "note": ""})
    assert response.status_code == 422
    assert "Why it is finished all the same: an answer is missing." in words(response)
    assert BankStatement.objects.get().reconciled_at is None


def test_it_is_finished_with_a_note_and_opened_with_a_reason(client: Client) -> None:
    sign_in(client, TREASURER)
    row = statement()
    sent = {"version": "1", "note": "Papers follow."}
    text = words(client.post(page(row, "finish"), sent, follow=True))
    assert "Reconciled to Saturday, October 31, 2026." in text
    assert "Papers follow." in text
    response = client.post(page(row, "reopen"), {"version": "2", "reason": ""})
    assert response.status_code == 422
    sent = {"version": "2", "reason": "A slip."}
    text = words(client.post(page(row, "reopen"), sent, follow=True))
    assert "A bank statement was opened again. A slip." in text
    assert BankStatement.objects.get().reconciled_at is None


def test_a_page_that_is_out_of_date_finishes_nothing(client: Client) -> None:
    sign_in(client, TREASURER)
    row = statement()
    BankStatement.objects.update(version=5)
    response = client.post(page(row, "finish"), {"version": "1", "note": "Seen."})
    assert response.status_code == 422
    assert "Somebody else changed this statement. Open the page again." in words(response)


def test_the_page_takes_as_many_queries_for_many_movements(client: Client) -> None:

    sign_in(client, TREASURER)
    books()
    row = statement()
    counts = []
    for _ in range(2):
        client.get(page(row))
        with CaptureQueriesContext(connection) as taken:
            client.get(page(row))
        counts.append(len(taken))
        for cents in range(100, 900, 100):
            paid(cents, row.until_on)
    assert counts[0] == counts[1]
