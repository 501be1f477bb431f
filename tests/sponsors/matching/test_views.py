from __future__ import annotations

import pytest
from django.urls import reverse
from django.utils import timezone

from shared.models import User
from sponsors.matching.actions import match_open
from sponsors.models import Reservation
from tests.factories.shared import TODAY, make_program
from tests.factories.sponsors import make_pledge
from tests.factories.vehicles import make_need
from tests.sponsors.looking import client_of

pytestmark = pytest.mark.django_db

LIST = "/matches/"


def matched() -> Reservation:
    make_need()
    make_pledge()
    match_open(program=make_program(), today=TODAY)
    return Reservation.objects.get()


def test_matching_again_says_how_many_pairs_are_new() -> None:
    make_need(opened_on=TODAY)
    make_pledge()
    answer = client_of().post(reverse("matching:match_again"), follow=True)
    assert "Matched. New pairs: 1." in answer.content.decode()
    assert Reservation.objects.count() == 1


def test_a_get_matches_nothing() -> None:
    make_need()
    make_pledge()
    assert client_of().get(reverse("matching:match_again")).status_code == 405
    client_of().get(LIST)
    assert Reservation.objects.count() == 0


def test_a_match_is_confirmed() -> None:
    row = matched()
    answer = client_of().post(reverse("matching:match_confirm", args=[row.pk]))
    row.refresh_from_db()
    assert (answer["Location"], row.confirmed_at is not None) == (LIST, True)


def test_a_match_that_was_freed_meanwhile_is_not_confirmed() -> None:
    row = matched()
    Reservation.objects.update(freed_at=timezone.now())
    answer = client_of().post(reverse("matching:match_confirm", args=[row.pk]), follow=True)
    assert "This unit is kept for the need no more." in answer.content.decode()


def test_a_match_is_freed_with_a_reason_only() -> None:
    row = matched()
    url = reverse("matching:match_free", args=[row.pk])
    client = client_of()
    assert client.post(url, {"because": ""}).status_code == 422
    assert client.post(url, {"because": "The core is bent."})["Location"] == LIST
    row.refresh_from_db()
    assert (row.freed_at is not None, row.freed_because) == (True, "The core is bent.")


def test_a_need_of_a_withheld_car_is_not_decided_by_who_may_not_see_it() -> None:
    row = matched()
    client = client_of()
    user = User.objects.get()
    row.need.item.intake.vehicle.withheld_from.add(user)
    assert client.get(reverse("matching:match_free", args=[row.pk])).status_code == 404


def test_a_match_that_a_plan_made_names_the_plan() -> None:
    matched()
    Reservation.objects.update(made_for="plan:1")
    page = client_of().get(LIST).content.decode()
    assert ("plan 1" in page, "plan:1" in page) == (True, False)


def test_the_page_of_a_pledge_says_what_it_fits_and_what_it_is_kept_for() -> None:
    row = matched()
    url = reverse("matching:pledge_fits", args=[row.supply.pledge_id])
    answer = client_of().get(url)
    assert [one.answer for one in answer.context["rows"]] == ["fits"]
    assert answer.context["kept_for"] == ["Radiator, 2012 Toyota Corolla"]


def test_the_page_of_a_pledge_without_a_need_says_so() -> None:
    url = reverse("matching:pledge_fits", args=[make_pledge().pk])
    assert "No open need is for this part" in client_of().get(url).content.decode()
