"""The photos of a stay by what they show."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.utils import timezone

from shared.accounts.roles import RoleKind
from tests.factories import make_intake, make_user
from tests.vehicles.intake.shots import kept
from vehicles.intake.keeping import Subject
from vehicles.intake.kinds import PhotoAbout
from vehicles.intake.queries import around, photo_groups, photos_of
from vehicles.models import Photo

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

pytestmark = pytest.mark.django_db


def test_photos_stand_under_the_key_of_what_they_show(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    stay, by = make_intake(), make_user(RoleKind.TECHNICIAN)
    tread = Subject(about="reading", key="tire-tread/LF")
    walk, first, second = (
        kept(stay, by),
        kept(stay, by, 10, subject=tread),
        kept(stay, by, 20, subject=tread),
    )
    kept(make_intake(), by, 30)
    with django_assert_num_queries(1):
        found = photos_of(stay)
    assert found == {"LF": [walk], "tire-tread/LF": [first, second]}
    assert photos_of(stay, "walk_round") == {"LF": [walk]}


def test_photos_taken_away_are_left_out() -> None:
    stay, by = make_intake(), make_user(RoleKind.TECHNICIAN)
    first, away, third = (kept(stay, by, tone) for tone in (10, 20, 30))
    Photo.objects.filter(pk=away.pk).update(voided_at=timezone.now(), voided_because="Wrong car")
    assert photos_of(stay) == {"LF": [first, third]}
    assert around(first) == (None, third)
    assert around(third) == (first, None)
    assert around(away) == (first, third)


def test_photos_of_the_same_moment_have_an_order() -> None:
    stay, by = make_intake(), make_user(RoleKind.TECHNICIAN)
    first, second, third = (kept(stay, by, tone) for tone in (10, 20, 30))
    Photo.objects.update(at=first.at)
    for photo in (first, second, third):
        photo.refresh_from_db()
    assert around(second) == (first, third)


def test_a_stay_without_photos_still_has_a_place_for_them() -> None:
    [group] = photo_groups(make_intake())
    assert (group.about, group.photos) == (PhotoAbout.OTHER, ())
