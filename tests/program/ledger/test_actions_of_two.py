"""A spend that waits for a second person, and the one who asked takes it back."""

from __future__ import annotations

from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from program.ledger.actions import Line, agree, book, decline, take_back
from program.models import Entry, Proposal
from tests.factories import TODAY, make_user
from tests.program.ledger.booking import CASH, fund_with

pytestmark = pytest.mark.django_db


def asked() -> Proposal:
    """Return a spend of $1,200.00 that waits."""
    line = Line(debit="1410", credit=CASH, cents=120_000, fund=fund_with(200_000))
    made = book(lines=[line], on=TODAY, what="A lift", key=uuid4(), fact=False, by=make_user())
    assert isinstance(made, Proposal)
    return made


def refusal(error: pytest.ExceptionInfo[ValidationError]) -> list[str]:
    return list(error.value.messages)


def test_the_one_who_asked_takes_it_back_and_nothing_is_booked() -> None:
    row = take_back(proposal=(made := asked()), reason=" Found a used one. ", by=made.by)
    assert (row.state, row.reason, row.decided_by) == ("withdrawn", "Found a used one.", None)
    assert row.decided_at is not None
    assert not Entry.objects.filter(key=row.key).exists()


def test_no_reason_is_asked_of_the_one_who_asked() -> None:
    made = asked()
    assert take_back(proposal=made, reason="", by=made.by).state == "withdrawn"


def test_only_the_one_who_asked_takes_it_back() -> None:
    made = asked()
    with pytest.raises(ValidationError) as error:
        take_back(proposal=made, reason="", by=make_user())
    assert refusal(error) == ["Only the one who asked takes it back. You can decline it."]
    made.refresh_from_db()
    assert made.state == "waiting"


def test_nobody_answers_what_was_taken_back() -> None:
    made = asked()
    take_back(proposal=made, reason="", by=made.by)
    for answer in (
        lambda: agree(proposal=made, by=make_user()),
        lambda: decline(proposal=made, reason="No.", by=make_user()),
        lambda: take_back(proposal=made, reason="", by=made.by),
    ):
        with pytest.raises(ValidationError) as error:
            answer()
        assert refusal(error) == [f"{made.by} took this back. Nothing was booked."]
    assert not Entry.objects.filter(key=made.key).exists()


def test_what_was_answered_is_not_taken_back() -> None:
    made = asked()
    agree(proposal=made, by=make_user())
    with pytest.raises(ValidationError) as error:
        take_back(proposal=made, reason="", by=made.by)
    assert refusal(error) == ["This was decided already."]


def test_somebody_without_a_program_books_nothing() -> None:
    line = Line(debit="6010", credit=CASH, cents=100, fund=fund_with(200_000))
    nobody = make_user()
    nobody.program = None
    with pytest.raises(ValidationError) as error:
        book(lines=[line], on=TODAY, what="Pads", key=uuid4(), fact=False, by=nobody)
    assert refusal(error) == ["Only somebody of a program can book."]
