"""The list of gifts, as it is read and as it is exported."""

from __future__ import annotations

import pytest
from django.urls import reverse

from program.gifts.tables import OfferTable
from program.models import Offer
from tests.factories import make_fund
from tests.program.gifts.offers import accept, make_offer

pytestmark = pytest.mark.django_db


def table() -> OfferTable:
    return OfferTable(Offer.objects.select_related("fund"))


def test_a_gift_is_exported_with_its_day_its_fund_and_a_plain_amount() -> None:
    make_offer(giver="Moss & Lane")
    head, row = table().as_values()
    assert head == ["Giver", "Offered", "For", "Stands", "Amount"]
    assert [str(cell) for cell in row] == [
        "Moss & Lane",
        "2026-11-30",
        "Moss Lane gift (new)",
        "Offered",
        "600.00",
    ]


def test_a_giver_leads_to_the_gift_and_is_written_as_text() -> None:
    offer = make_offer(giver="Moss & Lane <b>")
    (row,) = table().rows
    assert row.get_cell("giver") == (
        f'<a href="{reverse("gifts:offer_page", args=[offer.pk])}">Moss &amp; Lane &lt;b&gt;</a>'
    )


def test_an_open_fund_is_named_as_it_is_and_a_new_one_as_new() -> None:
    make_offer()
    make_offer(fund=make_fund(name="winter collection"), fund_name="", rule={})
    rows = [row.get_cell("goes") for row in table().rows]
    assert rows == ["winter collection", "Moss Lane gift (new)"]


def test_a_gift_that_was_accepted_stands_so_in_the_fund_it_opened() -> None:
    accept(make_offer())
    (row,) = table().rows
    assert (row.get_cell("state"), row.get_cell("goes")) == ("Accepted", "Moss Lane gift")


def test_the_newest_gift_comes_first_and_no_gift_is_said_in_words() -> None:
    assert len(table().rows) == 0
    older, newer = make_offer(on="2026-11-01"), make_offer(on="2026-11-29")
    latest = make_offer(on="2026-11-29")
    assert [row.record for row in table().rows] == [latest, newer, older]
