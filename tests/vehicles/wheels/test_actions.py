"""Wheels are torqued, and what is refused."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from shared.audit.models import Event
from shared.dates import full_date
from tests.factories import make_intake, make_user
from tests.vehicles.shop.rows import DAY, today
from tests.vehicles.wheels.rows import make_torque, make_wrench
from vehicles.models import Equipment, Intake, WheelTorque
from vehicles.wheels.actions import record_torque, void_torque
from vehicles.wheels.values import Tightened

pytestmark = pytest.mark.django_db


def record(stay: Intake, wrench: Equipment | None = None, **fields: Any) -> WheelTorque:
    key, by = fields.pop("client_key", None), fields.pop("by", None)
    wrench = wrench or Equipment.objects.first() or make_wrench()
    said = Tightened(**{"wrench_id": wrench.pk, "foot_pounds": 80} | fields)
    return record_torque(
        intake=stay, said=said, client_key=key, by=by or make_user(RoleKind.TECHNICIAN)
    )


def refused(stay: Intake, wrench: Equipment | None = None, **fields: Any) -> list[str]:
    before = list(WheelTorque.objects.values())
    with pytest.raises(ValidationError) as refusal:
        record(stay, wrench, **fields)
    assert list(WheelTorque.objects.values()) == before
    return refusal.value.messages


def test_a_torque_with_a_wrench_in_date_counts() -> None:
    stay, wrench = make_intake(), make_wrench()
    row = record(stay, wrench, wheels=("RR", "LF"), odometer_mi=148_191)
    assert (row.counts, row.because, row.pattern) == (True, "", "LF RR")
    assert (row.wrench_due_on, row.odometer_mi) == (wrench.due_on, 148_191)
    assert Event.objects.get().what == "The wheels were torqued."


def test_with_a_wrench_that_is_overdue_or_tagged_out_it_is_recorded_and_does_not_count() -> None:
    late = make_wrench(name="Late", due_on=today() - DAY)
    tagged = make_wrench(name="Bent", tagged_out=True, tagged_out_because="Dropped")
    rows = [record(make_intake(), wrench) for wrench in (late, tagged)]
    due = full_date(today() - DAY)
    assert [row.counts for row in rows] == [False, False]
    assert [row.because for row in rows] == [
        f"Late was due for inspection on {due}, so this torque doesn’t count.",
        "Bent is tagged out, so this torque doesn’t count.",
    ]


def test_the_longest_reason_on_a_tag_still_fits() -> None:
    wrench = make_wrench(name="W" * 80, tagged_out=True, tagged_out_because="b" * 200)
    row = record(make_intake(), wrench)
    assert (row.counts, len(row.because) <= 200) == (False, True)


def test_a_later_inspection_of_the_wrench_makes_no_old_torque_count() -> None:
    stay, wrench = make_intake(), make_wrench(due_on=today() - DAY)
    row = record(stay, wrench)
    wrench.due_on = today() + 99 * DAY
    wrench.save()
    row.refresh_from_db()
    assert (row.counts, row.wrench_due_on) == (False, today() - DAY)


def test_a_torque_sent_twice_is_recorded_once() -> None:
    stay, key = make_intake(), uuid4()
    assert record(stay, client_key=key) == record(stay, client_key=key)
    assert (WheelTorque.objects.count(), Event.objects.count()) == (1, 1)
    assert refused(stay, client_key=key, foot_pounds=90) == [
        "This form was sent already. Open the page again, then record the torque."
    ]


def test_a_retired_wrench_is_refused() -> None:
    assert refused(make_intake(), make_wrench(retired_on=today())) == [
        "Torque wrench, 1/2 in is retired. Take another wrench."
    ]


@pytest.mark.parametrize("odometer", [148_189, 158_191])
def test_an_odometer_that_can_not_be_of_this_stay_is_refused(odometer: int) -> None:
    assert refused(make_intake(), odometer_mi=odometer) == [
        f"It showed 148,190 miles when it came; {odometer:,} is a slip."
    ]


def test_nobody_records_a_torque_who_may_not_work_here() -> None:
    office = make_user(RoleKind.COORDINATOR)
    assert refused(make_intake(), by=office) == [
        f"{office} is not on the list of people who work in the shop."
    ]


def test_nothing_is_recorded_before_an_owner_has_said_yes() -> None:
    [sentence, *_] = refused(make_intake(consents=()))
    assert "owner" in sentence.lower()


def test_a_first_time_is_not_recorded_on_a_stay_that_has_ended() -> None:
    gone = make_intake(left_on=today())
    assert refused(gone) == [
        f"This stay ended on {full_date(today())}; nothing more can be recorded on it."
    ]


def test_the_second_time_is_recorded_after_the_car_has_left() -> None:
    stay = make_intake()
    record(stay, odometer_mi=148_195)
    Intake.objects.filter(pk=stay.pk).update(left_on=today())
    assert record(stay, is_again=True, odometer_mi=148_260).counts


@pytest.mark.parametrize(
    ("odometer", "sentence"),
    [
        (None, "The second time needs the odometer."),
        (148_192, "The first time it showed 148,195 miles."),
    ],
)
def test_a_second_time_that_can_not_be_is_refused(odometer: int | None, sentence: str) -> None:
    stay = make_intake()
    record(stay, odometer_mi=148_195)
    assert refused(stay, is_again=True, odometer_mi=odometer) == [sentence]


def test_a_second_time_needs_a_first_that_counts() -> None:
    assert refused(make_intake(), is_again=True, odometer_mi=148_260) == [
        "No first time that counts is on record."
    ]


def test_a_second_time_before_50_miles_does_not_count() -> None:
    stay = make_intake()
    record(stay, odometer_mi=148_195)
    row = record(stay, is_again=True, odometer_mi=148_207)
    assert (row.counts, row.because) == (
        False,
        "Driven 12 miles since the first time: the second counts from 50 on.",
    )


def test_a_torque_is_taken_back_with_its_reason_and_stays_on_record() -> None:
    row, by = make_torque(), make_user(RoleKind.TECHNICIAN)
    void_torque(torque=row, because="Wrong figure", by=by)
    void_torque(torque=row, because="Another reason", by=by)
    row.refresh_from_db()
    assert (row.voided_because, row.counts) == ("Wrong figure", True)
    assert Event.objects.get().reason == "Wrong figure"


def test_a_torque_is_not_taken_back_without_a_reason_or_by_the_office() -> None:
    row = make_torque()
    with pytest.raises(ValidationError) as refusal:
        void_torque(torque=row, because=" ", by=make_user(RoleKind.TECHNICIAN))
    assert refusal.value.messages == ["Say why it doesn’t count."]
    with pytest.raises(ValidationError):
        void_torque(torque=row, because="Wrong", by=make_user(RoleKind.COORDINATOR))
    row.refresh_from_db()
    assert row.voided_because == ""
