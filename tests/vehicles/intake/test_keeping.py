"""Photos on their way: what half an upload, a wrong offset or a killed process leaves."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile

from shared.accounts.roles import RoleKind
from shared.models import Job
from tests.factories import TODAY, make_intake, make_user
from tests.vehicles.intake.shots import WALK, begun, jpeg, kept, sent
from vehicles.intake import keeping
from vehicles.intake.keeping import Subject, append_piece, receive_photos
from vehicles.intake.queries import bytes_of, offset_of
from vehicles.models import Intake, Upload

if TYPE_CHECKING:
    from shared.models import User

pytestmark = pytest.mark.django_db
PHOTO = jpeg()
HALF = len(PHOTO) // 2


@pytest.fixture
def stay() -> Intake:
    return make_intake()


@pytest.fixture
def technician(stay: Intake) -> User:
    return make_user(RoleKind.TECHNICIAN)


def test_a_photo_comes_in_two_pieces(stay: Intake, technician: User) -> None:
    upload = begun(stay, technician, len(PHOTO))
    upload = append_piece(upload=upload, offset=0, piece=PHOTO[:HALF])
    assert (offset_of(upload), Job.objects.count()) == (HALF, 0)
    append_piece(upload=upload, offset=HALF, piece=PHOTO[HALF:])
    assert bytes_of(upload).read_bytes() == PHOTO
    assert [job.kind for job in Job.objects.all()] == ["prepare_photo"]


@pytest.mark.parametrize("offset", [0, HALF - 1, HALF + 1, len(PHOTO)])
def test_a_piece_from_elsewhere_is_answered_with_the_right_offset(
    stay: Intake, technician: User, offset: int
) -> None:
    upload = begun(stay, technician, len(PHOTO))
    append_piece(upload=upload, offset=0, piece=PHOTO[:HALF])
    with pytest.raises(keeping.WrongOffsetError) as refusal:
        append_piece(upload=upload, offset=offset, piece=b"x")
    assert refusal.value.right == HALF
    assert bytes_of(upload).read_bytes() == PHOTO[:HALF]


def test_more_than_announced_is_refused(stay: Intake, technician: User) -> None:
    upload = begun(stay, technician, 10)
    with pytest.raises(ValidationError, match="More came than the 10 bytes announced"):
        append_piece(upload=upload, offset=0, piece=b"x" * 11)
    assert offset_of(upload) == 0


def test_what_a_killed_process_left_is_written_over(stay: Intake, technician: User) -> None:
    """The bytes reach the disk before the row counts them; a kill in between leaves more bytes."""
    upload = begun(stay, technician, len(PHOTO))
    append_piece(upload=upload, offset=0, piece=PHOTO[:HALF])
    with bytes_of(upload).open("ab") as file:
        file.write(b"left by a killed process" * 99)
    upload.refresh_from_db()
    assert offset_of(upload) == HALF
    append_piece(upload=upload, offset=HALF, piece=PHOTO[HALF:])
    assert bytes_of(upload).read_bytes() == PHOTO


def test_bytes_that_a_disk_lost_are_asked_for_again(stay: Intake, technician: User) -> None:
    upload = begun(stay, technician, len(PHOTO))
    upload = append_piece(upload=upload, offset=0, piece=PHOTO[:HALF])
    bytes_of(upload).write_bytes(PHOTO[:7])
    assert offset_of(upload) == 7
    append_piece(upload=upload, offset=7, piece=PHOTO[7:])
    assert bytes_of(upload).read_bytes() == PHOTO


def test_beginning_twice_begins_once(stay: Intake, technician: User) -> None:
    key = uuid4()
    first = begun(stay, technician, 10, client_key=key)
    append_piece(upload=first, offset=0, piece=b"12345")
    again = begun(stay, technician, 10, client_key=key)
    assert (again.pk, offset_of(again)) == (first.pk, 5)


def test_a_key_of_another_photo_is_refused(stay: Intake, technician: User) -> None:
    key = uuid4()
    begun(stay, technician, 10, client_key=key)
    with pytest.raises(ValidationError, match="Another photo was sent under this key"):
        begun(stay, technician, 11, client_key=key)
    with pytest.raises(ValidationError, match="Another photo was sent under this key"):
        begun(stay, make_user(RoleKind.TECHNICIAN), 10, client_key=key)
    with pytest.raises(ValidationError, match="Another photo was sent under this key"):
        begun(make_intake(), technician, 10, client_key=key)


@pytest.mark.parametrize("size", [0, 25_000_001])
def test_a_photo_has_some_bytes_and_not_too_many(stay: Intake, technician: User, size: int) -> None:
    with pytest.raises(ValidationError, match="Send a photo of up to 25 MB"):
        begun(stay, technician, size)
    assert begun(stay, technician, 25_000_000).size == 25_000_000


def test_a_stay_that_ended_takes_no_photo(technician: User) -> None:
    with pytest.raises(ValidationError, match="This stay ended"):
        begun(make_intake(left_on=TODAY), technician, 10)


def test_a_stay_has_a_bounded_number_of_photos(
    stay: Intake, technician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(keeping, "MOST_OF_A_STAY", 2)
    kept(stay, technician)
    begun(stay, technician, 10)
    with pytest.raises(ValidationError, match="This stay has 2 photos, which is the most"):
        begun(stay, technician, 10)


def test_a_subject_is_one_of_the_known(stay: Intake, technician: User) -> None:
    with pytest.raises(ValidationError, match="is not a valid choice"):
        begun(stay, technician, 10, subject=Subject(about="weather"))


def test_an_upload_never_counts_more_than_was_announced(stay: Intake, technician: User) -> None:
    upload = begun(stay, technician, 10)
    upload.received = 11
    with pytest.raises(ValidationError, match="More came than was announced") as refusal:
        upload.full_clean()
    assert "upload_never_more_than_announced" in str(Upload._meta.constraints)
    assert refusal.value.message_dict.keys() == {"__all__"}


def files(*tones: int) -> list[SimpleUploadedFile]:
    return [SimpleUploadedFile(f"{tone}.jpg", jpeg(tone)) for tone in tones]


def test_a_form_sent_twice_sends_its_photos_once(stay: Intake, technician: User) -> None:
    first = receive_photos(intake=stay, photos=files(10, 20), subject=WALK, by=technician)
    again = receive_photos(intake=stay, photos=files(10, 20), subject=WALK, by=technician)
    assert [one.pk for one in again] == [one.pk for one in first]
    assert [bytes_of(one).read_bytes() for one in first] == [jpeg(10), jpeg(20)]


def test_of_a_form_all_photos_are_taken_or_none(stay: Intake, technician: User) -> None:
    empty = SimpleUploadedFile("empty.jpg", b"")
    with pytest.raises(ValidationError, match="MB is none to keep"):
        receive_photos(intake=stay, photos=[*files(10), empty], subject=WALK, by=technician)
    assert Upload.objects.count() == 0


def test_a_large_file_of_a_form_is_taken_piece_by_piece(
    stay: Intake, technician: User, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(keeping, "MOST_OF_A_PIECE", 100)
    [upload] = receive_photos(intake=stay, photos=files(10), subject=WALK, by=technician)
    assert bytes_of(upload).read_bytes() == jpeg(10)


def test_an_upload_that_is_over_takes_no_more(stay: Intake, technician: User) -> None:
    upload = sent(stay, technician, PHOTO)
    with pytest.raises(keeping.WrongOffsetError):
        append_piece(upload=upload, offset=0, piece=PHOTO)
