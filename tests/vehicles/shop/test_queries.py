"""The shop as the database holds it, by the day."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from tests.factories import TODAY, make_bay, make_program, make_user
from vehicles.models import BayClosure, Equipment, Space
from vehicles.shop import duty, queries

if TYPE_CHECKING:
    from vehicles.models import Bay

pytestmark = pytest.mark.django_db
DAY = dt.timedelta(days=1)
DAYS = [TODAY, TODAY + DAY]


def close(bay: Bay, **fields: Any) -> BayClosure:
    defaults: dict[str, Any] = {"from_on": TODAY, "until_on": TODAY, "reason": "Paint"}
    return BayClosure.objects.create(program=make_program(), bay=bay, **defaults | fields)


def test_bays_are_counted_by_the_day_in_three_queries() -> None:
    lifted, flat = make_bay(has_lift=True), make_bay()
    make_bay(closed_on=TODAY)
    close(flat)
    close(lifted, ended_at=timezone.now())
    Equipment.objects.create(
        program=make_program(), name="Lift", kind="lift", bay=lifted, due_on=TODAY
    )
    program = make_program()
    with CaptureQueriesContext(connection) as seen:
        found = queries.open_bays(program, DAYS)
    assert len(seen) == 3
    assert found.every == {TODAY: (lifted.pk,), TODAY + DAY: (flat.pk,)}
    assert queries.bay_days(make_program(), DAYS) == {TODAY: [lifted.pk], TODAY + DAY: [flat.pk]}
    assert queries.lift_bay_days(make_program(), DAYS) == {TODAY: [lifted.pk], TODAY + DAY: []}


def test_bays_of_another_program_are_not_counted() -> None:
    make_bay(program=make_program(name="Elsewhere"))
    assert queries.bay_days(make_program(name="Here"), [TODAY]) == {TODAY: []}


def test_a_tag_counts_from_the_day_it_was_hung_where_the_program_is() -> None:
    late = dt.datetime(2026, 12, 1, 2, 0, tzinfo=dt.UTC)  # the evening before in New York
    row = Equipment.objects.create(
        program=make_program(),
        name="Jack",
        kind="jack",
        due_on=TODAY,
        tagged_out=True,
        tagged_out_because="It sinks",
        tagged_out_by=make_user(),
        tagged_out_at=late,
    )
    found = queries.pieces(make_program())
    assert found == [queries.piece(row)]
    assert (found[0].tagged_on, found[0].because) == (dt.date(2026, 11, 30), "It sinks")


def test_spaces_are_read_as_they_are() -> None:
    Space.objects.create(program=make_program(), name="Space 1", takes_dead=True)
    assert queries.spaces(make_program()) == [duty.Space(name="Space 1", takes_dead=True)]
