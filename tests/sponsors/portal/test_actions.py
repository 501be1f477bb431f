from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from program.work import WORK
from shared.jobs.models import Job
from shared.jobs.runner import run_due
from sponsors.models import Pledge, Reservation
from sponsors.pledges.actions import take_back
from sponsors.portal.actions import pledge_for
from sponsors.portal.queries import Wish, wish
from tests.factories.sponsors import make_sponsor
from tests.factories.vehicles import make_need

if TYPE_CHECKING:
    from vehicles.models import Need

pytestmark = pytest.mark.django_db


def wished(need: Need) -> Wish:
    found = wish(need.program, need.pk)
    assert found is not None
    return found


def pledged(need: Need, quantity: int = 1) -> Pledge:
    sponsor = make_sponsor()
    return pledge_for(
        sponsor=sponsor,
        wish=wished(need),
        quantity=quantity,
        expires_on=sponsor.program.today() + dt.timedelta(days=9),
        client_key=uuid4(),
        by=None,
    )


def test_a_pledge_is_matched_by_the_next_job() -> None:
    need = make_need(opened_on=dt.date(2026, 1, 5))
    pledge = pledged(need)
    assert run_due(WORK) == 1
    row = Reservation.objects.get()
    assert (row.need, row.supply.pledge) == (need, pledge)


def test_a_pledge_goes_where_it_is_needed_most_and_not_where_it_was_made() -> None:
    late, urgent = make_need(tier=3), make_need(tier=0)
    pledged(late)
    run_due(WORK)
    assert Reservation.objects.get().need == urgent


def test_a_pledge_that_is_taken_back_frees_its_need() -> None:
    need = make_need()
    pledge = pledged(need)
    run_due(WORK)
    take_back(pledge=pledge, by=None)
    run_due(WORK)
    assert Reservation.objects.standing().count() == 0
    assert wished(need).units == 1


def test_a_pledge_that_is_refused_leaves_no_job() -> None:
    with pytest.raises(ValidationError) as refusal:
        pledged(make_need(), quantity=0)
    assert refusal.value.messages == ["0 is not possible. Pledge 1 to 200 units."]
    assert (Pledge.objects.count(), Job.objects.count()) == (0, 0)
