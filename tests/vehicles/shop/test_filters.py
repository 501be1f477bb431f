"""Narrowing the register of equipment."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from tests.vehicles.pages import sign_in
from tests.vehicles.shop.rows import DAY, make_piece, today
from vehicles.shop.duty import Standing
from vehicles.shop.queries import piece

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db


def shown(client: Client, **asked: str) -> list[str]:
    table = client.get(reverse("shop:shop_page"), asked).context["table"]
    return [row.record.name for row in table.rows]


def test_the_register_is_narrowed_by_kind_and_standing_as_the_pure_module_says(
    client: Client,
) -> None:
    sign_in(client)
    rows = [
        make_piece(name="fresh", due_on=today() + 31 * DAY),
        make_piece(name="soon", due_on=today() + 30 * DAY),
        make_piece(name="today", due_on=today(), kind="jack"),
        make_piece(name="late", due_on=today() - DAY),
        make_piece(name="late and tagged", due_on=today() - DAY, tagged_out=True),
        make_piece(name="tagged", tagged_out=True),
        make_piece(name="gone", tagged_out=True, retired_on=today()),
    ]
    for standing in Standing:
        wanted = {row.name for row in rows if piece(row).standing(today()) is standing}
        assert set(shown(client, standing=standing.value)) == wanted
    assert shown(client, kind="jack") == ["today"]
    assert "gone" not in shown(client)
    assert len(shown(client)) == 6


def test_a_standing_that_is_none_shows_what_is_in_service(client: Client) -> None:
    sign_in(client)
    make_piece()
    assert shown(client, standing="shiny") == ["Two-post lift"]
