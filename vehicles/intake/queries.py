"""What a vehicle's number says about itself, and the photos of a stay."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings
from django.utils import timezone

from vehicles.intake import vin
from vehicles.intake.kinds import PhotoAbout
from vehicles.intake.models import Photo, Upload

if TYPE_CHECKING:
    from django.db.models import QuerySet

    from shared.accounts.models import User
    from vehicles.intake.models import Intake, Vehicle


@dataclass(frozen=True, kw_only=True)
class VinCheck:
    """Whether a number passes its check, and the sentences to say about it."""

    passes: bool
    sentences: tuple[str, ...]


def check_vin(vehicle: Vehicle) -> VinCheck:
    """Return what the check digit, the year and the recorded note say of a vehicle's VIN."""
    if not vehicle.vin:
        return VinCheck(passes=False, sentences=("No VIN is recorded.",))
    try:
        vin.validate(vehicle.vin)
        passes, said = True, ["Its check digit is right."]
    except ValueError as error:
        passes, said = False, [str(vin.why_no_check_digit(vehicle.vin) or error)]
    year = vin.model_year(vehicle.vin)
    if passes and vin.model_year_is_sure(vehicle.vin) and year != vehicle.year:
        said.append(f"It says model year {year}; {vehicle.year} is recorded.")
    if vehicle.vin_note:
        said.append(f"Recorded with it: {vehicle.vin_note}.")
    return VinCheck(passes=passes, sentences=tuple(said))


def photos_of(intake: Intake, about: str | None = None) -> dict[str, list[Photo]]:
    """Return the kept photos of a stay by the key of what they show, oldest first; one query.

    `about` limits them to one subject; without it two subjects may share a key.
    """
    photos = intake.photos.kept().order_by("at", "pk")
    found: dict[str, list[Photo]] = {}
    for photo in photos if about is None else photos.filter(about=about):
        found.setdefault(photo.key, []).append(photo)
    return found


@dataclass(frozen=True, kw_only=True)
class PhotoGroup:
    """The kept photos of one subject."""

    about: PhotoAbout
    photos: tuple[Photo, ...]


def photo_groups(intake: Intake) -> list[PhotoGroup]:
    """Return all kept photos of a stay by subject, without empty subjects but for `other`."""
    photos = list(intake.photos.kept().order_by("at", "pk"))
    groups = [
        PhotoGroup(about=about, photos=tuple(one for one in photos if one.about == about))
        for about in PhotoAbout
    ]
    return [group for group in groups if group.photos or group.about is PhotoAbout.OTHER]


def around(photo: Photo) -> tuple[Photo | None, Photo | None]:
    """Return the kept photos of the same stay before and after this one, in their order."""
    kept = Photo.objects.kept().filter(intake=photo.intake_id)
    before = kept.filter(at__lte=photo.at).exclude(at=photo.at, pk__gte=photo.pk)
    after = kept.filter(at__gte=photo.at).exclude(at=photo.at, pk__lte=photo.pk)
    return before.order_by("-at", "-pk").first(), after.order_by("at", "pk").first()


def unfinished(intake: Intake) -> QuerySet[Upload]:
    """Return the uploads of a stay that are still on their way or being prepared."""
    return Upload.objects.filter(intake=intake, photo=None, refused_because="")


def thumb_of(name: str) -> str:
    """Return the name of a photo's thumbnail in the private storage."""
    return name.replace(".jpg", "-thumb.jpg")


def refused_uploads(intake: Intake, by: User) -> QuerySet[Upload]:
    """Return the person's uploads for a stay that could not be kept, of one day, newest first."""
    since = timezone.now() - dt.timedelta(days=1)
    own = Upload.objects.filter(intake=intake, by=by, begun_at__gte=since)
    return own.exclude(refused_because="").order_by("-pk")


def uploads_folder() -> Path:
    """Return the folder in which uploads lie until they are whole; it may not be there yet."""
    return Path(settings.VAR_DIR) / "uploads"


def bytes_of(upload: Upload) -> Path:
    """Return the file that holds what has come of an upload so far."""
    return uploads_folder() / str(upload.client_key)


def offset_of(upload: Upload) -> int:
    """Return how many bytes are here: what is counted, or less when the disk lost some of it."""
    if upload.received == upload.size:
        return upload.size
    path = bytes_of(upload)
    return min(upload.received, path.stat().st_size if path.exists() else 0)
