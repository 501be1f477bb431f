"""What a vehicle's number says about itself, its stays before, the photos of a stay."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from django.conf import settings
from django.utils import timezone

from vehicles.intake import check, vin
from vehicles.intake.kinds import PhotoAbout
from vehicles.intake.models import Intake, Photo, Upload, Vehicle
from vehicles.intake.values import Before
from vehicles.intake.walk_round import MarkKind

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from uuid import UUID

    from django.db.models import QuerySet

    from shared.accounts.models import Program, User
    from vehicles.intake.check import VinLook
    from vehicles.intake.models import WalkRoundMark


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


# ---- stays and their cars ----


def stay_of_key(program: Program, client_key: UUID) -> Intake | None:
    """Return the stay that a form with this key began already."""
    return Intake.objects.filter(program=program, client_key=client_key).first()


def open_stay_of(vehicle: Vehicle) -> Intake | None:
    """Return the stay of a vehicle that is here now."""
    return Intake.objects.filter(vehicle=vehicle).open().first()


def last_stay(vehicle: Vehicle) -> Intake | None:
    """Return the newest stay of a vehicle that has ended."""
    ended = Intake.objects.filter(vehicle=vehicle, left_on__isnull=False)
    return ended.order_by("-left_on", "-pk").first()


def before(stay: Intake) -> Before | None:
    """Return what the stays before this one say of the car; None where it has none; one query."""
    others = Intake.objects.filter(vehicle=stay.vehicle)
    if stay.pk:
        others = others.exclude(pk=stay.pk).filter(left_on__isnull=False)
    rows = list(others.order_by("-arrived_on", "-pk"))
    if not rows:
        return None
    read = next((row for row in rows if row.odometer_mi is not None), None)
    return Before(
        odometer_mi=read.odometer_mi if read else None,
        on=read.arrived_on if read else None,
        left_on=max((row.left_on for row in rows if row.left_on), default=None),
    )


@dataclass(frozen=True, kw_only=True)
class VinFound:
    """A typed number, and the car that the program knows under it, if the reader may see it."""

    look: VinLook
    vehicle: Vehicle | None = None
    stay: Intake | None = None
    barred: bool = False


def find_vin(text: str, user: User, this_year: int) -> VinFound:
    """Return what a typed number says and whose it is; at most three queries.

    `barred` means that the car is known and withheld from the user.
    """
    look = check.look(text, this_year)
    if not look.usable:
        return VinFound(look=look)
    same = Vehicle.objects.filter(program=user.program, vin=look.vin)
    vehicle = Vehicle.objects.for_user(user).filter(vin=look.vin).first()
    if vehicle is None:
        return VinFound(look=look, barred=same.exists())
    return VinFound(look=look, vehicle=vehicle, stay=open_stay_of(vehicle))


@dataclass(frozen=True, kw_only=True)
class MarkRow:
    """A mark on the drawing with what stands in it, such as `D1`, and its photos."""

    mark: WalkRoundMark
    kind: MarkKind
    sign: str
    photos: tuple[Photo, ...] = ()

    @property
    def key(self) -> str:
        """The key under which its photos are kept."""
        return str(self.mark.client_key)


def mark_rows(intake: Intake, photos: Mapping[str, Sequence[Photo]]) -> list[MarkRow]:
    """Return the marks of a stay that were not taken away, in the order they were placed.

    A mark keeps its number when another one is taken away. `photos` are those of the walk-round.
    """
    return [
        MarkRow(
            mark=mark,
            kind=MarkKind(mark.kind),
            sign=f"{MarkKind(mark.kind).letter}{number}",
            photos=tuple(photos.get(str(mark.client_key), ())),
        )
        for number, mark in enumerate(intake.marks.select_related("by"), 1)
        if mark.voided_at is None
    ]


def has_walked(intake: Intake, photos: Sequence[Photo]) -> bool:
    """Return whether somebody walked round the car: a mark or a photo of it shows it."""
    if any(photo.about == PhotoAbout.WALK_ROUND for photo in photos):
        return True
    return intake.marks.filter(voided_at__isnull=True).exists()
