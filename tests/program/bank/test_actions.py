"""Finding entries on lines, booking from a line, finishing a statement."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError

from program.bank.actions import (
    Booking,
    book_bounced,
    book_line,
    finish,
    match_line,
    match_sure,
    reopen,
    undo_match,
)
from program.bank.queries import bank_state, book_cents, reconciled_until
from program.ledger.actions import reverse_by_hand
from program.models import BankLayout, BankMatch, BankStatement
from shared.models import Event
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.bank.banking import (
    DAYS,
    HEAD,
    LAST,
    OCTOBER,
    all_found,
    books,
    came,
    general,
    line_of,
    paid,
    statement,
)

if TYPE_CHECKING:
    from program.models import Entry

pytestmark = pytest.mark.django_db


def refusal(error: pytest.ExceptionInfo[ValidationError]) -> str:
    return " ".join(error.value.messages)


def test_sure_ones_are_found_with_their_reasons() -> None:
    there = books()
    row = statement()
    assert match_sure(statement=row, by=make_user()) == 2
    reasons = dict(BankMatch.objects.values_list("entry_id", "reason"))
    assert reasons == {
        there["check"].pk: "The same amount, and “1187” in both, 1 day away.",
        there["pay"].pk: "The only entry of this amount, 1 day away.",
    }
    assert match_sure(statement=row, by=make_user()) == 0


def test_a_line_may_be_several_entries_that_add_up() -> None:
    there = books()
    line = line_of(statement(), 400_00)
    found = match_line(line=line, entries=[there["share"], there["sunday"]], by=make_user())
    assert [match.entry for match in found] == [there["share"], there["sunday"]]


@pytest.mark.parametrize(
    ("names", "sentence"),
    [
        ([], "Choose at least one entry."),
        (["sunday"], "The line is $400.00, what was chosen adds up to $340.00: $60.00 less."),
        (["sunday", "sunday"], "An entry was chosen twice."),
    ],
)
def test_what_does_not_add_up_is_not_found(names: list[str], sentence: str) -> None:
    there = books()
    line = line_of(statement(), 400_00)
    with pytest.raises(ValidationError) as error:
        match_line(line=line, entries=[there[name] for name in names], by=make_user())
    assert refusal(error) == sentence


def test_a_line_and_an_entry_are_found_once() -> None:
    there = books()
    row = statement()
    line = line_of(row, -100_00)
    match_line(line=line, entries=[there["pay"]], by=make_user())
    with pytest.raises(ValidationError) as error:
        match_line(line=line, entries=[paid(100_00, LAST)], by=make_user())
    assert refusal(error) == "This line has its entry already. Undo that first."
    assert undo_match(line=line, by=make_user()) == 1
    match_line(line=line, entries=[there["pay"]], by=make_user())


def test_an_entry_of_another_account_moves_nothing_here() -> None:
    books()
    line = line_of(statement(), -15_00)
    with pytest.raises(ValidationError) as error:
        match_line(line=line, entries=[_savings()], by=make_user())
    assert refusal(error) == "An entry moves nothing on this account."


def _savings() -> Entry:

    return make_entry(("7030", "1020", 15_00, general()), on=LAST)


def test_a_fee_is_booked_from_its_line_and_found_at_once() -> None:
    books()
    line = line_of(statement(), -15_00)
    booking = Booking(account="7030", fund=general(), what="Bank fee")
    entry = book_line(line=line, booking=booking, by=make_user())
    transfer = entry.transfers.get()
    assert (transfer.debit, transfer.credit, transfer.cents) == ("7030", "1010", 15_00)
    assert (entry.key, entry.on) == (f"bank:{line.pk}", date(2026, 10, 30))
    assert line.matches.get().entry == entry


def test_a_line_is_booked_once() -> None:
    books()
    line = line_of(statement(), -15_00)
    booking = Booking(account="7030", fund=general(), what="Bank fee")
    book_line(line=line, booking=booking, by=make_user())
    with pytest.raises(ValidationError):
        book_line(line=line, booking=booking, by=make_user())
    assert book_cents(line.program, "1010", LAST) == 1000_00 - 36_40 + 400_00 - 164_00 - 15_00


def test_a_line_is_booked_anew_once_its_entry_was_undone_and_reversed() -> None:
    books()
    line = line_of(statement(), -15_00)
    booking = Booking(account="7020", fund=general(), what="Bank fee")
    keys = []
    for account in ("7020", "7010", "7030"):
        entry = book_line(line=line, booking=replace(booking, account=account), by=make_user())
        keys.append(entry.key)
        undo_match(line=line, by=make_user())
        reverse_by_hand(entry=entry, on=entry.on, reason="Wrong account.", by=make_user())
    assert keys == [f"bank:{line.pk}", f"bank:{line.pk}:2", f"bank:{line.pk}:3"]


def test_money_with_a_restriction_is_not_booked_from_a_line() -> None:
    books()
    gift = make_fund(code="PRU", restricted=True)
    booking = Booking(account="7030", fund=gift, what="Bank fee")
    with pytest.raises(ValidationError) as error:
        book_line(line=line_of(statement(), -15_00), booking=booking, by=make_user())
    assert "restriction is booked by the form of entries" in refusal(error)


def test_a_check_that_bounced_takes_the_gift_back_in_its_fund() -> None:
    gift = came(15_00, date(2026, 10, 20), "Gift by check")
    line = line_of(statement(), -15_00)
    entry = book_bounced(line=line, deposit=gift, by=make_user())
    transfer = entry.transfers.get()
    assert (transfer.debit, transfer.credit, transfer.fund) == ("4010", "1010", general())
    assert entry.reverses == gift
    assert line.matches.get().entry == entry
    assert book_cents(line.program, "1010", LAST) == 0


def test_only_a_deposit_of_its_amount_bounces() -> None:
    gift = came(16_00, date(2026, 10, 20), "Gift by check")
    with pytest.raises(ValidationError) as error:
        book_bounced(line=line_of(statement(), -15_00), deposit=gift, by=make_user())
    assert refusal(error) == "This line doesn’t take that deposit back."


def test_a_statement_at_zero_is_finished_and_nothing_on_it_is_undone() -> None:
    there = books()
    row = statement()
    all_found(row, there)
    done = finish(statement=row, version=row.version, note="", by=make_user())
    assert (done.differs_cents, done.note, done.version) == (0, "", 2)
    assert reconciled_until(row.program, "1010") == LAST
    line = line_of(row, -100_00)
    for act in (
        lambda: undo_match(line=line, by=make_user()),
        lambda: match_line(line=line, entries=[there["late"]], by=make_user()),
        lambda: match_sure(statement=row, by=make_user()),
    ):
        with pytest.raises(ValidationError) as error:
            act()
        assert refusal(error) == "This statement is finished. Open it again first."


def test_what_differs_is_finished_only_with_a_note() -> None:
    books()
    row = statement()
    with pytest.raises(ValidationError) as error:
        finish(statement=row, version=1, note=" ", by=make_user())
    assert refusal(error) == (
        "4 lines have no entry yet; with them both sides agree. Say why it is finished all the"
        " same."
    )
    done = finish(statement=row, version=1, note="Papers follow.", by=make_user())
    assert done.differs_cents == 0 - (400_00 - 36_40 - 100_00 - 15_00)
    state = bank_state(row.program, LAST)[0]
    assert (state.done, state.reconciled_until) == (False, LAST)
    assert "differing by −$248.60: Papers follow." in str(state.sentence)


def test_a_stale_page_finishes_nothing() -> None:
    books()
    row = statement()
    BankStatement.objects.filter(pk=row.pk).update(version=2)
    with pytest.raises(ValidationError) as error:
        finish(statement=row, version=1, note="Seen.", by=make_user())
    assert refusal(error) == "Somebody else changed this statement. Open the page again."


def test_statements_are_finished_in_order_and_opened_in_reverse() -> None:
    books()
    first = statement()
    november = HEAD + "2026-11-02,DEPOSIT,,10.00,1258.60\n"
    days = replace(
        DAYS,
        from_on=date(2026, 11, 1),
        until_on=date(2026, 11, 20),
        opening=1248_60,
        closing=1258_60,
    )
    second = statement(november, days)
    by = make_user()
    with pytest.raises(ValidationError) as error:
        finish(statement=second, version=1, note="Seen.", by=by)
    assert refusal(error) == "Finish the statement to Saturday, October 31, 2026 first."
    finish(statement=first, version=1, note="Seen.", by=by)
    finish(statement=second, version=1, note="Seen.", by=by)
    with pytest.raises(ValidationError) as error:
        reopen(statement=first, version=2, reason="A slip.", by=by)
    assert refusal(error) == "Open the statement to Friday, November 20, 2026 first."
    opened = reopen(statement=second, version=2, reason="A slip.", by=by)
    assert (opened.reconciled_at, opened.note, opened.version) == (None, "", 3)
    assert Event.objects.about("bankstatement", second.pk).first().reason == "A slip."  # type: ignore[union-attr]


def test_a_refused_file_leaves_nothing() -> None:
    with pytest.raises(ValidationError):
        statement(OCTOBER, replace(DAYS, closing=1))
    assert not BankStatement.objects.exists()
    assert not BankLayout.objects.exists()


def test_a_statement_of_today_is_refused() -> None:
    days = replace(DAYS, until_on=make_program().today())
    with pytest.raises(ValidationError) as error:
        statement(OCTOBER, days)
    assert refusal(error) == "A statement ends on a day that is over; ask the bank up to yesterday."


def test_taking_back_what_was_never_found_is_not_logged() -> None:
    books()
    row = statement()
    line = line_of(row, -100_00)
    assert undo_match(line=line, by=make_user()) == 0
    assert not Event.objects.about("bankline", line.pk).exists()
    match_sure(statement=row, by=make_user())
    assert undo_match(line=line, by=make_user()) == 1
    assert Event.objects.about("bankline", line.pk)[0].what == (
        "What a line of the bank is was taken back."
    )


def test_how_many_lines_were_found_is_logged_once() -> None:
    books()
    row = statement()
    for _ in range(2):
        match_sure(statement=row, by=make_user())
    said = [event.what for event in Event.objects.about("bankstatement", row.pk)]
    assert said == [
        "Lines of the bank found in the books: 2.",
        "A bank statement was read. New lines: 4.",
    ]


def test_an_open_statement_and_one_without_a_reason_are_not_opened() -> None:
    books()
    row = statement()
    for reason, sentence in (
        (" ", "Say why it is opened again."),
        ("A slip.", "This statement is open."),
    ):
        with pytest.raises(ValidationError) as error:
            reopen(statement=row, version=1, reason=reason, by=make_user())
        assert refusal(error) == sentence
    row.refresh_from_db()
    assert row.version == 1
