from __future__ import annotations

import datetime as dt

import pytest
from django.urls import reverse

from shared.accounts.roles import OFFICE, RoleKind
from sponsors.models import Pledge, Sponsor, Supply
from sponsors.pledges.states import PledgeState, SupplyState
from tests.factories.sponsors import make_pledge, make_sponsor
from tests.factories.vehicles import make_need
from tests.sponsors.looking import client_of

pytestmark = pytest.mark.django_db


TYPED = {
    "client_key": "7f1e1c1e-3f64-4c35-9f50-0a1d4f8b2c11",
    "kind": "radiator",
    "title": "Radiator, Corolla 2009-2013",
    "system": "cooling",
    "make": "Toyota",
    "model": "Corolla",
    "year_from": "2009",
    "year_to": "2013",
    "quantity": "2",
    "unit": "each",
}


def new(sponsor: Sponsor) -> str:
    return reverse("pledges:pledge_new", args=[sponsor.pk])


def test_a_pledge_by_phone_is_recorded_and_its_needs_are_shown() -> None:
    make_need()
    sponsor = make_sponsor()
    answer = client_of().post(new(sponsor), TYPED)
    pledge = Pledge.objects.get()
    assert answer["Location"] == reverse("matching:pledge_fits", args=[pledge.pk])
    assert (pledge.sponsor, pledge.quantity, pledge.state) == (sponsor, 2, PledgeState.INTENDED)
    assert pledge.units.count() == 2


def test_what_was_brought_lies_on_the_shelf() -> None:
    make_need()
    client_of().post(new(make_sponsor()), TYPED | {"arrived": "on"})
    assert Supply.objects.filter(state=SupplyState.ON_SHELF).count() == 2


def test_a_form_that_is_sent_twice_is_one_pledge() -> None:
    make_need()
    sponsor, client = make_sponsor(), client_of()
    answers = [client.post(new(sponsor), TYPED) for _ in range(2)]
    assert answers[0]["Location"] == answers[1]["Location"]
    assert (Pledge.objects.count(), Supply.objects.count()) == (1, 2)


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("quantity", "0", "“0” is not possible. Type a whole number from 1 to 200."),
        ("expires_on", "1/5/2020", "Jan 5 has passed. A pledge stands for today at least."),
        ("system", "sails", "“sails” is not a system. Choose one of the list."),
        ("year_to", "2001", "The last model year, 2001, is before the first, 2009."),
    ],
)
def test_what_can_not_be_is_refused_and_what_was_typed_stays(
    field: str, typed: str, sentence: str
) -> None:
    make_need()
    answer = client_of().post(new(make_sponsor()), TYPED | {field: typed})
    assert (answer.status_code, answer.context["form"].errors) == (422, {field: [sentence]})
    assert "Radiator, Corolla 2009-2013" in answer.content.decode()
    assert Pledge.objects.count() == 0


def test_used_brake_pads_are_refused_at_their_field() -> None:
    make_need(kind="brake_pads", system="brakes")
    typed = TYPED | {"kind": "Brake pads", "system": "brakes", "used": "on"}
    form = client_of().post(new(make_sponsor()), typed).context["form"]
    assert form.errors == {"used": ["A used brake pad, shoe or lining is not taken."]}


def test_the_parts_that_are_known_are_offered() -> None:
    make_need(kind="brake_pads", system="brakes")
    page = client_of().get(new(make_sponsor())).content.decode()
    assert '<option value="brake pads"></option>' in page


def test_a_sponsor_who_ended_promises_nothing_more() -> None:
    make_need()
    sponsor = make_sponsor(ended_on=dt.date(2026, 1, 5))
    form = client_of().post(new(sponsor), TYPED).context["form"]
    assert form.non_field_errors() == ["This sponsor is on the list no more."]


def test_the_page_of_a_sponsor_leads_to_the_form() -> None:
    sponsor = make_sponsor()
    url = reverse("register:sponsor_page", args=[sponsor.pk])
    found = [new(sponsor) in client_of(role).get(url).content.decode() for role in OFFICE]
    assert sorted(found) == [False] * (len(OFFICE) - 1) + [True]


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


def test_ending_a_pledge_is_offered_to_the_coordinator_alone() -> None:
    address = reverse("pledges:pledge_end", args=[make_pledge().pk])
    lists = {
        role: client_of(role).get(reverse("pledges:pledge_list")).content.decode()
        for role in (RoleKind.COORDINATOR, RoleKind.TREASURER)
    }
    assert [role for role, page in lists.items() if address in page] == [RoleKind.COORDINATOR]
