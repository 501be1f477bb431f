"""Reading a bank's file on the pages, and finding its lines in the books."""

from __future__ import annotations

import re
from datetime import date
from html import unescape
from typing import TYPE_CHECKING, Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from program.bank.actions import finish
from program.bank.statement_file import MOST_BYTES
from program.models import BankLayout, BankLine, BankMatch, BankStatement
from shared.accounts.roles import RoleKind
from tests.factories import make_program, make_user
from tests.program.bank.banking import OCTOBER, all_found, books, came, paid, statement
from tests.vehicles.pages import BACKEND, sign_in, words

if TYPE_CHECKING:
    from django.test import Client

    from program.models import Entry

pytestmark = pytest.mark.django_db
TREASURER = RoleKind.TREASURER
LIST, NEW, CHECK = "/money/bank/", "/money/bank/new/", "/money/bank/check/"


def sent(client: Client, content: bytes, account: str = "1010") -> Any:
    file = SimpleUploadedFile("october.csv", content)
    return client.post(NEW, {"account": account, "file": file})


def fields(response: Any) -> dict[str, str]:
    """Return what the form of a page holds, as a browser would send it."""
    form = response.context["form"]
    found = {bound.name: bound.value() for bound in form}
    return {
        name: value.isoformat() if hasattr(value, "isoformat") else str(value)
        for name, value in found.items()
        if value not in (None, False)
    }


def confirmed(client: Client, response: Any, **changed: str) -> Any:
    return client.post(CHECK, fields(response) | changed, follow=True)


def page(row: BankStatement, name: str = "statement_page") -> str:
    return reverse(f"bank:{name}", args=[row.pk])


def test_a_file_is_shown_before_anything_is_written(client: Client) -> None:
    sign_in(client, TREASURER)
    text = words(sent(client, OCTOBER.encode()))
    assert "4 lines: $400.00 in, $151.40 out. Nothing is written yet." in text
    assert "The columns are a guess" in text
    assert not BankStatement.objects.exists()


def test_a_confirmed_file_is_read_and_its_columns_are_remembered(client: Client) -> None:
    sign_in(client, TREASURER)
    response = confirmed(
        client, sent(client, OCTOBER.encode()), from_on="2026-10-01", until_on="2026-10-31"
    )
    assert "Read: 4 new lines to Saturday, October 31, 2026." in words(response)
    row = BankStatement.objects.get()
    assert (row.opening_cents, row.closing_cents, row.lines.count()) == (1000_00, 1248_60, 4)
    assert BankLayout.objects.get().columns["check number"] == "reference"


def test_the_second_file_of_an_account_follows_the_first(client: Client) -> None:
    sign_in(client, TREASURER)
    statement()
    later = "date,description,check number,amount,balance\n2026-11-02,DEPOSIT,,10.00,1258.60\n"
    response = sent(client, later.encode())
    assert "The columns are as they were last time." in words(response)
    start = fields(response)
    assert (start["from_on"], start["until_on"]) == ("2026-11-01", "2026-11-02")
    assert (start["opening"], start["closing"]) == ("1,248.60", "1,258.60")


def test_other_columns_are_looked_at_again_without_writing(client: Client) -> None:
    sign_in(client, TREASURER)
    response = confirmed(client, sent(client, OCTOBER.encode()), hold_3="nothing", again="yes")
    text = words(response)
    assert "No line can be read with these columns." in text
    assert not BankStatement.objects.exists()


def test_what_does_not_add_up_is_refused_by_how_much(client: Client) -> None:
    sign_in(client, TREASURER)
    response = confirmed(client, sent(client, OCTOBER.encode()), closing="1249.60")
    assert response.status_code == 422
    assert "make $1,248.60, $1.00 less than the closing balance of $1,249.60." in words(response)
    assert not BankLine.objects.exists()
    assert not BankLayout.objects.exists()


def test_the_same_form_sent_twice_reads_once(client: Client) -> None:
    sign_in(client, TREASURER)
    response = sent(client, OCTOBER.encode())
    for _ in range(2):
        assert confirmed(client, response).status_code == 200
    assert BankStatement.objects.count() == 1


def test_the_same_file_is_refused_at_the_door(client: Client) -> None:
    sign_in(client, TREASURER)
    statement()
    response = sent(client, OCTOBER.encode())
    assert response.status_code == 422
    assert "This file was read already: the statement to Saturday, October 31" in words(response)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty."),
        (b" \r\n", "The file is empty."),
        (b"PK\x03\x04rest", "The file is a spreadsheet or an archive, not CSV."),
        (b"date,amount\r\n", "The file has headings and no line below them."),
        (b"a,b\x00,c\n1,2,3\n", "The file is not text."),
        (b"x" * (MOST_BYTES + 1), "The file has 2.0 MB; 2 MB is the most."),
    ],
)
def test_a_file_that_is_none_is_refused(client: Client, content: bytes, sentence: str) -> None:
    sign_in(client, TREASURER)
    response = sent(client, content)
    assert response.status_code == 422
    assert sentence in words(response)


def test_a_form_without_its_file_leads_back(client: Client) -> None:
    sign_in(client, TREASURER)
    for content in ("", "%%%", "bm90IGEgdGFibGU="):
        response = client.post(CHECK, {"account": "1010", "content": content}, follow=True)
        assert "The file did not come along. Choose it once more." in words(response)


def test_the_lines_stand_with_their_proposals(client: Client) -> None:
    sign_in(client, TREASURER)
    books()
    text = words(client.get(page(statement())))
    assert "Four have no entry yet." in text
    assert "Accept the 2 sure ones" in text
    assert "2 entries add up to it exactly." in text


def accept_value(entry: Entry, line: BankLine) -> dict[str, str]:
    return {"line": f"{line.pk}:{entry.pk}"}


def test_the_sure_ones_are_accepted_in_one_go(client: Client) -> None:
    user = sign_in(client, TREASURER)
    books()
    row = statement()
    response = client.post(page(row, "match_sure"), follow=True)
    assert "2 lines accepted." in words(response)
    assert set(BankMatch.objects.values_list("by_id", flat=True)) == {user.pk}


def test_one_line_is_accepted_and_taken_back(client: Client) -> None:
    sign_in(client, TREASURER)
    entry = books()["pay"]
    row = statement()
    line = row.lines.get(cents=-100_00)
    client.post(page(row, "accept"), accept_value(entry, line))
    assert BankMatch.objects.get().reason == "The only entry of this amount, 1 day away."
    client.post(page(row, "undo"), {"line": str(line.pk)})
    assert BankMatch.objects.get().undone_at is not None


def test_an_entry_of_another_amount_is_not_accepted(client: Client) -> None:
    sign_in(client, TREASURER)
    entry = books()["late"]
    row = statement()
    line = row.lines.get(cents=-100_00)
    response = client.post(page(row, "accept"), accept_value(entry, line), follow=True)
    text = words(response)
    assert "The line is −$100.00, what was chosen adds up to −$64.00: $36.00 more." in text
    assert not BankMatch.objects.exists()


@pytest.mark.parametrize("value", ["", "x:1", "9" * 40 + ":1"])
def test_a_made_up_choice_is_not_found(client: Client, value: str) -> None:
    sign_in(client, TREASURER)
    row = statement()
    assert client.post(page(row, "accept"), {"line": value}).status_code == 404


def test_somebody_elses_statement_is_not_found(client: Client) -> None:
    row = statement()
    other = make_user(TREASURER, program=make_program(name="Other garage"))
    client.force_login(other, BACKEND)
    for name in ("statement_page", "reconciliation", "reconciliation_file"):
        assert client.get(page(row, name)).status_code == 404
    line = row.lines.earliest("pk").pk
    assert client.get(reverse("bank:line_page", args=[line])).status_code == 404
    assert client.post(page(row, "match_sure")).status_code == 404


def test_the_board_reads_and_decides_nothing(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    row = statement()
    assert "Accept" not in words(client.get(page(row)))
    assert client.get(NEW).status_code == 403
    assert client.post(page(row, "match_sure")).status_code == 403


def test_the_list_and_a_statement_take_as_many_queries_for_many_lines(client: Client) -> None:
    sign_in(client, TREASURER)
    row = statement()
    counts = []
    for _ in range(2):
        for address in (LIST, page(row)):
            client.get(address)
            with CaptureQueriesContext(connection) as few:
                client.get(address)
            counts.append(len(few))
        for entry in (came(400_00, row.until_on), *books().values()):
            assert entry.pk
    assert counts[0] == counts[2]
    assert counts[3] - counts[1] <= 2  # the entries that are proposed, and what reversed them


def test_words_of_the_bank_are_shown_as_they_are(client: Client) -> None:
    sign_in(client, TREASURER)
    text = "date,description,amount\n2026-10-02,<b>=1+1</b>,-1.00\n"
    response = confirmed(client, sent(client, text.encode()), opening="2.00", closing="1.00")
    assert "<b>=1+1</b>" in unescape(response.content.decode())
    assert not re.search(r"<b>=1\+1", response.content.decode())


def test_a_finished_statement_refuses_accepting_and_taking_back(client: Client) -> None:
    user = sign_in(client, TREASURER)
    there = books()
    row = statement()
    all_found(row, there)
    finish(statement=row, version=1, note="", by=user)
    line = str(row.lines.earliest("pk").pk)
    for name, sent in (("match_sure", {}), ("undo", {"line": line}), ("accept", {"line": line})):
        text = words(client.post(page(row, name), sent, follow=True))
        assert "This statement is finished. Open it again first." in text
    assert BankMatch.objects.filter(undone_at=None).count() == 5


def test_one_sure_line_is_accepted_in_the_singular(client: Client) -> None:
    sign_in(client, TREASURER)
    paid(100_00, date(2026, 10, 27), "Pay")
    row = statement()
    assert "Accept the sure one" in words(client.get(page(row)))
    assert "1 line accepted." in words(client.post(page(row, "match_sure"), follow=True))


def test_a_number_beyond_every_id_names_nothing(client: Client) -> None:
    sign_in(client, TREASURER)
    row = statement()
    line = row.lines.earliest("pk")
    address = reverse("bank:match", args=[line.pk])
    response = client.post(address, {"entries": ["9" * 30]})
    assert response.status_code == 422
    assert "An entry that was chosen is not open any more. Choose again." in words(response)
    assert client.post(page(row, "accept"), {"line": "9" * 30}).status_code == 404


def test_a_column_that_is_lacking_is_said_once_and_not_for_each_row(client: Client) -> None:
    sign_in(client, TREASURER)
    response = confirmed(client, sent(client, OCTOBER.encode()), hold_3="words", again="yes")
    text = words(response)
    assert "Say which column holds the amount, or which hold money in and money out." in text
    assert "No amount stands here" not in text


def test_a_cell_that_cannot_be_read_is_named_by_its_row_and_column(client: Client) -> None:
    sign_in(client, TREASURER)
    text = words(sent(client, OCTOBER.replace("400.00", "4OO.00").encode()))
    assert "3 lines: $0.00 in, $151.40 out." in text
    assert "Row 3, amount: “4OO.00” is not an amount in dollars and cents." in text
