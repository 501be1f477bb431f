"""What the chart of accounts and an entry show."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.apps import apps
from django.urls import get_resolver, reverse

from program.ledger.labels import CAUSES
from tests.program.ledger.books import TREASURER, books
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db


def test_the_chart_of_accounts_leads_each_account_to_its_transfers(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    response = client.get(reverse("ledger:account_list"))
    text = words(response)
    assert "1010 Checking account asset debit – 600.00" in text
    assert "4010 Gifts of money from people income credit – 700.00" in text
    assert "6010 Parts bought expense debit program 100.00" in text
    assert 'href="/money/entries/?account=6010"' in response.content.decode()


def test_each_cause_has_a_page_that_takes_what_its_row_gives() -> None:
    resolver = get_resolver()
    for kind, cause in CAUSES.items():
        if not cause.url:
            continue
        space, _, name = cause.url.partition(":")
        urls = resolver.namespace_dict[space][1].reverse_dict.getlist(name)
        taken = [len(params) for possible, *_ in urls for _, params in possible]
        assert taken == [len(cause.fields) if cause.model else 0], kind
        if cause.model:
            rows = apps.get_model(cause.model)._default_manager.values_list(*cause.fields)
            assert list(rows[:1]) == [], kind
