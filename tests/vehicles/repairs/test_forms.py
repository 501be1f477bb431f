"""Repair items as a technician writes them."""

from __future__ import annotations

import pytest

from tests.factories import TODAY, make_finding, make_intake, make_item
from vehicles.repairs.forms import AddItemForm, EditItemForm, FirstForm

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


def edited(**typed: str) -> EditItemForm:
    item = make_item(intake=make_intake(), access="wheels_front", access_minutes=10)
    make_item(intake=item.intake, title="Hose", access="wheels_front", access_minutes=15)
    return EditItemForm(
        SENT | {"version": str(item.version), "new-quantity": "1"} | typed, item=item
    )


def test_what_comes_off_rests_and_is_away_can_be_changed() -> None:
    form = edited(access="seat_driver", access_minutes="12", rest_minutes="60", outside_days="3")
    assert form.is_valid()
    names = ("access", "access_minutes", "rest_minutes", "outside_days")
    assert [form.cleaned_data[name] for name in names] == ["seat_driver", 12, 60, 3]


def test_left_empty_nothing_comes_off_rests_or_is_away() -> None:
    form = edited(access_minutes="12")
    assert form.is_valid()
    names = ("access", "access_minutes", "rest_minutes", "outside_days")
    assert [form.cleaned_data[name] for name in names] == ["", 0, 0, 0]


def test_what_comes_off_takes_minutes_and_is_on_the_list() -> None:
    assert edited(access="seat_driver").errors == {
        "access_minutes": ["Type how many minutes that takes."]
    }
    [refusal] = edited(access="roof", access_minutes="5").errors["access"]
    assert str(refusal) == "What comes off first: choose one of the answers offered."
    assert "outside_days" in edited(outside_days="61").errors


def test_the_form_says_what_else_the_same_comes_off_for() -> None:
    assert [str(one.sentence) for one in edited().shared] == [
        "The front wheels come off once for “Two front tires” and “Hose”: 10 minutes less."
    ]
