"""Repair items as a technician writes them."""

from __future__ import annotations

import pytest

from tests.factories import TODAY, make_finding, make_intake, make_item
from vehicles.repairs.forms import AddItemForm, FirstForm

pytestmark = pytest.mark.django_db
SENT = {
    "title": "Front pads",
    "system": "brakes",
    "labor_low_minutes": "40",
    "labor_likely_minutes": "60",
    "labor_high_minutes": "1,200",
}


def test_what_is_typed_becomes_minutes_and_findings() -> None:
    finding = make_finding()
    form = AddItemForm(SENT | {"findings": [finding.pk]}, stay=finding.intake)
    assert form.is_valid()
    assert form.cleaned_data["labor_high_minutes"] == 1_200
    assert list(form.cleaned_data["findings"]) == [finding]


def test_without_an_open_finding_none_is_asked_for() -> None:
    finding = make_finding(cleared_on=TODAY)
    form = AddItemForm(SENT, stay=finding.intake)
    assert form.is_valid()
    assert ("findings" in form.fields, form.cleaned_data["findings"]) == (False, ())


def test_a_finding_of_another_car_is_no_choice() -> None:
    stay = make_finding().intake
    form = AddItemForm(SENT | {"findings": [make_finding().pk]}, stay=stay)
    assert form.errors == {"findings": ["This is not one of this car."]}


def test_what_is_missing_is_named() -> None:
    form = AddItemForm({"labor_low_minutes": "-5"}, stay=make_intake())
    assert form.errors["title"] == ["What is done: an answer is missing."]
    assert form.errors["system"] == ["System: an answer is missing."]
    assert form.errors["labor_low_minutes"] == [
        "“-5” is not possible. Type a whole number from 0 to 60,000."
    ]


def test_only_open_items_of_the_car_have_an_order() -> None:
    item = make_item()
    make_item(intake=item.intake, state="done", done_on=TODAY)
    make_item()
    form = FirstForm(stay=item.intake)
    labels = [str(choice.data["label"]) for choice in form["first"]]
    assert labels == ["", "Two front tires"]
    other = FirstForm({"first": make_item().pk, "item": item.pk}, stay=item.intake)
    assert other.errors == {"first": ["This is not one of this car."]}
