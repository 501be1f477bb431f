"""What the forms of bank statements take."""

from __future__ import annotations

import base64
from typing import Any

import pytest
from django.http import QueryDict

from program.bank.forms import BookForm, CheckForm, FinishForm, as_initial, sent_again
from program.bank.layout import Hold, Layout, guess
from program.bank.statement_file import read_table
from program.bank.values import DayOrder
from tests.factories import make_fund
from tests.program.bank.banking import general, line_of, statement, uploaded


def posted(**fields: str) -> QueryDict:
    data = QueryDict(mutable=True)
    data.update(fields)
    return data


def test_the_file_comes_back_as_it_was_sent() -> None:
    upload = uploaded()
    content = base64.b64encode(upload.content).decode()
    assert sent_again(posted(account="1010", name="october.csv", content=content)) == upload


@pytest.mark.parametrize(("account", "content"), [("4010", "YQ=="), ("1010", ""), ("1010", "%")])
def test_a_file_that_did_not_come_whole_is_none(account: str, content: str) -> None:
    assert sent_again(posted(account=account, content=content)) is None


def test_a_layout_comes_back_from_the_form_that_began_with_it() -> None:
    upload = uploaded()
    table = read_table(upload.content)
    layout = guess(table)
    start = {name: str(value) for name, value in as_initial(layout, table.headings).items()}
    form = CheckForm(posted(**start | {"flipped": ""}), upload=upload, table=table)
    assert form.typed_layout == layout


def test_a_made_up_choice_holds_nothing() -> None:
    upload = uploaded()
    table = read_table(upload.content)
    form = CheckForm(posted(hold_0="secret", days="never"), upload=upload, table=table)
    assert form.typed_layout == Layout(
        columns=dict.fromkeys(table.headings, Hold.NOTHING), days=DayOrder.YEAR_FIRST
    )


@pytest.mark.django_db
def test_a_line_offers_the_accounts_of_its_side_and_open_funds_without_restriction() -> None:
    plain = general()
    make_fund(code="PRU", restricted=True)
    row = statement()
    fields: list[dict[str, Any]] = [
        dict(BookForm(line=line_of(row, cents)).fields) for cents in (-15_00, 400_00)
    ]
    out, came = fields
    codes = {code for code, _ in out["account"].choices}
    assert {"7030", "2010"} <= codes
    assert not codes & {"1010", "1020", "4010", "9010", "6020"}
    codes = {code for code, _ in came["account"].choices}
    assert {"4010", "5040"} <= codes
    assert not codes & {"7030", "4110"}
    assert list(out["fund"].queryset) == [plain]


@pytest.mark.django_db
def test_a_note_is_asked_for_only_where_the_sides_differ() -> None:
    row = statement()
    ready, open_yet = (FinishForm(statement=row, ready=ready) for ready in (True, False))
    assert (ready["note"].is_hidden, ready.fields["note"].required) == (True, False)
    assert (open_yet["note"].is_hidden, open_yet.fields["note"].required) == (False, True)
