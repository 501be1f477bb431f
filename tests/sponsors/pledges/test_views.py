from __future__ import annotations

import pytest
from django.urls import reverse

from sponsors.models import Supply
from sponsors.pledges.states import PledgeState, SupplyState
from tests.factories.sponsors import make_pledge
from tests.sponsors.looking import client_of

pytestmark = pytest.mark.django_db


def test_the_coordinator_ends_a_pledge_for_its_sponsor() -> None:
    pledge = make_pledge()
    url = reverse("pledges:pledge_end", args=[pledge.pk])
    answer = client_of().post(url, {"reason": "They called."})
    pledge.refresh_from_db()
    assert answer["Location"] == reverse("pledges:pledge_list")
    assert pledge.state == PledgeState.TAKEN_BACK


def test_a_pledge_is_not_ended_without_a_reason() -> None:
    pledge = make_pledge()
    answer = client_of().post(reverse("pledges:pledge_end", args=[pledge.pk]), {"reason": ""})
    pledge.refresh_from_db()
    assert (answer.status_code, pledge.state) == (422, PledgeState.INTENDED)


def test_a_pledge_that_arrived_is_not_ended() -> None:
    pledge = make_pledge()
    Supply.objects.update(state=SupplyState.ON_SHELF)
    url = reverse("pledges:pledge_end", args=[pledge.pk])
    answer = client_of().post(url, {"reason": "They called."})
    said = "A part of this pledge is with us already. Call us about it."
    assert (answer.status_code, answer.context["form"].non_field_errors()) == (422, [said])


def test_pledges_are_found_by_state_and_system() -> None:
    stands = make_pledge()
    make_pledge(state=PledgeState.EXPIRED)
    client = client_of()
    url = reverse("pledges:pledge_list")
    rows = client.get(url, {"state": "intended", "system": "cooling"}).context["table"].rows
    assert [row.record for row in rows] == [stands]
    assert len(client.get(url, {"system": "tires"}).context["table"].rows) == 0
