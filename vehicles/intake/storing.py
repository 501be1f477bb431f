"""Photos as they are kept: cleaned by a job, seen through a view, taken away with a reason.

The two files of a photo lie in the private storage, under a name that nobody can guess.
"""

from __future__ import annotations

import datetime as dt
import hashlib
from functools import partial
from typing import TYPE_CHECKING, Any, Final

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.storage import storages
from django.db import transaction
from django.utils import timezone
from django.utils.crypto import salted_hmac

from shared.audit.actions import log_event
from vehicles.intake.images import clean_photo
from vehicles.intake.models import Photo, Upload
from vehicles.intake.queries import bytes_of, thumb_of, uploads_folder

if TYPE_CHECKING:
    from django.core.files.storage import Storage

    from shared.accounts.models import Program, User
    from shared.jobs.runner import Write
    from vehicles.intake.images import CleanPhoto

#: The kind of job that ends what never came whole.
SWEEP: Final = "sweep_uploads"

WAITS: Final = dt.timedelta(hours=24)


# ---- preparing ----


def prepare_photo(payload: dict[str, Any], program: Program) -> Write | None:
    """Clean a photo that came whole, and return what keeps it, or what refuses it."""
    waiting = Upload.objects.filter(program=program, photo=None, refused_because="")
    upload = waiting.filter(pk=payload["upload"]).first()
    if upload is None:
        return None
    try:
        clean = clean_photo(_whole(upload))
    except ValueError as error:
        return partial(_refuse, upload, str(error))
    name = _name(upload)
    _store(name, clean.jpeg)
    _store(thumb_of(name), clean.thumb)
    return partial(_keep, upload, name, clean)


def _whole(upload: Upload) -> bytes:
    path = bytes_of(upload)
    data = path.read_bytes() if path.exists() else b""
    if len(data) != upload.size:
        raise ValueError("The photo did not arrive whole. Send it again.")
    return data


def _name(upload: Upload) -> str:
    """Return a name that nobody guesses, the same at each try, so that a killed one leaves none."""
    secret = salted_hmac("photo", str(upload.client_key), algorithm="sha256").hexdigest()[:40]
    return f"{secret[:2]}/{secret}.jpg"


def _storage() -> Storage:
    return storages["private"]


def _store(name: str, data: bytes) -> None:
    kept = _storage().save(name, ContentFile(data))
    if kept != name:
        raise RuntimeError(f"The private storage must overwrite, but kept {name} as {kept}.")


def _keep(upload: Upload, name: str, clean: CleanPhoto) -> None:
    photo = Photo.objects.create(
        program=upload.program,
        intake=upload.intake,
        about=upload.about,
        key=upload.key,
        caption=upload.caption,
        name=name,
        sha256=hashlib.sha256(clean.jpeg).hexdigest(),
        width=clean.width,
        height=clean.height,
        size=len(clean.jpeg),
        by=upload.by,
    )
    Upload.objects.filter(pk=upload.pk).update(photo=photo)
    log_event(photo, "Photo added.", by=upload.by, fields=["about"])
    _drop_bytes(upload)


def _refuse(upload: Upload, because: str) -> None:
    Upload.objects.filter(pk=upload.pk).update(refused_because=because[:200])
    _drop_bytes(upload)


def _drop_bytes(upload: Upload) -> None:
    transaction.on_commit(partial(bytes_of(upload).unlink, missing_ok=True), robust=True)


# ---- what a person changes ----


@transaction.atomic
def describe_photo(*, photo: Photo, caption: str, by: User) -> Photo:
    """Return the photo with another caption. Raises ValidationError for one taken away."""
    photo = _standing(photo)
    photo.caption = caption
    photo.save(update_fields=["caption"])
    log_event(photo, "Caption written.", by=by, fields=["caption"])
    return photo


@transaction.atomic
def void_photo(*, photo: Photo, because: str, by: User) -> Photo:
    """Return the photo taken away: the row and its reason stay, the files are deleted.

    Raises ValidationError without a reason, and for a photo taken away before.
    """
    photo = _standing(photo)
    photo.voided_at, photo.voided_because = timezone.now(), because.strip()
    photo.full_clean()
    photo.save(update_fields=["voided_at", "voided_because"])
    log_event(photo, "Photo taken away.", by=by, reason=photo.voided_because, fields=["voided_at"])
    transaction.on_commit(partial(_delete_files, photo), robust=True)
    return photo


def _standing(photo: Photo) -> Photo:
    found = Photo.objects.select_for_update().get(pk=photo.pk)
    if found.voided_at:
        raise ValidationError("This photo was taken away before.")
    return found


def _delete_files(photo: Photo) -> None:
    for name in (photo.name, thumb_of(photo.name)):
        _storage().delete(name)


def open_photo(photo: Photo, *, thumb: bool) -> bytes:
    """Return the JPEG of a photo or of its thumbnail. Raises FileNotFoundError when it is gone."""
    with _storage().open(thumb_of(photo.name) if thumb else photo.name) as file:
        data: bytes = file.read()
    return data


# ---- sweeping ----


def sweep_uploads(_payload: dict[str, Any], program: Program) -> None:
    """End the uploads that have waited a day, and delete every file that nobody waits for."""
    begun = timezone.now() - WAITS
    late = Upload.objects.filter(program=program, photo=None, begun_at__lt=begun)
    late.filter(refused_because="").update(refused_because="It did not arrive within a day.")
    for path in uploads_folder().glob("*"):
        if path.stat().st_mtime < begun.timestamp():
            path.unlink(missing_ok=True)
    for photo in Photo.objects.filter(program=program, voided_at__gte=begun - WAITS):
        _delete_files(photo)
