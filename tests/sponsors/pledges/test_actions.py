from __future__ import annotations

import datetime as dt
from dataclasses import replace
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shared.audit.models import Event
from shared.jobs.models import Job
from sponsors.models import Pledge, Reservation, Sponsor, Supply
from sponsors.pledges.actions import (
    MATCH,
    MOST_UNITS,
    expire_due,
    expire_pledges,
    record_pledge,
    take_back,
)
from sponsors.pledges.states import PledgeState, SupplyState
from tests.factories.shared import make_program, make_user
from tests.factories.sponsors import make_pledge, make_sponsor
from tests.factories.vehicles import make_need
from vehicles.repairs.parts import Fitment, Part
from vehicles.shop.systems import System

pytestmark = pytest.mark.django_db

COROLLA = Fitment(make="Toyota", model="Corolla", year_from=2009, year_to=2013)
RADIATOR = Part(kind="radiator", system=System.COOLING, fitment=COROLLA)


def record(sponsor: Sponsor, **changes: object) -> Pledge:
    usual = {
        "part": RADIATOR,
        "title": "Radiator, 2012 Toyota Corolla",
        "quantity": 1,
        "expires_on": sponsor.program.today() + dt.timedelta(days=14),
        "client_key": uuid4(),
    }
    return record_pledge(sponsor=sponsor, **usual | changes)  # type: ignore[arg-type]


def test_a_pledge_has_one_unit_for_each_part_promised() -> None:
    make_need()
    pledge = record(make_sponsor(), quantity=3)
    units = list(pledge.units.order_by("number").values_list("number", "state", "kind"))
    assert units == [(number, SupplyState.PLEDGED, "radiator") for number in (1, 2, 3)]
    assert {unit.expires_on for unit in pledge.units.all()} == {pledge.expires_on}
    assert Fitment.from_dict(pledge.fitment) == COROLLA


def test_a_pledge_leaves_a_line_in_the_log() -> None:
    make_need()
    coordinator = make_user()
    pledge = record(make_sponsor(), by=coordinator)
    [line] = Event.objects.filter(kind="pledge", object_id=pledge.pk)
    assert (line.what, line.by) == ("A pledge was made.", coordinator)


def test_the_same_form_sent_twice_is_one_pledge() -> None:
    make_need()
    sponsor, key = make_sponsor(), uuid4()
    first = record(sponsor, client_key=key)
    assert record(sponsor, client_key=key, quantity=5) == first
    assert (Pledge.objects.count(), Supply.objects.count()) == (1, 1)


def test_a_form_of_another_sponsor_is_refused() -> None:
    make_need()
    key = uuid4()
    record(make_sponsor(), client_key=key)
    with pytest.raises(ValidationError) as refusal:
        record(make_sponsor(), client_key=key)
    assert refusal.value.messages == ["This form was used already. Open the page again."]


@pytest.mark.parametrize("quantity", [0, -1, MOST_UNITS + 1, 10**12])
def test_a_quantity_that_is_not_possible_is_refused(quantity: int) -> None:
    make_need()
    with pytest.raises(ValidationError) as refusal:
        record(make_sponsor(), quantity=quantity)
    assert refusal.value.message_dict == {
        "quantity": [f"{quantity} is not possible. Pledge 1 to 200 units."]
    }
    assert (Pledge.objects.count(), Supply.objects.count()) == (0, 0)


def test_a_part_that_nobody_ever_needed_is_refused() -> None:
    with pytest.raises(ValidationError) as refusal:
        record(make_sponsor(), part=Part(kind="flux_capacitor", system=System.ELECTRICAL))
    said = (
        "“flux_capacitor” is not a part that was ever needed here. Choose one of the list, or "
        "add it to what the sponsor gives."
    )
    assert refusal.value.message_dict == {"kind": [said]}


@pytest.mark.parametrize(
    ("part", "sentence"),
    [
        (
            Part(kind="brake_pads", system=System.BRAKES, used=True),
            "A used brake pad, shoe or lining is not taken.",
        ),
        (
            Part(kind="seat_belt", system=System.RESTRAINT, used=True),
            "A used part of belts or airbags is not taken.",
        ),
    ],
)
def test_a_used_part_that_is_never_taken_is_refused(part: Part, sentence: str) -> None:
    make_need(kind=part.kind, system=part.system)
    with pytest.raises(ValidationError) as refusal:
        record(make_sponsor(), part=part)
    assert refusal.value.message_dict == {"used": [sentence]}
    assert Pledge.objects.count() == 0


@pytest.mark.parametrize("kind", ["brake_caliper", "brake_pads"])
def test_a_used_part_that_can_be_looked_over_and_a_new_one_are_taken(kind: str) -> None:
    make_need(kind=kind, system="brakes")
    used = kind == "brake_caliper"
    pledge = record(make_sponsor(), part=Part(kind=kind, system=System.BRAKES, used=used))
    assert (pledge.used, pledge.units.get().used) == (used, used)


def test_all_that_is_wrong_is_said_at_once() -> None:
    sponsor = make_sponsor()
    with pytest.raises(ValidationError) as refusal:
        record(
            sponsor, quantity=0, expires_on=dt.date(2020, 1, 1), part=replace(RADIATOR, kind="x")
        )
    assert sorted(refusal.value.message_dict) == ["expires_on", "kind", "quantity"]


def test_what_is_here_already_lies_on_the_shelf() -> None:
    make_need()
    pledge = record(make_sponsor(), quantity=2, arrived=True)
    units = list(pledge.units.values_list("number", "state"))
    assert pledge.state == PledgeState.ARRIVED
    assert units == [(1, SupplyState.ON_SHELF), (2, SupplyState.ON_SHELF)]
    with pytest.raises(ValidationError, match="A part of this pledge is with us already"):
        take_back(pledge=pledge)


def test_a_pledge_keeps_its_conditions() -> None:
    make_need()
    pledge = record(make_sponsor(), counties=["Alder County"], household_kinds=["rural"])
    assert (pledge.counties, pledge.household_kinds) == (["Alder County"], ["rural"])


def test_a_pledge_and_its_end_ask_for_one_matching_each() -> None:
    make_need()
    sponsor, key = make_sponsor(), uuid4()
    pledge = record(sponsor, client_key=key)
    record(sponsor, client_key=key)
    for _ in range(2):
        take_back(pledge=pledge)
    jobs = list(Job.objects.order_by("pk").values_list("kind", "key"))
    keys = [f"match:pledge:{pledge.pk}", f"match:without:{pledge.pk}"]
    assert jobs == [(MATCH, key) for key in keys]


def test_a_day_that_has_passed_is_refused() -> None:
    make_need()
    sponsor = make_sponsor()
    yesterday = sponsor.program.today() - dt.timedelta(days=1)
    with pytest.raises(ValidationError) as refusal:
        record(sponsor, expires_on=yesterday)
    said = f"{yesterday:%b} {yesterday.day} has passed. A pledge stands for today at least."
    assert refusal.value.message_dict == {"expires_on": [said]}


def test_a_sponsor_who_ended_pledges_nothing() -> None:
    make_need()
    with pytest.raises(ValidationError) as refusal:
        record(make_sponsor(ended_on=dt.date(2025, 1, 1)))
    assert refusal.value.messages == ["This sponsor is on the list no more."]


def test_taking_back_frees_what_the_units_were_kept_for() -> None:
    pledge = make_pledge(quantity=2)
    unit = pledge.units.all()[0]
    kept = Reservation.objects.create(
        program=pledge.program,
        supply=unit,
        need=make_need(),
        made_for="matching",
        because="It fits.",
    )
    assert take_back(pledge=pledge).state == PledgeState.TAKEN_BACK
    kept.refresh_from_db()
    assert (kept.freed_at is not None, kept.freed_because) == (True, "The pledge was taken back.")
    assert set(pledge.units.values_list("state", flat=True)) == {SupplyState.GONE}


def test_taking_back_twice_changes_nothing() -> None:
    pledge = make_pledge()
    version = take_back(pledge=pledge).version
    assert take_back(pledge=pledge).version == version


@pytest.mark.parametrize("state", [SupplyState.ON_SHELF, SupplyState.FITTED, SupplyState.ON_ORDER])
def test_what_has_arrived_is_not_taken_back(state: SupplyState) -> None:
    pledge = make_pledge(quantity=2)
    Supply.objects.filter(pk=pledge.units.all()[0].pk).update(state=state)
    with pytest.raises(ValidationError) as refusal:
        take_back(pledge=pledge)
    assert refusal.value.messages == ["A part of this pledge is with us already. Call us about it."]
    assert pledge.units.filter(state=SupplyState.PLEDGED).count() == 1


def test_a_pledge_that_ran_out_is_not_taken_back() -> None:
    pledge = make_pledge(state=PledgeState.EXPIRED)
    with pytest.raises(ValidationError) as refusal:
        take_back(pledge=pledge)
    assert refusal.value.messages == ["This pledge has run out already."]


def test_a_pledge_runs_out_the_day_after_its_last() -> None:
    last = dt.date(2026, 12, 4)
    pledge = make_pledge(expires_on=last)
    assert expire_pledges(program=pledge.program, today=last) == 0
    assert expire_pledges(program=pledge.program, today=last + dt.timedelta(days=1)) == 1
    pledge.refresh_from_db()
    assert (pledge.state, pledge.units.get().state) == (PledgeState.EXPIRED, SupplyState.GONE)
    assert expire_pledges(program=pledge.program, today=last + dt.timedelta(days=2)) == 0


def test_what_has_arrived_stays_when_its_pledge_runs_out() -> None:
    pledge = make_pledge(quantity=2, expires_on=dt.date(2026, 12, 4))
    Supply.objects.filter(pk=pledge.units.all()[0].pk).update(state=SupplyState.ON_SHELF)
    expire_pledges(program=pledge.program, today=dt.date(2026, 12, 5))
    pledge.refresh_from_db()
    states = sorted(pledge.units.values_list("state", flat=True))
    assert (pledge.state, states) == (PledgeState.ARRIVED, [SupplyState.GONE, SupplyState.ON_SHELF])


def test_a_pledge_without_a_last_day_never_runs_out() -> None:
    pledge = make_pledge(expires_on=None)
    assert expire_pledges(program=pledge.program, today=dt.date(2036, 1, 1)) == 0


def test_the_nightly_job_works_for_its_own_program_only() -> None:
    past = timezone.now().date() - dt.timedelta(days=9)
    own = make_pledge(pledged_on=past, expires_on=past)
    other = make_sponsor(program=make_program(name="Another garage"))
    make_pledge(sponsor=other, pledged_on=past, expires_on=past)
    expire_due({}, own.program)
    ran_out = Pledge.objects.filter(state=PledgeState.EXPIRED)
    assert list(ran_out) == [own]
