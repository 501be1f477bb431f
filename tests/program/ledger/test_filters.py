"""The journal, narrowed."""

from __future__ import annotations

import csv
from io import StringIO
from typing import TYPE_CHECKING, Any

import pytest

from program.ledger.filters import TransferFilter
from program.models import Fund, Transfer
from shared.accounts.roles import RoleKind
from tests.factories import (
    make_case,
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
    rows = list(csv.reader(StringIO(response.getvalue().decode("utf-8-sig"))))
    assert rows[0] == ["Date", "No.", "What", "Debit", "Credit", "Fund", "Amount"]
    assert rows[1][2:5] == ["Front pads", "6010 Parts bought", "1010 Checking account"]
    assert rows[1][6] == "100.00"


def test_htmx_gets_the_rows_alone(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    html = client.get(JOURNAL, headers=HTMX).content.decode()
    assert "Front pads" in html
    assert "<main" not in html


def totals(client: Client, **asked: Any) -> tuple[int, int]:
    found: tuple[int, int] = client.get(JOURNAL, asked).context["table"].totals
    return found


def test_function_cause_case_and_facts_narrow_too(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    general, _ = books()
    case = make_case(number="26-041")
    make_entry(("7010", "1010", 200, general), what="Stamps", key="form:1", fact=True)
    entry = make_entry(("1010", "6010", 300, general), what="Pads sent back", key="bank:7")
    Transfer.objects.create(
        program=entry.program,
        entry=entry,
        debit="6010",
        credit="1010",
        cents=50,
        fund=general,
        case=case,
        function="fundraising",
    )
    assert totals(client, function="program") == (2, 10_300)
    assert totals(client, function="management") == (1, 200)
    assert totals(client, function="fundraising") == (1, 50)
    assert totals(client, function="program", account="7010") == (0, 0)
    assert totals(client, case="26-041") == (1, 50)
    assert totals(client, kind="bank") == (2, 350)
    assert totals(client, booked_as="fact") == (1, 200)
    assert "it had happened" in words(client.get(JOURNAL, {"booked_as": "fact"}))
    assert "case 26-041, for fundraising" in words(client.get(JOURNAL, {"kind": "bank"}))


@pytest.mark.parametrize(
    "asked",
    [
        {},
        {"fund": "GEN"},
        {"account": "6010"},
        {"fund": "GEN", "account": "1010", "since": "2026-11-01", "until": "2026-11-30"},
        {"since": "2026-12-01"},
        {"until": "2026-10-31"},
        {"until": "2026-12-15"},
        {"since": "2026-11-30", "account": "1010"},
        {"account": "9999"},
    ],
)
def test_the_kept_totals_are_those_of_the_transfers(client: Client, asked: dict[str, str]) -> None:
    sign_in(client, RoleKind.BOARD)
    general, _ = books()
    make_entry(("6010", "1010", 70, general), ("6050", "1010", 5, general), on="2026-12-20")
    make_entry(("6010", "6050", 9, general), on="2026-10-31")
    sent = asked | ({"fund": str(general.pk)} if "fund" in asked else {})
    narrowed = TransferFilter(sent, queryset=Transfer.objects.all())
    narrowed.form.fields["fund"].queryset = Fund.objects.all()
    rows = list(narrowed.qs)
    assert totals(client, **sent) == (len(rows), sum(row.cents for row in rows))


def test_the_export_is_written_as_it_is_read(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    general, _ = books()
    make_entry(("6050", "1010", 5, general), what="=1+1")
    response = client.get(JOURNAL, {"export": "csv", "sort": "cents"})
    assert response.streaming
    rows = list(csv.reader(StringIO(response.getvalue().decode("utf-8-sig"))))
    assert [row[2] for row in rows[1:3]] == ["'=1+1", "Gift of R. Pruitt"]
    assert len(rows) == 5
