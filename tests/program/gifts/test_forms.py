"""What is typed about a gift fits one fund and one condition, or is told why not."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING, Any

import pytest

from program.gifts.forms import (
    ACCOUNTS,
    AcceptForm,
    EditOfferForm,
    MeetForm,
    NewOfferForm,
    ReceiveForm,
    RefuseForm,
)
from tests.factories import TODAY, make_fund, make_program, make_sponsor, make_user

if TYPE_CHECKING:
    from shared.accounts.models import User

TYPED = {
    "giver": "Moss Lane Grange",
    "cents": "600.00",
    "income": "4020",
    "on": "2026-11-30",
    "terms": "Tires for people who drive to work.",
    "fund_name": "Moss Lane gift",
    "arrived": "on",
}
AHEAD = "Tuesday, December 1, 2026, has not come yet."


def offer_form(user: User | None = None, **typed: Any) -> NewOfferForm:
    return NewOfferForm(TYPED | typed, user=user or make_user(), today=TODAY)


@pytest.mark.django_db
def test_a_gift_is_read_in_cents_and_days_and_gets_a_key_of_its_own() -> None:
    form = offer_form(lapses_on="6/30/2027")
    assert form.is_valid()
    cleaned = form.cleaned_data
    assert (cleaned["cents"], cleaned["on"]) == (60_000, TODAY)
    assert (cleaned["lapses_on"], cleaned["fund"]) == (dt.date(2027, 6, 30), None)
    assert (cleaned["arrived"], cleaned["returns"]) == (True, False)
    assert isinstance(cleaned["client_key"], uuid.UUID)


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("typed", "name", "sentence"),
    [
        ({"fund_name": ""}, "fund_name", "Choose an open fund, or name a new one."),
        (
            {"fund_name": "Old Mill gift"},
            "fund_name",
            "The Old Mill gift is open already. Choose it above.",
        ),
        (
            {"fund_name": "x" * 81},
            "fund_name",
            "This is 81 characters long. Type at most 80 characters.",
        ),
        ({"lapses_on": "2026-11-29"}, "lapses_on", "This day lies before the gift was offered."),
        ({"returns": "on"}, "barrier", "Say what has to be reached."),
        ({"on": "2026-12-01"}, "on", AHEAD),
        ({"cents": "0"}, "cents", "$0.00 is too little. Type at least $0.01."),
        ({"giver": " "}, "giver", "Who gives: an answer is missing."),
        (
            {"income": "1010"},
            "income",
            "Income account: choose one of the answers offered.",
        ),
    ],
)
def test_what_can_not_be_a_gift_is_told_beside_its_field(
    typed: dict[str, Any], name: str, sentence: str
) -> None:
    make_fund(name="Old Mill gift")
    assert offer_form(**typed).errors == {name: [sentence]}


@pytest.mark.django_db
def test_a_gift_goes_to_one_fund_and_an_open_fund_has_its_own_day() -> None:
    fund = str(make_fund().pk)
    assert offer_form(fund=fund).errors == {
        "fund_name": ["Choose an open fund, or name a new one."]
    }
    assert offer_form(fund=fund, fund_name="", lapses_on="2027-06-30").errors == {
        "lapses_on": ["An open fund has its own day."]
    }
    assert offer_form(fund=fund, fund_name="").is_valid()


@pytest.mark.django_db
def test_a_condition_without_a_return_may_be_written_down() -> None:
    assert offer_form(barrier="Ten cars by June.").is_valid()
    assert offer_form(barrier="Ten cars by June.", returns="on").is_valid()


@pytest.mark.django_db
def test_only_open_funds_and_standing_sponsors_of_the_program_are_offered() -> None:
    user, other = make_user(), make_program(name="Other garage")
    fund, sponsor = make_fund(), make_sponsor()
    make_fund(closed_on="2026-06-30")
    make_fund(program=other)
    make_sponsor(ended_on="2026-06-30")
    make_sponsor(program=other)
    form = offer_form(user)
    fields: dict[str, Any] = form.fields
    assert list(fields["fund"].queryset) == [fund]
    assert list(fields["sponsor"].queryset) == [sponsor]


def test_a_gift_is_booked_as_one_of_the_incomes_by_their_names() -> None:
    assert [code for code, _ in ACCOUNTS] == ["4010", "4020", "4030"]
    assert all(words.startswith(f"{code} ") and words != f"{code} " for code, words in ACCOUNTS)


@pytest.mark.django_db
def test_a_gift_that_is_changed_needs_the_version_that_was_seen() -> None:
    user = make_user()
    assert list(EditOfferForm(TYPED, user=user, today=TODAY).errors) == ["version"]
    form = EditOfferForm(TYPED | {"version": "2"}, user=user, today=TODAY)
    assert form.is_valid()
    assert (form.cleaned_data["version"], "client_key" in form.fields) == (2, False)


@pytest.mark.parametrize("form", [ReceiveForm, AcceptForm, MeetForm])
def test_nothing_is_booked_on_a_day_that_lies_ahead(form: type[ReceiveForm]) -> None:
    typed = {"on": "2026-12-01", "reason": "It fits.", "version": "1"}
    assert form(typed, today=TODAY).errors == {"on": [AHEAD]}
    assert form(typed | {"on": "2026-11-30"}, today=TODAY).is_valid()


@pytest.mark.parametrize(
    ("form", "sentences"),
    [
        (ReceiveForm, {"on": ["The money came on: an answer is missing."]}),
        (
            AcceptForm,
            {
                "on": ["Booked on: an answer is missing."],
                "reason": ["Why it is accepted: an answer is missing."],
            },
        ),
        (
            MeetForm,
            {
                "on": ["Reached on: an answer is missing."],
                "reason": ["How that is known: an answer is missing."],
            },
        ),
    ],
)
def test_each_step_says_what_it_lacks(
    form: type[ReceiveForm], sentences: dict[str, list[str]]
) -> None:
    assert form({"version": "1"}, today=TODAY).errors == sentences


def test_a_refusal_says_why() -> None:
    assert RefuseForm({"version": "1"}).errors == {
        "reason": ["Why it is refused: an answer is missing."]
    }
    form = RefuseForm({"version": "1", "reason": "Too narrow."})
    assert form.is_valid()
    assert form.cleaned_data == {"reason": "Too narrow.", "version": 1}
