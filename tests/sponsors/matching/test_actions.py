from __future__ import annotations

import datetime as dt

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shared.audit.models import Event
from sponsors.matching.actions import (
    confirm,
    free,
    free_all,
    free_needs,
    match_due,
    match_open,
    note_fitted,
    reserve,
    reserve_for_plan,
)
from sponsors.matching.states import Freed
from sponsors.models import Reservation, Supply
from sponsors.pledges.actions import take_back
from sponsors.pledges.states import SupplyState
from tests.factories.shared import TODAY, make_program, make_user
from tests.factories.sponsors import make_pledge, make_supply
from tests.factories.vehicles import make_need
from vehicles.models import Need
from vehicles.repairs.states import NeedState

pytestmark = pytest.mark.django_db


def match(today: dt.date = TODAY) -> int:
    return match_open(program=make_program(), today=today)


def pairs() -> list[tuple[int, int]]:
    rows = Reservation.objects.standing().order_by("need_id", "supply_id")
    return list(rows.values_list("need_id", "supply_id"))


def test_a_match_says_why() -> None:
    need, unit = make_need(tier=1), make_pledge().units.get()
    assert match() == 1
    row = Reservation.objects.get()
    assert (row.need, row.supply, row.made_for) == (need, unit, "matching")
    assert row.because == "It is for a Toyota Corolla. Tier 1, open since Nov 30."
    assert (row.confirmed_at, row.freed_at) == (None, None)


def test_matching_again_changes_nothing() -> None:
    make_need()
    make_pledge()
    match()
    before = list(Reservation.objects.values())
    assert match() == 0
    assert list(Reservation.objects.values()) == before


def test_a_need_gets_no_more_units_than_it_asks_for() -> None:
    need = make_need(quantity=2)
    make_pledge(quantity=3)
    assert match() == 2
    assert [pair[0] for pair in pairs()] == [need.pk, need.pk]


def test_a_part_that_does_not_fit_is_never_kept() -> None:
    make_need(car={"year": 2007, "make": "Toyota", "model": "Corolla"})
    make_pledge()
    assert (match(), pairs()) == (0, [])


def test_a_more_urgent_need_takes_what_nobody_confirmed() -> None:
    late, unit = make_need(tier=3), make_pledge().units.get()
    match()
    urgent = make_need(tier=0)
    assert match() == 1
    assert pairs() == [(urgent.pk, unit.pk)]
    assert Reservation.objects.get(need=late).freed_because == Freed.MOVED


def test_what_a_person_confirmed_stays() -> None:
    late = make_need(tier=3)
    unit = make_pledge().units.get()
    match()
    confirm(reservation=Reservation.objects.get(), by=make_user())
    make_need(tier=0)
    assert (match(), pairs()) == (0, [(late.pk, unit.pk)])


def test_what_a_plan_keeps_stays() -> None:
    late, unit = make_need(tier=3), make_pledge().units.get()
    program = make_program()
    reserve_for_plan(
        program=program, pairs=[(unit.pk, late.pk, "Plan.")], made_for="plan:1", by=None
    )
    make_need(tier=0)
    assert (match(), pairs()) == (0, [(late.pk, unit.pk)])


def test_a_pair_that_a_person_took_apart_is_not_made_again() -> None:
    make_need()
    make_pledge()
    match()
    free(reservation=Reservation.objects.get(), because="The core is bent.", by=make_user())
    assert (match(), pairs()) == (0, [])


def test_what_is_kept_for_a_closed_need_is_freed_for_the_next() -> None:
    first, unit = make_need(), make_pledge().units.get()
    match()
    Need.objects.filter(pk=first.pk).update(state=NeedState.WITHDRAWN)
    second = make_need(tier=4)
    assert match() == 1
    assert pairs() == [(second.pk, unit.pk)]
    assert Reservation.objects.get(need=first).freed_because == Freed.NEED_CLOSED


def test_a_unit_that_can_be_had_no_more_is_freed() -> None:
    make_need()
    Supply.objects.filter(pk=make_pledge(expires_on=TODAY).units.get().pk)
    match()
    assert match(TODAY + dt.timedelta(days=1)) == 0
    assert [row.freed_because for row in Reservation.objects.all()] == [Freed.UNIT_GONE]


def test_a_fitted_unit_stays_with_its_need() -> None:
    need = make_need()
    unit = make_pledge().units.get()
    match()
    Supply.objects.update(state=SupplyState.FITTED)
    Need.objects.update(state=NeedState.FILLED)
    assert (match(), pairs()) == (0, [(need.pk, unit.pk)])


def on_shelf(state: NeedState) -> tuple[Need, Supply]:
    """Return a need that was matched with a unit on the shelf, and has its state since."""
    need, unit = make_need(), make_pledge().units.get()
    Supply.objects.update(state=SupplyState.ON_SHELF)
    match()
    Need.objects.filter(pk=need.pk).update(state=state)
    return need, unit


def test_the_unit_kept_for_work_that_is_done_is_fitted() -> None:
    need, unit = on_shelf(NeedState.FILLED)
    make_need(tier=0)
    note_fitted(program=make_program())
    unit.refresh_from_db()
    assert (unit.state, pairs()) == (SupplyState.FITTED, [(need.pk, unit.pk)])
    assert (match(), pairs()) == (0, [(need.pk, unit.pk)])
    events = Event.objects.about("reservation", Reservation.objects.get().pk)
    assert [row.what for row in events] == ["The unit was fitted."]


def test_work_that_is_opened_again_has_its_unit_on_the_shelf() -> None:
    need, unit = on_shelf(NeedState.FILLED)
    match()
    Need.objects.update(state=NeedState.OPEN)
    note_fitted(program=make_program())
    unit.refresh_from_db()
    assert (unit.state, pairs()) == (SupplyState.ON_SHELF, [(need.pk, unit.pk)])


def test_what_was_only_promised_is_not_fitted_when_the_work_is_done() -> None:
    make_need()
    unit = make_pledge().units.get()
    match()
    Need.objects.update(state=NeedState.FILLED)
    match()
    unit.refresh_from_db()
    assert (unit.state, pairs()) == (SupplyState.PLEDGED, [])
    assert Reservation.objects.get().freed_because == Freed.NEED_CLOSED


def test_a_unit_on_the_shelf_is_freed_when_the_work_is_withdrawn() -> None:
    _, unit = on_shelf(NeedState.WITHDRAWN)
    match()
    unit.refresh_from_db()
    assert (unit.state, pairs()) == (SupplyState.ON_SHELF, [])


def test_a_part_on_a_car_stays_there_when_what_is_kept_is_freed() -> None:
    need, unit = on_shelf(NeedState.FILLED)
    because = Freed.RETURNED
    assert free_needs(program=make_program(), needs=[need.pk], because=because, by=None) == []
    assert free_all(program=make_program(), made_for="matching", because=because, by=None) == 0
    assert pairs() == [(need.pk, unit.pk)]


def test_a_pledge_taken_back_leaves_its_need_to_the_next() -> None:
    need, first = make_need(), make_pledge()
    match()
    second = make_pledge().units.get()
    take_back(pledge=first)
    assert match() == 1
    assert pairs() == [(need.pk, second.pk)]


def test_the_job_matches_its_own_program_only() -> None:
    make_need(opened_on=dt.date(2026, 1, 5))
    make_pledge(pledged_on=dt.date(2026, 1, 5))
    match_due({}, make_program(name="Another garage"))
    assert pairs() == []
    match_due({}, make_program())
    assert len(pairs()) == 1


def test_a_unit_is_kept_by_a_person_and_the_log_says_so() -> None:
    need, unit, user = make_need(), make_supply(fitment=make_need().fitment), make_user()
    row = reserve(supply=unit, need=need, made_for="hand", because="It lies here.", by=user)
    assert pairs() == [(need.pk, unit.pk)]
    [line] = Event.objects.filter(kind="reservation", object_id=row.pk)
    assert (line.what, line.by) == ("A unit was kept for a need.", user)


def test_a_part_is_never_given_twice() -> None:
    unit, user = make_pledge().units.get(), make_user()
    reserve(supply=unit, need=make_need(), made_for="hand", because="First.", by=user)
    with pytest.raises(ValidationError) as refusal:
        reserve(supply=unit, need=make_need(), made_for="hand", because="Second.", by=user)
    assert refusal.value.messages == ["This unit is kept for another need already."]


def test_a_need_that_has_all_it_asks_for_gets_no_more() -> None:
    need, pledge = make_need(), make_pledge(quantity=2)
    first, second = pledge.units.all()
    reserve(supply=first, need=need, made_for="hand", because="First.", by=None)
    with pytest.raises(ValidationError) as refusal:
        reserve(supply=second, need=need, made_for="hand", because="Second.", by=None)
    assert refusal.value.messages == ["All that this need asks for is kept already."]


@pytest.mark.parametrize(
    ("need", "unit", "sentence"),
    [
        (
            {"car": {"year": 2007, "make": "Toyota", "model": "Corolla"}},
            {},
            "It is for model years 2009 to 2013; the car is of 2007.",
        ),
        ({"kind": "water_pump"}, {}, "It is another part."),
        ({"state": NeedState.FILLED}, {}, "This need is not open any more."),
        ({}, {"state": SupplyState.GONE}, "This unit is not to be had any more."),
    ],
)
def test_what_can_not_serve_is_not_kept(
    need: dict[str, object], unit: dict[str, object], sentence: str
) -> None:
    wanted = make_need(**need)
    offered = make_pledge().units.get()
    Supply.objects.filter(pk=offered.pk).update(**unit)
    with pytest.raises(ValidationError) as refusal:
        reserve(supply=offered, need=wanted, made_for="hand", because="Try.", by=None)
    assert (refusal.value.messages, pairs()) == ([sentence], [])


def test_freeing_wants_a_reason() -> None:
    row = reserve(
        supply=make_pledge().units.get(), need=make_need(), made_for="hand", because="Yes.", by=None
    )
    with pytest.raises(ValidationError) as refusal:
        free(reservation=row, because="  ", by=make_user())
    assert refusal.value.message_dict == {"because": ["Say why the part is kept no more."]}


def test_what_is_free_is_neither_freed_nor_confirmed() -> None:
    user = make_user()
    row = reserve(
        supply=make_pledge().units.get(), need=make_need(), made_for="hand", because="Yes.", by=None
    )
    free(reservation=row, because="Bent.", by=user)
    with pytest.raises(ValidationError) as refusal:
        free(reservation=row, because="Bent.", by=user)
    assert refusal.value.messages == ["This unit is kept for the need no more."]
    with pytest.raises(ValidationError) as refusal:
        confirm(reservation=row, by=user)
    assert refusal.value.messages == ["This unit is kept for the need no more."]


def test_confirming_twice_keeps_the_first_moment() -> None:
    row = reserve(
        supply=make_pledge().units.get(), need=make_need(), made_for="hand", because="Yes.", by=None
    )
    first = confirm(reservation=row, by=make_user()).confirmed_at
    assert first is not None
    assert first <= timezone.now()
    assert confirm(reservation=row, by=make_user()).confirmed_at == first
