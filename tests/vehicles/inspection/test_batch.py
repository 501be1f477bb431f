"""The photos of a report: readings first, each named by what it shows, a dozen at most."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.core.files.storage import storages

from shared.accounts.roles import RoleKind
from tests.factories import make_intake, make_user
from tests.vehicles.intake.shots import kept
from vehicles.inspection.batch import MOST_SHOTS, shots_of
from vehicles.inspection.gathering import sheet_of
from vehicles.intake.keeping import Subject

if TYPE_CHECKING:
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


def shot(stay: Intake, key: str, **fields: Any) -> Any:
    by = make_user(RoleKind.TECHNICIAN, program=stay.program)
    return kept(stay, by, subject=Subject(about=fields.pop("about", "reading"), key=key), **fields)


def test_a_photo_of_a_reading_is_named_by_its_point() -> None:
    stay = make_intake()
    shot(stay, "", about="papers")
    shot(stay, "", about="other")
    shot(stay, "tire-tread/LF")
    shown, more = shots_of(stay, sheet_of(stay).points)
    assert more == 0
    assert [(one.title, one.place) for one in shown] == [
        ("Tread depth", "front left"),
        ("", ""),
    ]
    assert shown[0].jpeg.startswith(b"\xff\xd8")


def test_a_photo_whose_file_is_gone_is_counted_not_shown() -> None:
    stay = make_intake()
    photo = shot(stay, "horn")
    storages["private"].delete(photo.name.replace(".jpg", "-thumb.jpg"))
    shown, more = shots_of(stay, sheet_of(stay).points)
    assert (shown, more) == ((), 1)


def test_more_photos_than_fit_are_counted() -> None:
    stay = make_intake()
    shot(stay, "horn")
    for number in range(MOST_SHOTS):
        shot(stay, "horn", tone=number)
    shown, more = shots_of(stay, sheet_of(stay).points)
    assert (len(shown), more) == (MOST_SHOTS, 1)
