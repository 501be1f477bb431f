from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.utils import timezone

from sponsors.models import Reservation, Supply
from sponsors.pledges.queries import given, known_kinds, pledges_for, pledges_of
from sponsors.pledges.states import PledgeState, SupplyState
from sponsors.register.models import Gives
from tests.factories.shared import make_program, make_user
from tests.factories.sponsors import make_pledge, make_sponsor, make_supply
from tests.factories.vehicles import make_intake, make_item, make_need, make_vehicle

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from sponsors.models import Pledge

pytestmark = pytest.mark.django_db


def fit(pledge: Pledge, step: str) -> Reservation:
    """Return the reservation of a pledge's unit that is in a car of this condition now."""
    Supply.objects.filter(pledge=pledge).update(state=SupplyState.FITTED)
    item = make_item(intake=make_intake(vehicle=make_vehicle(step=step)))
    return Reservation.objects.create(
        program=pledge.program,
        supply=pledge.units.get(),
        need=make_need(item=item),
        made_for="matching",
        because="It fits.",
    )


def said(pledge: Pledge) -> tuple[str, str]:
    shown = given(pledges_of(pledge.sponsor).get(pk=pledge.pk))
    return shown.mark, str(shown.became)


def test_a_part_in_a_car_that_went_home_put_it_back_on_the_road() -> None:
    pledge = make_pledge()
    fit(pledge, "handed_back")
    assert said(pledge) == ("fitted", "Your radiator put a car back on the road.")


def test_a_part_in_a_car_that_is_still_here_is_fitted() -> None:
    pledge = make_pledge()
    fit(pledge, "repair")
    assert said(pledge) == ("fitted", "1 of 1 fitted.")


def test_a_part_that_was_kept_for_another_car_before_counts_once() -> None:
    pledge = make_pledge()
    fit(pledge, "handed_back")
    Reservation.objects.update(freed_at=timezone.now())
    fit(pledge, "repair")
    assert said(pledge) == ("fitted", "1 of 1 fitted.")


def test_a_pledge_that_stands_may_be_taken_back_and_one_that_arrived_may_not() -> None:
    stands, arrived = make_pledge(), make_pledge(state=PledgeState.ARRIVED)
    rows = {pledge.pk: given(pledge) for pledge in pledges_for(make_user())}
    assert rows[stands.pk].may_be_taken_back
    assert not rows[arrived.pk].may_be_taken_back


def test_a_pledge_taken_back_says_so() -> None:
    pledge = make_pledge(state=PledgeState.TAKEN_BACK)
    pledge.units.update(state=SupplyState.GONE)
    shown = given(pledges_of(pledge.sponsor).get())
    assert (shown.mark, str(shown.word), str(shown.became)) == ("none", "taken back", "Taken back.")


def test_known_are_the_parts_ever_needed_given_or_offered_in_the_program() -> None:
    sponsor = make_sponsor()
    make_need(kind="radiator")
    make_supply(kind="battery")
    Gives.objects.create(program=sponsor.program, sponsor=sponsor, system="tires", part_kind="tire")
    Gives.objects.create(program=sponsor.program, sponsor=sponsor, system="cooling")
    make_supply(program=make_program(name="Another garage"), kind="wiper")
    assert known_kinds(sponsor.program) == {"radiator", "battery", "tire"}


@pytest.mark.parametrize("count", [1, 3])
def test_reading_pledges_takes_two_queries_however_many_there_are(
    count: int, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    user = make_user()
    for _ in range(count):
        make_pledge()
    with django_assert_num_queries(2):
        assert len([given(pledge) for pledge in pledges_for(user)]) == count
