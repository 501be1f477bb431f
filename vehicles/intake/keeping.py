"""Photos on their way: taken in pieces, so that a broken connection or process loses none.

What has come of an upload lies in a file under its key; the row counts the bytes that are sure.
"""

from __future__ import annotations

import hashlib
import uuid
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from django.core.exceptions import ValidationError
from django.db import transaction

from shared.jobs.actions import ask
from vehicles.intake.images import MOST_BYTES
from vehicles.intake.models import Intake, Upload
from vehicles.intake.queries import bytes_of, offset_of, unfinished

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

    from django.core.files.uploadedfile import UploadedFile

    from shared.accounts.models import User

#: The kind of job that cleans a photo once it came whole.
PREPARE: Final = "prepare_photo"

MOST_OF_A_PIECE: Final = 1024 * 1024
MOST_AT_ONCE: Final = 10
MOST_OF_A_STAY: Final = 120


class WrongOffsetError(Exception):
    """A piece began elsewhere than where the bytes so far end; `right` is where they end."""

    def __init__(self, right: int) -> None:
        super().__init__(f"{right} bytes are here.")
        self.right = right


@dataclass(frozen=True, kw_only=True)
class Subject:
    """What a photo shows: one of `PhotoAbout`, the thing's key in its own room, and a caption."""

    about: str
    key: str = ""
    caption: str = ""


@transaction.atomic
def begin_upload(
    *, intake: Intake, client_key: uuid.UUID, size: int, subject: Subject, by: User
) -> Upload:
    """Return the upload of this key, begun if it is new; asking twice begins it once.

    Raises:
        ValidationError: it is too large, the stay ended or has enough photos, or the key is taken
            by another photo.
    """
    Intake.objects.select_for_update().get(pk=intake.pk)
    found = Upload.objects.filter(client_key=client_key).first()
    if found is not None:
        if (found.intake_id, found.by_id, found.size) != (intake.pk, by.pk, size):
            raise ValidationError("Another photo was sent under this key. Choose the photo again.")
        return found
    _refuse_at_the_door(intake, size)
    upload = Upload(
        program=intake.program,
        client_key=client_key,
        intake=intake,
        about=subject.about,
        key=subject.key,
        caption=subject.caption,
        size=size,
        by=by,
    )
    upload.full_clean()
    upload.save()
    return upload


def _refuse_at_the_door(intake: Intake, size: int) -> None:
    """Refuse what no photo can be, before a byte of it is kept."""
    if intake.left_on:
        raise ValidationError("This stay ended; nothing more can be recorded on it.")
    if not 0 < size <= MOST_BYTES:
        raise ValidationError(
            f"A file of {size / 1_000_000:,.1f} MB is none to keep. Send a photo of up to "
            f"{MOST_BYTES // 1_000_000} MB."
        )
    if intake.photos.kept().count() + unfinished(intake).count() >= MOST_OF_A_STAY:
        raise ValidationError(
            f"This stay has {MOST_OF_A_STAY} photos, which is the most. Take one away first."
        )


@transaction.atomic
def append_piece(*, upload: Upload, offset: int, piece: bytes) -> Upload:
    """Return the upload with one more piece; the last piece asks for the job that prepares it.

    The piece is written over whatever a killed process left behind the bytes that are counted.

    Raises:
        WrongOffsetError: `offset` is not where the bytes so far end, or the upload is over.
        ValidationError: more comes than was announced.
    """
    upload = Upload.objects.select_for_update().get(pk=upload.pk)
    right = offset_of(upload)
    if offset != right or upload.photo_id or upload.refused_because:
        raise WrongOffsetError(right)
    if offset + len(piece) > upload.size:
        raise ValidationError(
            f"More came than the {upload.size:,} bytes announced. Choose the photo again."
        )
    _write(bytes_of(upload), offset, piece)
    upload.received = offset + len(piece)
    upload.save(update_fields=["received"])
    if upload.received == upload.size:
        ask(
            program=upload.program,
            key=f"photo:{upload.client_key}",
            kind=PREPARE,
            payload={"upload": upload.pk},
        )
    return upload


def _write(path: Path, offset: int, piece: bytes) -> None:
    path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    path.touch(mode=0o600)
    with path.open("r+b") as file:
        file.seek(offset)
        file.write(piece)
        file.truncate()


@transaction.atomic
def receive_photos(
    *, intake: Intake, photos: Sequence[UploadedFile[bytes]], subject: Subject, by: User
) -> list[Upload]:
    """Return one upload for each file of a form, all or none; the same form sent twice sends once.

    Raises ValidationError for what can't be taken.
    """
    return [_receive(intake, file, subject, by) for file in photos]


def _receive(intake: Intake, file: UploadedFile[bytes], subject: Subject, by: User) -> Upload:
    """Take one whole file; what is in it makes its key, until such a photo is taken away."""
    away = intake.photos.filter(voided_at__isnull=False).count()
    digest = hashlib.sha256(f"{intake.pk}/{by.pk}/{subject}/{away}/".encode())
    for chunk in file.chunks():
        digest.update(chunk)
    upload = begin_upload(
        intake=intake,
        client_key=uuid.UUID(bytes=digest.digest()[:16]),
        size=file.size or 0,
        subject=subject,
        by=by,
    )
    file.seek(offset_of(upload))
    while offset_of(upload) < upload.size:
        piece = file.read(MOST_OF_A_PIECE)
        upload = append_piece(upload=upload, offset=offset_of(upload), piece=piece)
    return upload
