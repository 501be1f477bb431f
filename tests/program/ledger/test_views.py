"""The pages of the books."""

from __future__ import annotations

import csv
from io import StringIO
from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from program.ledger.actions import Event, SetAside, set_aside
from program.models import Entry, Fund
from shared.accounts.roles import OFFICE, RoleKind
from tests.factories import (
    TODAY,
    make_case,
    make_entry,
    make_fund,
    make_item,
    make_program,
    make_user,
)
from tests.vehicles.pages import BACKEND, HTMX, sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db

MONEY, JOURNAL, NEW = "/money/", "/money/entries/", "/money/entries/new/"
STATEMENTS = "/money/statements/"
TREASURER = RoleKind.TREASURER
KEY = "0b5f8f0e-6d5a-4b0e-9d43-2f5c7f1f6a11"


def books() -> tuple[Fund, Fund]:
    """Return a general fund of $500.00 and a gift of $100.00, with three entries."""
    general = make_fund(code="GEN", name="general fund", purpose="Anything the program does.")
    gift = make_fund(
        code="PRU", name="Pruitt gift", restricted=True, rule={"systems": ["brakes", "tires"]}
    )
    make_entry(("1010", "4010", 60_000, general), what="Sunday collection", key="import:t-1")
    make_entry(("1010", "4010", 10_000, gift), what="Gift of R. Pruitt")
    make_entry(("6010", "1010", 10_000, general), what="Front pads")
    return general, gift


def put_aside(fund: Fund, cents: int) -> Entry:
    row = SetAside(fund=fund, case=make_case(), item_id=make_item().pk, cents=cents)
    event = Event(key="plan:1", on=TODAY, what="Set aside by plan 1")
    entry = set_aside(program=make_program(), event=event, rows=[row], by=make_user())
    assert entry is not None
    return entry


def typed(fund: Fund, **fields: str) -> dict[str, str]:
    """Return what a person typed to book one line of $25.00."""
    return {
        "on": "2026-11-30",
        "what": "Rags and gloves",
        "key": KEY,
        "debit_1": "6050",
        "credit_1": "1010",
        "fund_1": str(fund.pk),
        "amount_1": "25.00",
    } | fields


def page(entry: Entry, name: str = "entry_page") -> str:
    return reverse(f"ledger:{name}", args=[entry.pk])


# ---- funds ----


def test_the_funds_say_what_is_there_and_that_the_books_balance(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    put_aside(general, 20_000)
    text = words(client.get(MONEY))
    assert "$600.00 in two funds" in text
    assert "The books balance: $900.00 on both sides, from 4 transfers." in text
    assert "General fund Anything the program does. 500.00 200.00 300.00" in text
    assert "Pruitt gift It pays only for brakes or tires. 100.00 0.00 100.00" in text
    assert "Together 600.00 200.00 400.00" in text


def test_without_any_fund_the_page_says_so(client: Client) -> None:
    sign_in(client, TREASURER)
    text = words(client.get(MONEY))
    assert "$0.00 in no funds" in text
    assert "No fund has been opened." in text


def test_a_fund_that_lapses_or_closed_says_when(client: Client) -> None:
    sign_in(client, TREASURER)
    make_fund(name="winter collection", lapses_on="2027-03-31")
    make_fund(name="old gift", closed_on="2026-06-30")
    text = words(client.get(MONEY))
    assert "Lapses on Mar 31, 2027." in text
    assert "Closed on Jun 30, 2026." in text


def test_a_fund_shows_its_transfers_with_what_is_free_after_each(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    put_aside(general, 20_000)
    text = words(client.get(reverse("ledger:fund_page", args=[general.pk])))
    assert "General fund: $300.00 free" in text
    assert "$200.00 more is set aside for approved repairs." in text
    lines = ("−200.00 300.00", "−100.00 500.00", "600.00 600.00")
    places = [text.index(line) for line in lines]
    assert places == sorted(places)
    assert "Two front tires 200.00" in text


def test_a_fund_below_zero_says_what_to_do(client: Client) -> None:
    sign_in(client, TREASURER)
    fund = make_fund(name="general fund")
    make_entry(("6010", "1010", 500, fund))
    text = words(client.get(reverse("ledger:fund_page", args=[fund.pk])))
    assert "This fund is below zero. Cover it before anything new is promised from it." in text


# ---- the journal ----


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


# ---- one entry ----


def test_an_entry_shows_its_transfers_and_its_cause(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    text = words(client.get(page(Entry.objects.get(key="import:t-1"))))
    assert "Sunday collection Monday, November 30, 2026. An import of sheets." in text
    assert "1010 Checking account 4010 Gifts of money from people General fund" in text


def test_an_entry_is_reversed_with_a_reason_and_both_name_each_other(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    entry = Entry.objects.get(what="Front pads")
    response = client.post(page(entry, "entry_reverse"), {"reason": "Wrong fund."}, follow=True)
    written = Entry.objects.get(reverses=entry)
    text = words(response)
    assert f"Entry {entry.pk} is reversed by entry {written.pk}." in text
    assert f"It reverses entry {entry.pk}." in text
    text = words(client.get(page(entry)))
    assert f"Reversed by entry {written.pk}" in text
    assert "Wrong fund." in text
    assert "Reverse it" not in text


def test_a_reversal_without_a_reason_is_refused(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    entry = Entry.objects.get(what="Front pads")
    response = client.post(page(entry, "entry_reverse"))
    assert response.status_code == 422
    assert "Why: an answer is missing." in words(response)
    assert not Entry.objects.filter(reverses=entry).exists()


def test_a_second_reversal_is_refused(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    entry = Entry.objects.get(what="Front pads")
    client.post(page(entry, "entry_reverse"), {"reason": "Wrong fund."})
    response = client.post(page(entry, "entry_reverse"), {"reason": "Again."})
    assert response.status_code == 422
    assert Entry.objects.filter(reverses=entry).count() == 1


def test_money_of_a_plan_is_left_to_plans(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    text = words(client.get(page(put_aside(general, 100))))
    assert "A plan set this money aside or freed it. The next approved plan changes it." in text


# ---- booking ----


def test_an_entry_is_booked_as_it_was_typed(client: Client) -> None:
    user = sign_in(client, TREASURER)
    general, gift = books()
    more = {
        "debit_2": "6010",
        "credit_2": "1010",
        "fund_2": str(gift.pk),
        "amount_2": "$1.50",
        "memo_2": "clips",
    }
    response = client.post(NEW, typed(general, **more), follow=True)
    entry = Entry.objects.get(key=f"form:{KEY}")
    assert f"Booked as entry {entry.pk}." in words(response)
    assert (entry.what, entry.by) == ("Rags and gloves", user)
    rows = entry.transfers.order_by("pk").values_list("debit", "credit", "cents", "fund", "memo")
    assert list(rows) == [
        ("6050", "1010", 2_500, general.pk, ""),
        ("6010", "1010", 150, gift.pk, "clips"),
    ]


def test_an_overdraft_is_refused_with_the_sentence_and_keeps_what_was_typed(
    client: Client,
) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    response = client.post(NEW, typed(general, amount_1="640.00"))
    assert response.status_code == 422
    assert "The general fund has $500.00 free. This needs $640.00: $140.00 more." in words(response)
    assert 'value="640.00"' in response.content.decode()
    assert Entry.objects.count() == 3


def test_what_has_happened_anyway_is_booked(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    assert client.post(NEW, typed(general, amount_1="640.00", fact="on")).status_code == 302
    assert Entry.objects.filter(key=f"form:{KEY}").exists()


def test_a_form_sent_twice_books_once(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    client.post(NEW, typed(general))
    response = client.post(NEW, typed(general))
    assert "This was booked already." in words(response)
    assert Entry.objects.count() == 4


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"amount_1": ""}, "Amount: an answer is missing."),
        ({"amount_1": "0"}, "$0.00 is too little. Type at least $0.01."),
        ({"amount_1": "x"}, "“x” is not an amount. Type dollars and cents, such as 1240.50."),
        ({"on": "soon"}, "“soon” is not a date. Type 2026-12-01 or 12/1/2026."),
        ({"credit_1": "6050"}, "Account 6050 is on both sides."),
        ({"debit_2": "6010"}, "Line 2 lacks its amount."),
    ],
)
def test_a_line_that_can_not_be_is_refused(
    client: Client, fields: dict[str, str], sentence: str
) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    response = client.post(NEW, typed(general, **fields))
    assert response.status_code == 422
    assert sentence in words(response)
    assert Entry.objects.count() == 3


def test_another_programs_fund_can_not_be_chosen(client: Client) -> None:
    sign_in(client, TREASURER)
    other = make_fund(program=make_program(name="Other garage"))
    assert client.post(NEW, typed(other)).status_code == 422
    assert not Entry.objects.exists()


# ---- statements ----


def test_the_statements_tie(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    span = {"from_on": "2026-01-01", "until_on": "2026-12-31"}
    text = words(client.get(STATEMENTS, span))
    assert "They tie: debits and credits are $700.00 each" in text
    assert "net assets of $600.00 are the same by activities and by funds." in text
    assert "1010 Checking account 600.00 –" in text
    assert "Net assets at the end 500.00 100.00 600.00" in text
    assert "Together 0.00 700.00 100.00 0.00 600.00" in text


def test_a_span_starts_with_what_was_there(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    general, _ = books()
    make_entry(("1010", "4010", 1_000, general), on="2026-12-05", what="Later")
    text = words(client.get(STATEMENTS, {"from_on": "2026-12-01", "until_on": "2026-12-31"}))
    assert "Net assets at the start 500.00 100.00 600.00" in text
    assert "Change 10.00 0.00 10.00" in text


def test_days_in_the_wrong_order_are_refused(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    books()
    text = words(client.get(STATEMENTS, {"from_on": "2026-12-31", "until_on": "2026-01-01"}))
    assert "The last day lies before the first." in text


# ---- who ----


@pytest.mark.parametrize("role", list(RoleKind))
def test_the_office_reads_the_books_and_nobody_else(client: Client, role: RoleKind) -> None:
    general, _ = books()
    entry = Entry.objects.all()[0]
    sign_in(client, role)
    fund = reverse("ledger:fund_page", args=[general.pk])
    for url in (MONEY, JOURNAL, STATEMENTS, fund, page(entry)):
        assert client.get(url).status_code == (200 if role in OFFICE else 403)


@pytest.mark.parametrize("role", [RoleKind.BOARD, RoleKind.TECHNICIAN, RoleKind.SPONSOR])
def test_only_treasurer_and_coordinator_book(client: Client, role: RoleKind) -> None:
    general, _ = books()
    entry = Entry.objects.all()[0]
    sign_in(client, role)
    assert client.get(NEW).status_code == 403
    assert client.post(NEW, typed(general)).status_code == 403
    assert client.post(page(entry, "entry_reverse"), {"reason": "x"}).status_code == 403
    assert Entry.objects.count() == 3


def test_the_board_is_not_offered_what_it_may_not_do(client: Client) -> None:
    books()
    sign_in(client, RoleKind.BOARD)
    for url in (MONEY, JOURNAL, page(Entry.objects.all()[0])):
        text = words(client.get(url))
        assert "Book an entry" not in text
        assert "Reverse it" not in text


def test_strangers_sign_in_first(client: Client) -> None:
    for url in (MONEY, JOURNAL, NEW, STATEMENTS):
        assert client.get(url)["Location"].startswith("/accounts/")


def test_another_programs_books_are_not_there(client: Client) -> None:
    general, _ = books()
    entry = Entry.objects.all()[0]
    stranger = make_user(TREASURER, program=make_program(name="Other garage"))
    client.force_login(stranger, BACKEND)
    assert client.get(page(entry)).status_code == 404
    assert client.get(reverse("ledger:fund_page", args=[general.pk])).status_code == 404
    assert client.post(page(entry, "entry_reverse"), {"reason": "x"}).status_code == 404
    assert "Nothing has been booked." in words(client.get(JOURNAL))


@pytest.mark.parametrize("url", [MONEY, JOURNAL, STATEMENTS])
def test_a_page_takes_as_many_queries_for_many_entries_as_for_few(client: Client, url: str) -> None:
    sign_in(client, TREASURER)
    general, _ = books()

    def count() -> int:
        with CaptureQueriesContext(connection) as queries:
            client.get(url)
        return len(queries)

    few = count()
    for _ in range(4):
        make_entry(("6010", "1010", 100, general))
    assert count() == few
