from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from sponsors.matching.actions import confirm, free_all, free_needs, match_open, reserve_for_plan
from sponsors.matching.states import Freed
from sponsors.models import Reservation, Supply
from sponsors.pledges.states import SupplyState
from tests.factories.shared import TODAY, make_program, make_user
from tests.factories.sponsors import make_pledge, make_supply
from tests.factories.vehicles import make_need
from vehicles.models import Need
from vehicles.repairs.states import NeedState

pytestmark = pytest.mark.django_db


def plan(*pairs: tuple[Supply, Need], made_for: str = "plan:1") -> list[Reservation]:
    return reserve_for_plan(
        program=make_program(),
        pairs=[(supply.pk, need.pk, "The plan sends it home.") for supply, need in pairs],
        made_for=made_for,
        by=make_user(),
    )


def standing() -> list[tuple[int, int, str]]:
    rows = Reservation.objects.standing().order_by("need_id")
    return list(rows.values_list("need_id", "supply_id", "made_for"))


def test_a_plan_takes_a_unit_from_a_match_that_nobody_confirmed() -> None:
    matched, unit = make_need(tier=0), make_pledge().units.get()
    match_open(program=make_program(), today=TODAY)
    planned = make_need(tier=2)
    [row] = plan((unit, planned))
    assert row.because == "The plan sends it home."
    assert standing() == [(planned.pk, unit.pk, "plan:1")]
    assert Reservation.objects.get(need=matched).freed_because == Freed.PLANNED


def test_a_plan_never_takes_what_a_person_confirmed() -> None:
    matched, unit = make_need(tier=0), make_pledge().units.get()
    match_open(program=make_program(), today=TODAY)
    confirm(reservation=Reservation.objects.get(), by=make_user())
    with pytest.raises(ValidationError) as refusal:
        plan((unit, make_need(tier=2)))
    assert refusal.value.messages == ["This unit is kept for another need already."]
    assert standing() == [(matched.pk, unit.pk, "matching")]


def test_a_plan_that_gives_one_unit_twice_is_refused_whole() -> None:
    unit = make_pledge().units.get()
    with pytest.raises(ValidationError) as refusal:
        plan((unit, make_need()), (unit, make_need()))
    assert refusal.value.messages == ["This unit is kept for another need already."]
    assert standing() == []


def test_a_plan_that_gives_what_does_not_fit_is_refused_whole() -> None:
    pledge = make_pledge(quantity=2)
    first, second = pledge.units.all()
    other = make_need(car={"year": 2012, "make": "Ford", "model": "Focus"})
    with pytest.raises(ValidationError) as refusal:
        plan((first, make_need()), (second, other))
    assert refusal.value.messages == ["It is for a Toyota Corolla; the car is a Ford Focus."]
    assert standing() == []


def test_a_pair_that_is_settled_already_stays() -> None:
    need, unit = make_need(), make_pledge().units.get()
    [first] = plan((unit, need))
    assert plan((unit, need), made_for="plan:2") == []
    assert Reservation.objects.get() == first


def test_a_plan_that_is_undone_frees_its_units_and_no_others() -> None:
    first, second = make_pledge(quantity=2).units.all()
    one, two = make_need(), make_need()
    plan((first, one))
    plan((second, two), made_for="plan:2")
    program = make_program()
    assert free_all(program=program, made_for="plan:1", because="Undone.", by=make_user()) == 1
    assert standing() == [(two.pk, second.pk, "plan:2")]
    assert Reservation.objects.get(need=one).freed_because == "Undone."


def test_a_unit_that_is_fitted_is_not_freed_with_its_plan() -> None:
    need, unit = make_need(), make_pledge().units.get()
    plan((unit, need))
    Supply.objects.update(state=SupplyState.FITTED)
    Need.objects.update(state=NeedState.FILLED)
    assert free_all(program=make_program(), made_for="plan:1", because="Undone.", by=None) == 0
    assert standing() == [(need.pk, unit.pk, "plan:1")]


def test_the_needs_of_a_car_let_go_of_every_unit_but_what_is_fitted() -> None:
    user, need, other = make_user(), make_need(quantity=2), make_need()
    done = make_need(state=NeedState.FILLED)
    units = [make_supply() for _ in range(4)]
    rows = [
        Reservation.objects.create(
            program=need.program, supply=unit, need=one, made_for="plan:1", because="It fits."
        )
        for unit, one in zip(units, [need, need, done, other], strict=True)
    ]
    confirm(reservation=rows[0], by=user)
    Supply.objects.filter(pk=units[2].pk).update(state=SupplyState.FITTED)
    freed = free_needs(
        program=need.program, needs=[need.pk, done.pk], because=Freed.RETURNED, by=user
    )
    assert freed == rows[:2]
    standing = Reservation.objects.standing()
    assert list(standing) == rows[2:]
    assert set(Reservation.objects.exclude(freed_at=None).values_list("freed_because")) == {
        ("The car was returned unrepaired.",)
    }
    assert free_needs(program=need.program, needs=[need.pk], because="Again.", by=user) == []
