"""The batch of photos that goes into a report: small, few, each with what it shows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from vehicles.inspection.values import Shot
from vehicles.intake.kinds import PhotoAbout
from vehicles.intake.storing import open_photo

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from vehicles.inspection.points import Point
    from vehicles.intake.models import Intake

#: More photos than these stay in the file and on the page of photos.
MOST_SHOTS: Final = 12
_SHOWN: Final = (
    PhotoAbout.READING,
    PhotoAbout.DIAGNOSIS,
    PhotoAbout.WALK_ROUND,
    PhotoAbout.OTHER,
)


def shots_of(stay: Intake, points: Iterable[Point]) -> tuple[tuple[Shot, ...], int]:
    """Return the photos of readings first, then the others, and how many are not shown."""
    rows = list(stay.photos.kept().filter(about__in=_SHOWN).order_by("at", "pk"))
    rows.sort(key=lambda row: _SHOWN.index(PhotoAbout(row.about)))
    named = {f"{one.criterion.code}/{one.position}".rstrip("/"): one for one in points}
    marks = {str(key): area for key, area in stay.marks.values_list("client_key", "area")}
    shots = []
    for row in rows[:MOST_SHOTS]:
        try:
            jpeg = open_photo(row, thumb=True)
        except FileNotFoundError:
            continue
        title, place = _of_what(row.key.rstrip("/"), PhotoAbout(row.about), named, marks)
        shots.append(
            Shot(
                jpeg=jpeg,
                width=row.width,
                height=row.height,
                title=title,
                place=place,
                caption=row.caption,
            )
        )
    return tuple(shots), len(rows) - len(shots)


def _of_what(
    key: str, about: PhotoAbout, points: Mapping[str, Point], marks: Mapping[str, str]
) -> tuple[str, str]:
    point = points.get(key)
    if point:
        return point.criterion.title, point.place
    return "" if about is PhotoAbout.OTHER else about.label, marks.get(key, "")
