"""Prices of used tires and batteries: read before they are taken."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest

from tests.factories import TODAY, make_need
from tests.vehicles.estimates.rows import recorded, said
from vehicles.models import Quote
from vehicles.repairs.ages import Worn

if TYPE_CHECKING:
    from vehicles.models import Need

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("today")]


@pytest.fixture
def today(time_machine: Any) -> None:
    time_machine.move_to(dt.datetime.combine(TODAY, dt.time(12), dt.UTC), tick=False)


def tires() -> Need:
    return make_need(kind="tire", title="Tire", system="tires")


def test_what_was_read_off_a_used_tire_stands_in_front_of_its_note() -> None:
    worn = Worn(tread_32nds=7, made_on=dt.date(2023, 8, 27))
    row = recorded(tires(), condition="used", note="From a sedan.", worn=worn)
    assert row.note == "7/32 in of tread, made August 27, 2023. From a sedan."
    new = recorded(tires(), condition="new", note="From a sedan.", worn=worn)
    assert new.note == "From a sedan."


def test_a_used_tire_that_is_worn_or_old_is_not_recorded() -> None:
    worn = Worn(tread_32nds=4, made_on=dt.date(2019, 5, 5))
    source = "Rule from: program policy; common practice, no source."
    assert said(recorded, about=tires(), condition="used", worn=worn) == [
        f"It has 4/32 in of tread; used tires are taken from 5/32 in on. {source}",
        f"It was made in 2019, more than 6 years ago. {source}",
    ]
    assert Quote.objects.count() == 0


def test_a_used_tire_that_nobody_read_is_not_recorded() -> None:
    found = said(recorded, about=tires(), condition="used")
    assert [one.partition(" Rule")[0] for one in found] == [
        "A used tire is measured first. Type its tread.",
        "A used one is dated first. Type the date that stands on it.",
    ]


def test_a_note_that_leaves_no_room_for_what_was_read_is_refused() -> None:
    worn = Worn(tread_32nds=7, made_on=dt.date(2023, 8, 27))
    kept = "7/32 in of tread, made August 27, 2023. "
    most = 200 - len(kept)
    assert said(recorded, about=tires(), condition="used", note="x" * 190, worn=worn) == [
        f"Say it in {most} characters at most."
    ]
    assert len(recorded(tires(), condition="used", note="x" * most, worn=worn).note) == 200
