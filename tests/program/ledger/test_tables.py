"""What the chart of accounts and an entry show."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.apps import apps
from django.urls import get_resolver, reverse

from program.ledger.labels import CAUSES
from program.ledger.tables import cause_of
from tests.factories import make_entry, make_item, make_plan
from tests.program.ledger.books import TREASURER, books, page
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


def test_an_entry_leads_to_what_caused_it(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    plan, item = make_plan(number=7), make_item()
    plan_page = reverse("planning:plan_page", args=[7])
    work = reverse("repairs:item_page", args=[item.intake_id, item.pk])
    for key, said, address in (
        (f"plan:{plan.pk}:freed", "An approved plan", plan_page),
        (f"withdrawn:{item.pk}", "Work that is not to be done", work),
        ("import:t-9", "An import of sheets", reverse("importing:run_list")),
        ("plan:999999", "An approved plan", ""),
        ("form:0b5f", "Booked by hand", ""),
        ("till:4", "till:4", ""),
    ):
        entry = make_entry(("6010", "1010", 1, general), key=key)
        assert cause_of(entry) == (said, address)
        linked = f'href="{address}"' in client.get(page(entry)).content.decode()
        assert linked == bool(address)


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
