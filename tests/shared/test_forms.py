"""The base form: what is typed becomes the arguments of an action, a refusal finds its field."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import Any

import pytest
from django import forms
from django.core.exceptions import ValidationError
from hypothesis import given
from hypothesis import strategies as st

from shared.forms import (
    CostField,
    DateField,
    Form,
    KeyField,
    MoneyField,
    UnitField,
    VersionField,
    WholeField,
)
from shared.money import dollars
from tests.shared.pages import tidy

GOOD = {"amount": "$98.20", "tread": "1", "count": "2", "day": "12/1/2026", "payer": "fund"}


class GiftForm(Form):
    client_key = KeyField()
    version = VersionField(required=False)
    amount = MoneyField(label="Amount", least=1, help_text="Dollars and cents")
    tread = UnitField(label="Tread depth", unit="/32 in")
    count = WholeField(label="How many", unit="radiators", least=1, most=20)
    day = DateField(label="By when")
    payer = forms.ChoiceField(
        label="Who pays",
        choices=[("fund", "A fund"), ("household", "The household")],
        widget=forms.RadioSelect,
    )
    told = forms.BooleanField(label="The household was told", required=False)


def form(**fields: Any) -> GiftForm:
    return GiftForm(GOOD | fields)


def drawn(of: GiftForm) -> str:
    return tidy(str(of))


def test_what_is_typed_is_cleaned_to_cents_numbers_and_days() -> None:
    gift = form()
    assert gift.is_valid()
    assert {name: gift.cleaned_data[name] for name in ("amount", "tread", "count", "day")} == {
        "amount": 9820,
        "tread": "1",
        "count": 2,
        "day": dt.date(2026, 12, 1),
    }


def test_a_day_that_has_not_come_is_refused_where_facts_are_recorded() -> None:
    gift = form(day="12/2/2026")
    gift.fields["day"].latest = dt.date(2026, 12, 1)  # type: ignore[attr-defined]  # a day
    assert gift.errors["day"] == ["Wednesday, December 2, 2026, has not come yet."]


def test_a_cost_that_only_a_slip_can_mean_is_refused() -> None:
    assert CostField().clean("100,000.00") == 100_000_00
    with pytest.raises(ValidationError) as refused:
        CostField().clean("1000000000")
    assert refused.value.messages == ["$1,000,000,000.00 is too much. Type at most $100,000.00."]


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("amount", "12.345", "“12.345” is not an amount. Type dollars and cents, such as 1240.50."),
        ("amount", "0.00", "$0.00 is too little. Type at least $0.01."),
        ("count", "0", "“0” is not possible. Type a whole number from 1 to 20."),
        ("count", "21", "“21” is not possible. Type a whole number from 1 to 20."),
        ("count", "two", "“two” is not possible. Type a whole number from 1 to 20."),
        ("count", "²", "“²” is not possible. Type a whole number from 1 to 20."),
        ("count", "9" * 5000, "This is 5000 characters long. Type at most 30 characters."),
        ("amount", "9" * 5000, "This is 5000 characters long. Type at most 30 characters."),
        ("amount", "1\0", "A character in it can’t be kept. Type it anew."),
        ("payer", "bank", "Who pays: choose one of the answers offered."),
        ("client_key", "1", "This page is out of date. Open it again."),
        ("version", "x", "This page is out of date. Open it again."),
        ("day", "9999-12-31", "“9999-12-31” lies outside the years 1900 to 2099."),
        ("day", "2026-02-30", "“2026-02-30” is not a date. Type 2026-12-01 or 12/1/2026."),
        ("amount", "", "Amount: an answer is missing."),
        ("payer", "", "Who pays: an answer is missing."),
    ],
)
def test_a_wrong_answer_is_refused_in_a_sentence(field: str, typed: str, sentence: str) -> None:
    gift = form(**{field: typed})
    assert not gift.is_valid()
    assert gift.errors == {field: [sentence]}


def test_perform_hands_the_fields_and_more_to_the_action() -> None:
    gift = form()
    assert gift.is_valid()
    seen = gift.perform(lambda **given: given, by="Imke", tread="2")
    assert seen is not None
    assert (seen["amount"], seen["by"], seen["tread"]) == (9820, "Imke", "2")


def test_a_refusal_stands_beside_its_field_and_on_top_without_one() -> None:
    def refuse(**_: object) -> object:
        raise ValidationError({"amount": "The fund has $4.00 free.", "fund": "The fund is closed."})

    gift = form()
    assert gift.is_valid()
    assert gift.perform(refuse) is None
    assert gift.errors["amount"] == ["The fund has $4.00 free."]
    assert gift.non_field_errors() == ["The fund is closed."]
    assert gift.faults == [
        {"id": "", "sentence": "The fund is closed."},
        {"id": "id_amount", "sentence": "The fund has $4.00 free."},
    ]


def test_a_plain_refusal_stands_on_top() -> None:
    gift = form()
    assert gift.is_valid()
    gift.refuse(ValidationError("Somebody else changed this case at 9:38."))
    assert gift.non_field_errors() == ["Somebody else changed this case at 9:38."]


def test_a_field_is_drawn_with_label_hint_error_and_unit() -> None:
    html = drawn(form(amount="x"))
    assert '<label for="id_amount">Amount</label>' in html
    assert '<span class="hint" id="id_amount_helptext">Dollars and cents</span>' in html
    assert 'aria-describedby="id_amount_helptext id_amount_error"' in html
    assert 'inputmode="decimal"' in html
    assert "<span>/32 in</span>" in html
    assert 'type="number"' not in html


def test_the_summary_counts_in_words_and_links_to_the_fields() -> None:
    html = drawn(form(amount="x", payer=""))
    assert '<h3 id="errors-title">Two things to put right</h3>' in html
    assert '<a href="#id_amount">' in html
    assert '<a href="#id_payer_0">' in html
    assert "errors-title" not in drawn(form())


def test_what_was_typed_stays() -> None:
    assert 'value="40/32"' in drawn(form(amount="x", tread="40/32"))


def test_a_new_form_has_a_key_and_a_sent_one_keeps_it() -> None:
    key = uuid.uuid4()
    gift = form(client_key=str(key))
    assert gift.is_valid()
    assert gift.cleaned_data["client_key"] == key
    assert GiftForm()["client_key"].value() != GiftForm()["client_key"].value()


def test_a_form_sent_without_its_key_gets_one() -> None:
    gift = form()
    assert gift.is_valid()
    assert isinstance(gift.cleaned_data["client_key"], uuid.UUID)


def test_a_sentence_of_its_own_for_a_missing_answer_is_kept() -> None:
    class OwnForm(Form):
        name = forms.CharField(error_messages={"required": "Say who brought it."})

    assert OwnForm({}).errors == {"name": ["Say who brought it."]}


@given(st.integers(min_value=0, max_value=10**9))
def test_an_amount_shown_and_sent_back_is_the_same(amount: int) -> None:
    assert MoneyField().clean(dollars(amount)) == amount
