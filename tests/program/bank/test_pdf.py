"""The reconciliation on paper."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse
from pypdf import PdfReader

from shared.accounts.roles import RoleKind
from tests.program.bank.banking import books, statement
from tests.vehicles.pages import sign_in

if TYPE_CHECKING:
    from django.test import Client

    from program.models import BankStatement

pytestmark = pytest.mark.django_db
TREASURER = RoleKind.TREASURER


def page(row: BankStatement, name: str = "reconciliation") -> str:
    return reverse(f"bank:{name}", args=[row.pk])


def paper(client: Client, row: BankStatement) -> list[str]:
    response = client.get(page(row, "reconciliation_file"))
    assert response["Content-Type"] == "application/pdf"
    return [sheet.extract_text() for sheet in PdfReader(BytesIO(response.content)).pages]


def test_the_paper_is_one_page_with_every_movement(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    row = statement()
    sheets = paper(client, row)
    assert len(sheets) == 1
    for text in ("1,248.60", "Tires fetched", "Adjusted balance of the bank", "Not finished yet."):
        assert text in sheets[0]


def test_the_same_reconciliation_gives_the_same_bytes(client: Client) -> None:
    sign_in(client, TREASURER)
    row = statement()
    first, second = (client.get(page(row, "reconciliation_file")).content for _ in range(2))
    assert first == second
