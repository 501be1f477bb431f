"""The reconciliation on paper."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from io import BytesIO
from typing import TYPE_CHECKING

import pytest
import time_machine
from django.urls import reverse
from pypdf import PdfReader

from program.bank.actions import finish
from shared.accounts.roles import RoleKind
from tests.program.bank.banking import DAYS, HEAD, books, paid, statement
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


@time_machine.travel("2027-01-25 15:00:00+00:00", tick=False)
def test_what_is_old_and_the_note_stand_on_the_paper(client: Client) -> None:
    user = sign_in(client, TREASURER)
    books()
    old = paid(12_00, date(2026, 10, 5), "Rags, never cashed")
    finish(statement=statement(), version=1, note="Seen.", by=user)
    later = replace(
        DAYS,
        from_on=date(2026, 11, 1),
        until_on=date(2027, 1, 20),
        opening=1248_60,
        closing=1258_60,
    )
    row = statement(HEAD + "2026-11-02,DEPOSIT,,10.00,1258.60\n", later)
    finish(statement=row, version=1, note="The bank looks for it.", by=user)
    sheet = " ".join(paper(client, row)[0].split())
    assert old.what in sheet
    assert "outstanding for more than 90 days." in sheet
    assert "Note: The bank looks for it." in sheet
