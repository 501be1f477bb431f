"""The journal, narrowed."""

from __future__ import annotations

import csv
from io import StringIO
from typing import TYPE_CHECKING, Any

import pytest

from shared.accounts.roles import RoleKind
from tests.factories import (
    make_entry,
    make_fund,
)
from tests.vehicles.pages import HTMX, sign_in, words

if TYPE_CHECKING:
    from django.test import Client

from tests.program.ledger.books import JOURNAL, books

pytestmark = pytest.mark.django_db


def listed(client: Client, **asked: Any) -> list[str]:
    text = words(client.get(JOURNAL, asked))
    names = ("Sunday collection", "Gift of R. Pruitt", "Front pads")
    return [name for name in names if name in text]


def test_the_journal_narrows_by_fund_account_words_and_days(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    _, gift = books()
    fund = make_fund(name="tool fund")
    make_entry(("6060", "1010", 100, fund), what="A wrench", on="2026-01-15")
    assert len(listed(client)) == 3
    assert listed(client, fund=gift.pk) == ["Gift of R. Pruitt"]
    assert listed(client, account="6010") == ["Front pads"]
    assert listed(client, words="sunday") == ["Sunday collection"]
    assert listed(client, until="2026-01-31") == []
    assert len(listed(client, since="2026-11-30")) == 3


def test_a_line_names_its_accounts_its_fund_and_its_amount(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    text = words(client.get(JOURNAL))
    assert "Front pads 6010 Parts bought 1010 Checking account General fund 100.00" in text
    assert "3 transfers" in text
    assert text.rstrip().endswith("Sum 800.00")


def test_the_journal_is_sorted_and_paged(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    text = words(client.get(JOURNAL, {"sort": "cents", "per_page": "2"}))
    assert "3 transfers, 1 to 2 shown" in text
    assert "Sunday collection" not in text


def test_the_export_holds_what_is_filtered(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    response = client.get(JOURNAL, {"account": "6010", "export": "csv"})
    rows = list(csv.reader(StringIO(response.content.decode("utf-8-sig"))))
    assert rows[0] == ["Date", "No.", "What", "Debit", "Credit", "Fund", "Amount"]
    assert rows[1][2:5] == ["Front pads", "6010 Parts bought", "1010 Checking account"]
    assert rows[1][6] == "100.00"


def test_htmx_gets_the_rows_alone(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    html = client.get(JOURNAL, headers=HTMX).content.decode()
    assert "Front pads" in html
    assert "<main" not in html
