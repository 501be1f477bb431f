"""What a car holds, what keeps it here, and whose case it is."""

from __future__ import annotations

import datetime as dt

import pytest

from program.handback.queries import (
    case_of,
    commitments_of,
    dangerous,
    findings_of,
    issued,
    language_of,
    left_in,
    may_see,
    obstacles,
    what_is_freed,
)
from program.households.actions import declare_tie
from program.models import Commitment
from program.planning.actions import pin_case
from sponsors.models import Reservation, Supply
from tests.factories import (
    make_case,
    make_content,
    make_finding,
    make_intake,
    make_need,
    make_standing,
    make_supply,
    make_user,
    make_vehicle,
)
from tests.program.handback.story import make_held_case, make_other_case, send_back, stay_of
from vehicles.models import Finding, Intake

pytestmark = pytest.mark.django_db


def test_the_case_of_a_stay_is_the_open_one_of_its_car() -> None:
    car = make_vehicle()
    day = dt.date(2026, 11, 20)
    closed = make_case(vehicle=car, closed_on=day, closed_because="Done.")
    stay = make_intake(vehicle=car)
    assert case_of(stay) == closed
    opened = make_case(vehicle=car)
    assert case_of(stay) == opened
    assert case_of(make_intake()) is None


def test_a_tie_keeps_a_case_from_a_user() -> None:
    case, user = make_case(), make_user()
    assert may_see(case, user)
    assert case.household
    declare_tie(household=case.household, user=user, by=make_user())
    assert not may_see(case, user)
    assert may_see(None, user)


def test_a_car_without_a_household_speaks_english() -> None:
    assert (language_of(None), language_of(make_held_case(language="es"))) == ("en", "es")


def test_what_is_never_released_is_dangerous_whatever_its_class() -> None:
    stay = make_intake()
    minor = make_finding(intake=stay, deficiency="minor")
    major = make_finding(intake=stay, deficiency="major", never_release=True)
    worst = make_finding(intake=stay)
    make_finding(intake=stay, cleared_on=stay.arrived_on)
    make_finding(intake=stay, withdrawn_because="Read again.")
    found = findings_of(stay)
    assert found == [worst, major, minor]
    assert dangerous(found) == [worst, major]


def test_what_a_case_holds_is_told_in_figures() -> None:
    case = make_held_case()
    make_other_case()
    freed = what_is_freed(stay_of(case), case)
    assert (len(freed.units), freed.cents, len(freed.items), len(freed.needs)) == (2, 6_000, 1, 2)
    assert (freed.has_place, freed.is_pinned) == (True, False)
    sponsor = freed.units[0].supply.pledge
    assert sponsor
    assert [str(one) for one in freed.sentences] == [
        f"2 × {freed.units[0].supply.title}: free again in the pledge of {sponsor.sponsor}.",
        "$60.00 of the general fund is free again.",
        "Repair items withdrawn: 1.",
        "Needs closed, so that no sponsor is asked for them: 2.",
        "Its place in the plan in force ends, and a new plan is computed.",
    ]


def test_a_unit_says_where_it_is_free_again_and_what_is_fitted_stays() -> None:
    case = make_held_case()
    item = stay_of(case).items.get()
    need, done = make_need(item=item, quantity=2), make_need(item=item, state="filled")
    for source, state, one in (
        ("shelf", "on_shelf", need),
        ("order", "on_order", need),
        ("shelf", "fitted", done),
    ):
        unit = make_supply(title="Alternator", source=source, state=state)
        Reservation.objects.create(
            program=case.program, supply=unit, need=one, made_for="plan:1", because="It fits."
        )
    said = [str(one) for one in what_is_freed(stay_of(case), case).sentences]
    assert "Alternator: free again on the shelf." in said
    assert "Alternator: free again on its order." in said
    assert not any("2 × Alternator" in one for one in said)
    send_back(case)
    fitted = Supply.objects.get(state="fitted")
    assert fitted.reservations.get().freed_at is None


def test_a_pin_ends_with_the_stay() -> None:
    case = make_held_case()
    pin_case(case=case, direction="in", reason="Promised.", by=make_user())
    freed = what_is_freed(stay_of(case), case)
    assert freed.is_pinned
    assert str(freed.sentences[-1]) == "Its pin ends."


def test_money_set_aside_for_another_case_is_not_touched() -> None:
    case, other = make_held_case(), make_case()
    row = Commitment.objects.get()
    assert list(commitments_of(stay_of(case), case)) == [row]
    assert list(commitments_of(stay_of(case), None)) == [row]
    assert list(commitments_of(make_intake(), other)) == []


def test_nothing_held_says_nothing() -> None:
    freed = what_is_freed(make_intake(), None)
    assert (freed.sentences, freed.cents) == ([], 0)


@pytest.mark.parametrize("step", ["expected", "handed_back", "scrapped"])
def test_a_car_that_is_not_here_can_not_be_returned(step: str) -> None:
    stay = make_intake(vehicle=make_vehicle(step=step))
    [found] = obstacles(stay)
    assert str(found.sentence).endswith("it can't be returned from there.")


def test_a_hold_that_a_person_decided_on_keeps_the_car_no_longer() -> None:
    stay = make_intake()
    standing = make_standing(stay, hold="court", stolen="reported")
    make_content(stay, kind="weapon", what="Hunting rifle")
    assert [str(one.sentence) for one in obstacles(Intake.objects.get(pk=stay.pk))] == [
        "Court order: it may not leave before a person has decided.",
        "Reported stolen: it may not leave before a person has decided.",
        "Nobody has decided yet on what lies in the car: Hunting rifle.",
    ]
    standing.cleared_on, standing.cleared_by = stay.arrived_on, make_user()
    standing.cleared_because = "Police release 7: theirs again."
    standing.save()
    assert len(obstacles(Intake.objects.get(pk=stay.pk))) == 1
    assert left_in(stay) == ["Hunting rifle"]


def test_the_issued_notice_is_found_by_its_departure() -> None:
    case = make_held_case()
    departure = send_back(case)
    document = issued(departure)
    assert document
    assert document.holder_id == departure.pk
    assert Finding.objects.open().exists()
