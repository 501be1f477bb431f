"""The statements as the office opens them: pages, papers, sheets."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from program.models import Commitment
from program.statements.queries import TITLES
from shared.accounts.roles import OFFICE, RoleKind
from tests.factories import (
    make_case,
    make_entry,
    make_fund,
    make_program,
    make_user,
)
from tests.program.ledger.books import STATEMENTS, books
from tests.program.statements.asking import SPAN, at, pages, sheet, shown, spend
from tests.vehicles.pages import BACKEND, sign_in, words

if TYPE_CHECKING:
    from django.test import Client


pytestmark = pytest.mark.django_db


def test_the_page_says_that_everything_ties_and_what_each_statement_comes_to(
    client: Client,
) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    text = words(client.get(STATEMENTS, SPAN))
    assert "Everything ties: 11 checks." in text
    assert "Debits equal credits in the trial balance. Both are $700.00." in text
    assert "Trial balance Debits $700.00, credits $700.00." in text
    assert "Activities Changed by $600.00 to $600.00." in text
    assert "Financial position Owns $600.00, owes $0.00: net assets of $600.00." in text
    assert "Functional expenses $100.00 spent, $100.00 of it on the program." in text
    assert "Funds $600.00 free, $0.00 set aside." in text
    assert "Cost of each case $0.00 for cases, $100.00 for none." in text


def test_the_year_to_date_is_shown_first_and_others_are_offered(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    response = client.get(STATEMENTS)
    text = words(response)
    assert "Thursday, January 1, 2026 to Monday, November 30, 2026." in text
    assert "This year This month Last month This quarter Last year" in text
    assert "?from_on=2026-10-01&amp;until_on=2026-10-31" in response.content.decode()


def test_restricted_money_spent_and_not_released_is_loud(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    _, gift = books()
    make_entry(("6010", "1010", 2_500, gift), what="Front pads, not released")
    text = words(client.get(STATEMENTS, SPAN))
    assert "One of 11 checks does not tie." in text
    assert "Restricted money spent and not released. Out by $25.00: $25.00 and $0.00." in text
    assert "Pruitt gift." in text
    assert "Everything ties" not in text


def test_a_commitment_without_its_transfer_is_loud_while_the_span_reaches_today(
    client: Client,
) -> None:
    sign_in(client, RoleKind.BOARD)
    general, _ = books()
    fields = {"program": make_program(), "case": make_case(), "fund": general, "cents": 700}
    Commitment.objects.create(cause="plan:1", item_id=1, entry=make_entry(), **fields)
    assert "Out by $7.00: $0.00 and $7.00." in words(client.get(STATEMENTS, SPAN))
    earlier = {"from_on": "2026-01-01", "until_on": "2026-10-31"}
    assert "Everything ties: 10 checks." in words(client.get(STATEMENTS, earlier))


def test_each_statement_has_its_page(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    books()
    assert "1010 Checking account 600.00 –" in shown(client, "trial")
    assert "Net assets at the end 500.00 100.00 600.00 0.00" in shown(client, "activities")
    assert "PRU Pruitt gift 100.00 –" in shown(client, "position")
    assert "6010 Parts bought 100.00 – – 100.00" in shown(client, "functional")
    assert "GEN General fund – 600.00 100.00 – 500.00" in shown(client, "funds")
    assert "Skilled work – – – – – –" in shown(client, "in-kind")
    assert "No case 100.00 – – – – 100.00" in shown(client, "cases")


@pytest.mark.parametrize("kind", ["statement", "statement_pdf", "statement_csv"])
def test_there_is_no_other_statement(client: Client, kind: str) -> None:
    sign_in(client, RoleKind.TREASURER)
    assert client.get(at(kind, "cash")).status_code == 404


def test_a_span_starts_with_what_was_there(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    general, _ = books()
    make_entry(("1010", "4010", 1_000, general), on="2026-12-05", what="Later")
    text = shown(client, "activities", from_on="2026-12-01")
    assert "Net assets at the start 500.00 100.00 600.00" in text
    assert "Change in net assets 10.00 0.00 10.00" in text


def test_a_figure_leads_to_the_transfers_that_make_it(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    books()
    page = client.get(at("statement", "functional"), SPAN).content.decode()
    link = "/money/entries/?account=6010&amp;function=program&amp;since=2026-01-01"
    assert f'{link}&amp;until=2026-12-31">100.00</a>' in page
    found = words(client.get(link.replace("&amp;", "&") + "&until=2026-12-31"))
    assert "Front pads" in found
    assert "Sunday collection" not in found


@pytest.mark.parametrize(
    ("days", "sentence"),
    [
        (
            {"from_on": "2026-12-31", "until_on": "2026-01-01"},
            "The last day lies before the first.",
        ),
        (
            {"from_on": "0001-01-01", "until_on": "2026-01-01"},
            "“0001-01-01” lies outside the years",
        ),
        (
            {"from_on": "2026-01-01", "until_on": "9999-12-31"},
            "“9999-12-31” lies outside the years",
        ),
    ],
)
def test_days_that_cannot_be_are_refused(
    client: Client, days: dict[str, str], sentence: str
) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    text = words(client.get(STATEMENTS, days))
    assert sentence in text
    assert "January 1, 2026 to Monday, November 30, 2026." in text


@pytest.mark.parametrize("kind", ["statement_pdf", "statement_csv"])
def test_no_file_is_made_of_other_days_than_those_asked_for(client: Client, kind: str) -> None:
    sign_in(client, RoleKind.BOARD)
    days = {"from_on": "2026-12-31", "until_on": "2026-01-01"}
    for url in (at(kind, "trial"), reverse("statements:all_pdf")):
        response = client.get(url, days, follow=True)
        assert "The last day lies before the first." in words(response)


def test_all_statements_are_one_pdf_with_ties_and_notes(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    books()
    response = client.get(reverse("statements:all_pdf"), SPAN)
    assert response["Content-Type"] == "application/pdf"
    found = pages(response)
    text = " ".join(" ".join(found).split())
    assert "Everything ties: 11 checks" in text
    assert "Not audited." in text
    assert [title for title in TITLES.values() if title not in text] == []
    assert f"Page 1 of {len(found)}" in found[0]
    assert "Printed by" in found[0]


@pytest.mark.parametrize("name", list(TITLES))
def test_each_statement_is_a_pdf_of_its_own(client: Client, name: str) -> None:
    sign_in(client, RoleKind.TREASURER)
    books()
    response = client.get(at("statement_pdf", name), SPAN)
    named = f'inline; filename="{name}-2026-01-01-to-2026-12-31.pdf"'
    assert response["Content-Disposition"] == named
    text = " ".join(" ".join(pages(response)).split())
    assert TITLES[name] in text
    assert "Everything ties" in text


def test_a_statement_is_a_sheet_of_plain_decimals(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    books()
    assert sheet(client, "trial") == [
        ["Code", "Account", "Debit", "Credit"],
        ["1010", "Checking account", "600.00", "0.00"],
        ["4010", "Gifts of money from people", "0.00", "700.00"],
        ["6010", "Parts bought", "100.00", "0.00"],
        ["", "Together", "700.00", "700.00"],
    ]


def test_a_funds_name_is_no_formula_in_a_sheet(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    make_entry(("1010", "4010", 500, make_fund(code="X", name="=1+1")))
    names = [row[1] for row in sheet(client, "funds")]
    assert "'=1+1" in names


@pytest.mark.parametrize("role", list(RoleKind))
def test_the_office_opens_every_statement_and_nobody_else(client: Client, role: RoleKind) -> None:
    sign_in(client, role)
    expected = 200 if role in OFFICE else 403
    urls = [STATEMENTS, reverse("statements:all_pdf")]
    urls += [at(kind, "trial") for kind in ("statement", "statement_pdf", "statement_csv")]
    assert [client.get(url).status_code for url in urls] == [expected] * len(urls)


def test_another_programs_books_are_not_in_them(client: Client) -> None:
    books()
    stranger = make_user(RoleKind.TREASURER, program=make_program(name="Other garage"))
    client.force_login(stranger, BACKEND)
    assert "Nothing was booked by the last of these days." not in shown(client, "funds")
    assert "Debits $0.00, credits $0.00." in words(client.get(STATEMENTS, SPAN))


@pytest.mark.parametrize("name", list(TITLES))
def test_many_entries_take_as_many_queries_as_few(client: Client, name: str) -> None:
    sign_in(client, RoleKind.TREASURER)
    general, _ = books()
    spend(general, make_case(), 100)

    def count() -> int:
        with CaptureQueriesContext(connection) as queries:
            client.get(at("statement", name), SPAN)
        return len(queries)

    few = count()
    for number in range(3):
        other = make_fund(code=f"F{number}", name=f"fund {number}", restricted=True)
        spend(other, make_case(), 100)
    assert count() == few
