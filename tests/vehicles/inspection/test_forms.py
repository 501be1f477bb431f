"""What is typed for one point."""

from __future__ import annotations

from uuid import uuid4

import pytest

from shared.forms import UnitField
from tests.factories import make_reading
from vehicles.inspection.asking import range_of
from vehicles.inspection.catalogue import load
from vehicles.inspection.forms import ReadingForm
from vehicles.inspection.points import Point
from vehicles.inspection.reading import Typed


def point(code: str, position: str = "") -> Point:
    return Point(criterion=load()[code], position=position)


@pytest.mark.parametrize(
    ("code", "words"),
    [
        ("tire-tread", "0 to 24/32 in, or 0 to 19.05 mm"),
        ("tire-pressure", "0 to 100%"),
        ("battery-voltage", "0 to 18 V"),
    ],
)
def test_the_range_is_said_in_each_unit_offered(code: str, words: str) -> None:
    assert range_of(load()[code]) == words


def test_a_number_brings_up_the_number_pad_and_a_switch_of_units() -> None:
    form = ReadingForm(point=point("tire-tread", "RR"))
    assert form.fields["value"].widget.attrs["inputmode"] == "decimal"
    assert [choice.choice_label for choice in form["unit"]] == [
        "32nds of an inch",
        "millimeters",
    ]


def test_a_number_with_one_unit_has_no_switch() -> None:
    assert "unit" not in ReadingForm(point=point("battery-voltage")).fields


def test_what_is_looked_at_has_its_reasons_each_with_its_class() -> None:
    form = ReadingForm(point=point("stop-lamps", "left"))
    labels = [choice.choice_label for choice in form["value"]]
    assert "A stop lamp is out: major" in labels
    assert len(labels) == len(load()["stop-lamps"].reasons)


def test_good_is_taken_for_what_is_looked_at_and_not_for_a_number() -> None:
    assert ReadingForm({"value": "good"}, point=point("horn")).is_valid()
    form = ReadingForm(point=point("tire-tread", "LF"))
    assert isinstance(form.fields["value"], UnitField)


def test_a_reason_without_a_class_stands_alone() -> None:
    code, reason = next(
        (one.code, reason)
        for one in load().criteria.values()
        for reason in one.reasons
        if reason.ranks_as == "none" and not one.is_measured
    )
    labels = [choice.choice_label for choice in ReadingForm(point=point(code))["value"]]
    assert reason.text in labels


def test_what_is_typed_goes_to_the_action_as_it_stands() -> None:
    key = uuid4()
    sent = {"value": "1.6", "unit": "mm", "seen_id": "7", "client_key": str(key)}
    form = ReadingForm(sent, point=point("tire-tread", "RR"))
    assert form.is_valid()
    assert form.typed() == Typed(
        criterion="tire-tread",
        position="RR",
        value="1.6",
        unit="mm",
        seen_id=7,
        client_key=key,
    )


def test_a_limit_marked_on_the_part_is_typed_with_the_reading() -> None:
    sent = {"value": "22.4", "marked": "23", "unit": "mm"}
    form = ReadingForm(sent, point=point("brake-rotor", "LF"))
    assert form.is_valid()
    assert (form.typed().value, form.typed().unit) == ("22.4 min 23", "mm")


@pytest.mark.parametrize(
    ("code", "sent", "errors"),
    [
        ("horn", {"value": "7.7 z"}, {"value": ["“7.7 z” is not an answer here."]}),
        ("horn", {}, {"value": ["Horn: an answer is missing."]}),
        (
            "brake-rotor",
            {"value": "22"},
            {"marked": ["Minimum marked on the part: an answer is missing."]},
        ),
    ],
)
def test_what_is_missing_or_no_answer_is_said(
    code: str, sent: dict[str, str], errors: dict[str, list[str]]
) -> None:
    assert ReadingForm(sent, point=point(code)).errors == errors


@pytest.mark.django_db
def test_shown_again_it_names_the_reading_that_stands_now() -> None:
    reading = make_reading(criterion="tire-tread", position="LF")
    read = Point(criterion=load()["tire-tread"], position="LF", reading=reading)
    assert ReadingForm(point=read)["seen_id"].value() == reading.pk
    form = ReadingForm({"value": "3", "seen_id": ""}, point=point("tire-tread", "LF"))
    form.show_again(read)
    assert (form["seen_id"].value(), form["value"].value()) == (str(reading.pk), "3")
    form.show_again(point("tire-tread", "LF"))
    assert form["seen_id"].value() == ""
