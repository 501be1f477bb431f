"""What a form of photos makes of what is typed and sent."""

from __future__ import annotations

from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils.datastructures import MultiValueDict

from vehicles.intake.forms import BeginForm, PhotosForm, VoidForm
from vehicles.intake.keeping import Subject

ABOUT = {"about": "reading", "key": "tire-tread/LF"}


def files(count: int, content: bytes = b"x") -> MultiValueDict[str, Any]:
    sent = [SimpleUploadedFile(f"{number}.jpg", content) for number in range(count)]
    return MultiValueDict({"photos": sent})


def test_an_action_gets_the_subject_as_one_value() -> None:
    form = PhotosForm(ABOUT, files(2))
    assert form.is_valid()
    given = form.perform(lambda **arguments: arguments)
    assert given["subject"] == Subject(about="reading", key="tire-tread/LF")
    assert [one.name for one in given["photos"]] == ["0.jpg", "1.jpg"]
    assert given.keys() == {"subject", "photos"}


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        (files(0), "Photos: an answer is missing."),
        (files(1, b""), "This file is empty. Choose it again."),
        (files(11), "11 files came at once. Send up to 10."),
    ],
)
def test_photos_are_some_and_not_too_many(sent: MultiValueDict[str, Any], sentence: str) -> None:
    assert PhotosForm(ABOUT, sent).errors["photos"] == [sentence]


def test_a_photo_of_the_weather_is_refused() -> None:
    form = PhotosForm({"about": "weather"}, files(1))
    assert form.errors["about"] == ["About: choose one of the answers offered."]


def test_what_is_announced_has_a_key_and_a_size() -> None:
    form = BeginForm(ABOUT | {"client_key": "no key", "size": "0"})
    assert form.errors.keys() == {"client_key", "size"}


def test_a_photo_is_taken_away_with_a_reason() -> None:
    assert VoidForm({"because": " "}).errors["because"] == ["Reason: an answer is missing."]
