"""Prices: what the database refuses."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.utils import timezone

from tests.factories import TODAY, make_item
from tests.refusals import assert_refused
from tests.vehicles.estimates.rows import make_quote
from tests.vehicles.rows import unsaved
from vehicles.models import Quote

pytestmark = pytest.mark.django_db

EVE = TODAY - dt.timedelta(days=1)


@pytest.mark.parametrize(
    ("rule", "fields", "sentence"),
    [
        (
            "quote_for_need_or_item",
            {"need": None},
            "A quote is for a part or for work done elsewhere.",
        ),
        ("quote_cents_not_negative", {"cents": -1}, "A price can't be negative."),
        ("quote_cents_not_negative", {"core_cents": -1}, "A price can't be negative."),
        (
            "quote_days_in_order",
            {"good_until_on": EVE},
            "A quote can't run out before it was given.",
        ),
        ("quote_paper_has_type", {"paper": b"%PDF-"}, "An attached paper is a PDF or a picture."),
        (
            "quote_paper_has_type",
            {"paper_type": "image/jpeg"},
            "An attached paper is a PDF or a picture.",
        ),
    ],
)
def test_a_price_is_possible(rule: str, fields: dict[str, Any], sentence: str) -> None:
    assert_refused(unsaved(make_quote(), client_key=uuid4(), **fields), rule, sentence)


@pytest.mark.parametrize(
    ("rule", "name"), [("quote_source_known", "source"), ("quote_condition_known", "condition")]
)
def test_source_and_condition_are_of_their_lists(rule: str, name: str) -> None:
    row = unsaved(make_quote(), client_key=uuid4(), **{name: "rumor"})
    sentences = {one.name: str(one.violation_error_message) for one in Quote._meta.constraints}
    assert_refused(row, rule, sentences[rule])


def test_one_price_of_a_need_is_chosen() -> None:
    chosen = make_quote(chosen_at=timezone.now())
    sentence = "Another price is chosen for this part."
    assert_refused(unsaved(chosen, client_key=uuid4()), "quote_one_chosen_a_need", sentence)


def test_one_price_of_work_elsewhere_is_chosen() -> None:
    chosen = make_quote(item=make_item(), chosen_at=timezone.now())
    sentence = "Another price is chosen for this work."
    assert_refused(unsaved(chosen, client_key=uuid4()), "quote_one_chosen_an_item", sentence)


def test_a_form_that_is_sent_twice_writes_one_price() -> None:
    sentence = "This quote is on record already."
    assert_refused(unsaved(make_quote()), "quote_written_once", sentence)


def test_a_price_is_called_by_its_place_and_day() -> None:
    assert str(make_quote()) == f"Quayside Auto Parts, {TODAY}"
