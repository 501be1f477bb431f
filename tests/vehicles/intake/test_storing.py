"""Photos as they are kept: cleaned, under a random name, deleted when they are taken away."""

from __future__ import annotations

import io
import os
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from django.conf import settings
from django.core.exceptions import ValidationError
from django.utils import timezone
from PIL import Image

from program.work import WORK
from shared.accounts.roles import RoleKind
from shared.jobs.runner import run_due
from shared.models import Event, Job
from tests.factories import make_intake, make_user
from tests.vehicles.intake.shots import begun, jpeg, kept, sent
from vehicles.intake.images import clean_photo
from vehicles.intake.keeping import append_piece
from vehicles.intake.queries import bytes_of, uploads_folder
from vehicles.intake.storing import (
    WAITS,
    describe_photo,
    open_photo,
    prepare_photo,
    sweep_uploads,
    void_photo,
)
from vehicles.models import Intake, Photo, Upload

if TYPE_CHECKING:
    from shared.models import User

pytestmark = pytest.mark.django_db


@pytest.fixture
def stay() -> Intake:
    return make_intake()


@pytest.fixture
def technician(stay: Intake) -> User:
    return make_user(RoleKind.TECHNICIAN)


def stored() -> list[Path]:
    return sorted(path for path in Path(settings.MEDIA_ROOT).rglob("*") if path.is_file())


def test_a_photo_is_kept_clean_with_its_thumbnail(stay: Intake, technician: User) -> None:
    photo = kept(stay, technician)
    clean = clean_photo(jpeg())
    assert open_photo(photo, thumb=False) == clean.jpeg
    assert open_photo(photo, thumb=True) == clean.thumb
    assert (photo.width, photo.height, photo.size) == (64, 48, len(clean.jpeg))
    assert (photo.intake, photo.about, photo.key, photo.by) == (
        stay,
        "walk_round",
        "LF",
        technician,
    )


def test_the_files_are_the_owners_alone_and_their_name_says_nothing(
    stay: Intake, technician: User
) -> None:
    photo = kept(stay, technician)
    assert [path.stat().st_mode & 0o777 for path in stored()] == [0o600, 0o600]
    assert str(Upload.objects.get().client_key) not in photo.name
    assert len(Path(photo.name).stem) == 40


@pytest.mark.django_db(transaction=True)
def test_the_bytes_that_came_are_deleted_once_the_photo_is_kept(
    stay: Intake, technician: User
) -> None:
    kept(stay, technician)
    assert list(uploads_folder().iterdir()) == []


@pytest.mark.django_db(transaction=True)
@pytest.mark.parametrize(
    ("data", "because"),
    [
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "This file is not a photo"),
        (jpeg()[:300], "The photo is damaged, or only a part of it arrived."),
        (b"MZ" + jpeg(), "This file is not a photo"),
    ],
    ids=["disguised", "cut off", "a program before the photo"],
)
def test_what_is_no_photo_is_refused_with_the_sentence(
    stay: Intake, technician: User, data: bytes, because: str
) -> None:
    upload = sent(stay, technician, data)
    run_due(WORK)
    upload.refresh_from_db()
    assert upload.refused_because.startswith(because)
    assert (Photo.objects.count(), stored(), list(uploads_folder().iterdir())) == (0, [], [])


@pytest.mark.django_db(transaction=True)
def test_a_bomb_is_refused_before_it_is_opened(stay: Intake, technician: User) -> None:
    packed = io.BytesIO()
    Image.new("1", (9000, 9000)).save(packed, "PNG")
    upload = sent(stay, technician, packed.getvalue())
    run_due(WORK)
    upload.refresh_from_db()
    assert upload.refused_because.startswith("The photo claims too many dots and is not opened")


def test_a_photo_whose_bytes_were_lost_is_refused(stay: Intake, technician: User) -> None:
    upload = sent(stay, technician, jpeg())
    bytes_of(upload).unlink()
    run_due(WORK)
    upload.refresh_from_db()
    assert upload.refused_because == "The photo did not arrive whole. Send it again."


def test_a_job_killed_before_it_wrote_leaves_nothing_behind(stay: Intake, technician: User) -> None:
    """The same name at each try: what the killed one stored is overwritten, not left."""
    upload = sent(stay, technician, jpeg())
    payload = {"upload": upload.pk}
    assert prepare_photo(payload, stay.program) is not None  # killed before the write
    assert len(stored()) == 2
    write = prepare_photo(payload, stay.program)
    assert write is not None
    write()
    photo = Photo.objects.get()
    assert [path.name for path in stored()] == [
        Path(photo.name).stem + "-thumb.jpg",
        Path(photo.name).name,
    ]
    assert prepare_photo(payload, stay.program) is None


def test_a_caption_is_written_and_logged_without_its_words(stay: Intake, technician: User) -> None:
    photo = kept(stay, technician)
    describe_photo(photo=photo, caption="Dent in the fender", by=technician)
    assert str(Photo.objects.get()) == "Dent in the fender"
    event = Event.objects.filter(kind="photo").latest("pk")
    assert (event.what, event.fields, event.by) == ("Caption written.", ["caption"], technician)


@pytest.mark.django_db(transaction=True)
def test_a_photo_taken_away_keeps_its_row_and_loses_its_files(
    stay: Intake, technician: User
) -> None:
    photo = kept(stay, technician)
    void_photo(photo=photo, because="Shows a face", by=technician)
    photo.refresh_from_db()
    assert (photo.voided_because, photo.voided_at is None, stored()) == ("Shows a face", False, [])
    event = Event.objects.filter(kind="photo").latest("pk")
    assert (event.what, event.reason) == ("Photo taken away.", "Shows a face")
    with pytest.raises(FileNotFoundError):
        open_photo(photo, thumb=True)


def test_a_photo_is_taken_away_with_a_reason(stay: Intake, technician: User) -> None:
    """By the constraint `photo_void_has_reason`."""
    photo = kept(stay, technician)
    with pytest.raises(ValidationError, match="A photo is taken away with a reason"):
        void_photo(photo=photo, because=" ", by=technician)
    assert len(stored()) == 2


def test_a_photo_is_taken_away_once(stay: Intake, technician: User) -> None:
    photo = kept(stay, technician)
    void_photo(photo=photo, because="Wrong car", by=technician)
    with pytest.raises(ValidationError, match="taken away before"):
        void_photo(photo=photo, because="Another reason", by=technician)
    with pytest.raises(ValidationError, match="taken away before"):
        describe_photo(photo=photo, caption="Dent", by=technician)


def age(upload: Upload) -> None:
    """Let an upload have begun more than a day ago."""
    begun_at = timezone.now() - WAITS * 1.01
    Upload.objects.filter(pk=upload.pk).update(begun_at=begun_at)
    os.utime(bytes_of(upload), (begun_at.timestamp(), begun_at.timestamp()))


def test_what_waits_for_more_than_a_day_is_swept(stay: Intake, technician: User) -> None:
    late, young = begun(stay, technician, 99), begun(stay, technician, 99)
    for upload in (late, young):
        append_piece(upload=upload, offset=0, piece=b"half of it")
    age(late)
    sweep_uploads({}, stay.program)
    assert list(uploads_folder().iterdir()) == [bytes_of(young)]
    assert list(Upload.objects.values_list("refused_because", flat=True)) == [
        "It did not arrive within a day.",
        "",
    ]


def test_sweeping_leaves_kept_photos_and_deletes_again_what_was_taken_away(
    stay: Intake, technician: User
) -> None:
    """The files of one taken away are there still when the process died before it deleted them."""
    kept(stay, technician)
    away = kept(stay, technician, tone=30)
    void_photo(photo=away, because="Wrong car", by=technician)
    assert len(stored()) == 4  # this test commits nothing
    sweep_uploads({}, stay.program)
    assert len(stored()) == 2
    assert not Job.objects.exclude(error="").exists()
