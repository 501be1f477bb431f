"""Moving a car, and the page of its papers and keys with the small pages around it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import (
    TODAY,
    make_consent,
    make_content,
    make_intake,
    make_owner,
    make_program,
    make_tow,
    make_vehicle,
)
from tests.vehicles.custody.papers import full, page, sign_up, to
from tests.vehicles.pages import sign_in, words
from vehicles.custody.acts import Act
from vehicles.models import Condition

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Intake

pytestmark = pytest.mark.django_db
SENT = {"step": "repair", "mobility": "drives", "place": "Bay 2", "version": "1"}


def address(stay: Intake) -> str:
    return reverse("custody:move_vehicle", args=[stay.pk])


def step_of(stay: Intake) -> str:
    return Condition.objects.get(vehicle=stay.vehicle).step


def test_a_technician_moves_a_car(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    response = client.post(address(stay), SENT, follow=True)
    assert step_of(stay) == "repair"
    assert "Recorded: the car is “In repair”." in words(response)


def test_a_car_is_not_handed_back_here(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    response = client.post(address(stay), SENT | {"step": "handed_back"}, follow=True)
    assert step_of(stay) == "assessment"
    assert "The car can’t go there from “In assessment”." in words(response)


def test_a_stale_form_changes_nothing(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    Condition.objects.filter(vehicle=stay.vehicle).update(version=2)
    response = client.post(address(stay), SENT, follow=True)
    assert step_of(stay) == "assessment"
    assert "Somebody else moved this car meanwhile" in words(response)


def test_only_a_post_moves_a_car(client: Client) -> None:
    sign_in(client)
    assert client.get(address(make_intake())).status_code == 405


def test_others_do_not_move_cars(client: Client) -> None:
    stay = make_intake()
    assert client.post(address(stay), SENT).status_code == 302
    sign_in(client, RoleKind.SPONSOR)
    assert client.post(address(stay), SENT).status_code == 403
    assert step_of(stay) == "assessment"


def test_a_car_of_another_program_or_an_ended_stay_is_not_found(client: Client) -> None:
    user = sign_in(client)
    make_program(name="Marsh Lane Garage")
    ended = make_intake(left_on=TODAY)
    other = make_intake(program=make_program(name="Weir Street Garage"))
    assert user.program != other.program
    assert client.post(address(ended), SENT).status_code == 404
    assert client.post(address(other), SENT).status_code == 404


def test_another_car_in_the_same_place_is_said(client: Client) -> None:
    sign_in(client)
    other = make_vehicle(model="Camry")
    Condition.objects.filter(vehicle=other).update(place="Bay 2")
    response = client.post(address(make_intake()), SENT, follow=True)
    assert "There stands also: 2012 Toyota Camry." in words(response)


# ---- papers and keys ----


def test_the_page_says_what_may_be_done_and_what_stands_against_it(client: Client) -> None:
    sign_in(client)
    text = page(client, full())
    assert "Something stands against work on this car: a person has to decide first." in text
    assert "Diagnose, not yet Dana Haskell, Jan 1: taken over from earlier records." in text
    assert "The lien on the car is in default." in text
    assert "2 keys under tag" in text
    assert "Child seat Child seat. Return it at once. Return Child seat" in text
    assert "Weapon. Nobody touches the car before it is decided on." in text
    assert "Tow in, flatbed: Mill Road to 14 Osier Street. Program pays $85.00." in text


def test_a_stay_of_which_nothing_is_known_says_so(client: Client) -> None:
    sign_in(client)
    text = page(client, make_intake(consents=()))
    assert "No owner has consented: nothing may be repaired." in text
    assert "Nobody has asked yet about liens, holds and a report of theft." in text
    assert "No paper was seen: nobody is recorded as owner." in text
    assert "No keys are recorded." in text
    assert "Nothing is listed." in text
    assert "No tow is recorded." in text
    assert "Have an owner sign" not in text


def test_an_owner_who_has_not_signed_is_named(client: Client) -> None:
    sign_in(client)
    text = page(client, make_intake(consents=(Act.STORE,)))
    assert (
        "Repair, not yet No owner has consented: nothing may be repaired. Dana Haskell may sign."
        in text
    )


def test_an_ended_stay_takes_returns_only(client: Client) -> None:
    sign_in(client)
    text = page(client, full(left_on=TODAY))
    assert "It left on Monday, November 30; only returns can be recorded still." in text
    for button in ("Have an owner sign", "Answer again", "Name an owner", "Record a tow"):
        assert button not in text
    assert "Return the keys" in text


def test_the_page_takes_as_many_queries_for_three_rows_as_for_one(client: Client) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    stay, counts = full(), []
    for _ in range(2):
        client.get(to("custody_page", stay.pk))
        with CaptureQueriesContext(connection) as queries:
            client.get(to("custody_page", stay.pk))
        counts.append(len(queries))
        for name in (f"Corin {len(counts)}", f"Ana {len(counts)}"):
            make_consent(make_owner(stay, name), stay)
            make_content(stay, kind="weapon", decided_by=sign_up(), decided_because="So.")
            make_tow(stay)
            stay.key_tag.moves.create(program=stay.program, holder=name, by=sign_up())
    assert counts[0] == counts[1]


@pytest.mark.parametrize("role", [RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN])
def test_who_decides_finds_both_decisions(client: Client, role: RoleKind) -> None:
    sign_in(client, role)
    text = page(client, full())
    assert "Decide on what stands against it" in text
    assert "Decide on Hunting rifle" in text


def test_a_technician_decides_on_nothing(client: Client) -> None:
    sign_in(client)
    stay = full()
    assert "Decide" not in page(client, stay)
    weapon = stay.contents.get(kind="weapon")
    for url in (to("decide_standing", stay.pk), to("decide_content", stay.pk, weapon.pk)):
        assert client.get(url).status_code == 403
