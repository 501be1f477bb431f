"""Putting papers behind entries."""

from __future__ import annotations

import hashlib
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction

from program.models import Paper
from program.papers.actions import add_paper
from program.papers.queries import open_paper
from shared.audit.models import Event
from tests.at_once import at_once
from tests.factories import make_entry, make_user
from tests.program.papers.files import PDF, photo_with_notes

if TYPE_CHECKING:
    from pytest_django import Settings

BILL = "Bill 4417 of Quayside Auto Parts"
TWICE = "This paper is behind this entry already."


def add(file: bytes = PDF, **fields: Any) -> Paper:
    defaults: dict[str, Any] = {"entry": make_entry(), "name": BILL, "file": file}
    return add_paper(**defaults | fields)


@pytest.mark.django_db
def test_a_paper_is_kept_with_its_fingerprint() -> None:
    paper = add(by=make_user())
    assert (paper.name, paper.kind, paper.size) == (BILL, "application/pdf", len(PDF))
    assert paper.sha256 == hashlib.sha256(PDF).hexdigest()
    assert open_paper(paper) == PDF
    line = Event.objects.about("entry", paper.entry_id)[0]
    assert line.what == "A paper was put behind the entry."


@pytest.mark.django_db
def test_the_fingerprint_is_of_what_is_kept() -> None:
    paper = add(photo_with_notes(), by=make_user())
    assert paper.sha256 == hashlib.sha256(open_paper(paper)).hexdigest()


@pytest.mark.django_db
def test_nobody_guesses_where_a_paper_lies(settings: Settings) -> None:
    entry, user = make_entry(), make_user()
    here = add(entry=entry, by=user).path
    assert here.startswith("papers/")
    assert hashlib.sha256(PDF).hexdigest()[:16] not in here
    settings.SECRET_KEY = "another"
    assert add(by=user).path != here


@pytest.mark.django_db
def test_the_same_paper_is_refused_behind_one_entry_and_taken_behind_another() -> None:
    entry, user = make_entry(), make_user()
    add(entry=entry, by=user)
    with pytest.raises(ValidationError) as refusal:
        add(entry=entry, by=user, name="Again")
    assert refusal.value.message_dict == {"file": [TWICE]}
    add(by=user)
    assert Paper.objects.count() == 2


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("fields", "refused"),
    [
        (
            {"file": PDF[:-8]},
            {"file": ["Only a part of the PDF arrived: its end is missing. Send it again."]},
        ),
        ({"name": "  "}, {"name": ["This field cannot be blank."]}),
    ],
)
def test_what_is_refused_leaves_no_file(
    fields: dict[str, Any], refused: dict[str, list[str]], settings: Settings
) -> None:
    with pytest.raises(ValidationError) as refusal:
        add(by=make_user(), **fields)
    assert refusal.value.message_dict == refused
    assert [*Path(settings.MEDIA_ROOT).rglob("*.pdf")] == []


@pytest.mark.django_db(transaction=True)
def test_two_who_send_the_same_paper_at_once_leave_one() -> None:
    entry, users = make_entry(), [make_user(), make_user()]
    calls = [partial(add, entry=entry, by=user) for user in users]
    assert at_once(*calls) == [TWICE]
    assert open_paper(Paper.objects.get()) == PDF


@pytest.mark.django_db
def test_a_storage_that_gives_a_kept_file_another_name_is_refused(
    settings: Settings, tmp_path: Path
) -> None:
    """What was cut short left its file; written again it must lie where the row will say."""
    plain = {"BACKEND": "django.core.files.storage.FileSystemStorage"}
    here = {"private": plain | {"OPTIONS": {"location": tmp_path}}}
    settings.STORAGES = settings.STORAGES | here
    entry, user = make_entry(), make_user()
    before = transaction.savepoint()
    add(entry=entry, by=user)
    transaction.savepoint_rollback(before)
    with pytest.raises(RuntimeError, match="The private storage must overwrite, but kept papers/"):
        add(entry=entry, by=user)
    assert Paper.objects.count() == 0
