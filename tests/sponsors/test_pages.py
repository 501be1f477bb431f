"""What holds for each page of the sponsors rooms: who opens it, and what it costs to read."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.accounts.roles import OFFICE, STAFF, RoleKind
from sponsors.appeals.actions import draft_appeals
from sponsors.appeals.drafting import Ask
from sponsors.matching.actions import match_open
from sponsors.models import Appeal, Gives, Pledge, Reservation, Sponsor
from tests.factories.shared import TODAY, make_program
from tests.factories.sponsors import make_contact, make_pledge, make_sponsor
from tests.factories.vehicles import make_need
from tests.sponsors.looking import client_of, token_of

if TYPE_CHECKING:
    from collections.abc import Callable

pytestmark = pytest.mark.django_db

LISTS = [
    "register:sponsor_list",
    "pledges:pledge_list",
    "matching:match_list",
    "appeals:appeal_list",
]


def world() -> Sponsor:
    """Return a sponsor who gives radiators, with a pledge, a match, an appeal and an open need."""
    sponsor = make_sponsor()
    Gives.objects.create(program=sponsor.program, sponsor=sponsor, system="cooling")
    make_need()
    make_pledge(sponsor=sponsor)
    match_open(program=sponsor.program, today=TODAY)
    need = make_need(tier=3)
    asks = [Ask(need_id=need.pk, frees_cars=1)]
    draft_appeals(program=sponsor.program, asks=asks, round=f"round {sponsor.pk}", today=TODAY)
    return sponsor


def pages(sponsor: Sponsor) -> dict[str, str]:
    """Return the address of each staff page that is about one thing."""
    pledge, row = Pledge.objects.get(), Reservation.objects.get()
    appeal = Appeal.objects.get()
    return {
        "register:sponsor_add": reverse("register:sponsor_add"),
        "register:sponsor_page": reverse("register:sponsor_page", args=[sponsor.pk]),
        "register:sponsor_edit": reverse("register:sponsor_edit", args=[sponsor.pk]),
        "pledges:pledge_new": reverse("pledges:pledge_new", args=[sponsor.pk]),
        "matching:pledge_fits": reverse("matching:pledge_fits", args=[pledge.pk]),
        "pledges:pledge_end": reverse("pledges:pledge_end", args=[pledge.pk]),
        "matching:match_free": reverse("matching:match_free", args=[row.pk]),
        "appeals:appeal_page": reverse("appeals:appeal_page", args=[appeal.pk]),
        "appeals:appeal_drop": reverse("appeals:appeal_drop", args=[appeal.pk]),
    } | {name: reverse(name) for name in LISTS}


def test_the_coordinator_opens_each_page() -> None:
    sponsor = world()
    client = client_of()
    found = {name: client.get(url).status_code for name, url in pages(sponsor).items()}
    assert found == dict.fromkeys(found, 200)


def test_a_stranger_is_asked_to_sign_in() -> None:
    client = Client()
    for url in pages(world()).values():
        answer = client.get(url)
        assert (answer.status_code, answer["Location"].split("?")[0]) == (
            302,
            reverse("accounts:sign_in"),
        )


@pytest.mark.parametrize("role", sorted(set(RoleKind) - OFFICE))
def test_who_does_not_work_in_the_office_opens_none(role: RoleKind) -> None:
    client = client_of(role)
    found = {name: client.get(url).status_code for name, url in pages(world()).items()}
    assert found == dict.fromkeys(found, 403)


@pytest.mark.parametrize("role", [RoleKind.TREASURER, RoleKind.BOARD])
def test_the_office_reads_the_lists_and_changes_nothing(role: RoleKind) -> None:
    client = client_of(role)
    found = {name: client.get(url).status_code for name, url in pages(world()).items()}
    readable = [*LISTS, "register:sponsor_page", "matching:pledge_fits"]
    assert found == {name: 200 if name in readable else 403 for name in found}


def test_what_belongs_to_another_program_is_not_there() -> None:
    addresses = pages(world())
    Sponsor.objects.update(program=make_program(name="Another garage"))
    Pledge.objects.update(program=make_program(name="Another garage"))
    Appeal.objects.update(program=make_program(name="Another garage"))
    Reservation.objects.update(program=make_program(name="Another garage"))
    client = client_of()
    for name, url in addresses.items():
        if name not in [*LISTS, "register:sponsor_add"]:
            assert (name, client.get(url).status_code) == (name, 404)


@pytest.mark.parametrize(
    "name", ["register:open_page", "register:close_page", "matching:match_confirm"]
)
def test_what_changes_something_is_not_a_link(name: str) -> None:
    world()
    pk = {"matching:match_confirm": Reservation.objects.get().pk}.get(
        name, Sponsor.objects.get().pk
    )
    assert client_of().get(reverse(name, args=[pk])).status_code == 405


def cost(ask: Callable[[], object]) -> int:
    with CaptureQueriesContext(connection) as queries:
        ask()
    return len(queries)


@pytest.mark.parametrize("name", LISTS)
def test_a_list_of_three_costs_as_many_queries_as_a_list_of_one(name: str) -> None:
    client = client_of()
    world()
    client.get(reverse(name))
    one = cost(lambda: client.get(reverse(name)))
    world()
    world()
    assert cost(lambda: client.get(reverse(name))) == one


@pytest.mark.parametrize("page", ["need_list", "pledge_list", "preferences"])
def test_a_sponsor_s_page_costs_the_same_for_one_and_three(page: str) -> None:
    sponsor = world()
    url = reverse(f"portal:{page}", args=[token_of(sponsor)])
    client = Client()
    client.get(url)
    one = cost(lambda: client.get(url))
    for _ in range(2):
        make_need(tier=3)
        make_pledge(sponsor=sponsor, kind="battery", system="battery")
    assert cost(lambda: client.get(url)) == one


@pytest.mark.parametrize("role", sorted(STAFF))
def test_staff_do_not_open_a_sponsor_s_pages_by_signing_in(role: RoleKind) -> None:
    assert client_of(role).get(reverse("portal:need_list")).status_code == 403


def test_each_list_can_be_had_as_a_sheet() -> None:
    world()
    client = client_of()
    for name in ("register:sponsor_list", "pledges:pledge_list", "appeals:appeal_list"):
        answer = client.get(reverse(name), {"export": "csv"})
        assert answer["Content-Type"] == "text/csv; charset=utf-8"
        assert len(answer.content.decode("utf-8-sig").splitlines()) == 2


def test_a_contact_signs_in_for_their_own_sponsor() -> None:
    contact = make_contact(sponsor=world())
    client = Client()
    client.force_login(contact.user, backend="django.contrib.auth.backends.ModelBackend")
    answer = client.get(reverse("portal:pledge_list"))
    assert answer.status_code == 200
    assert contact.sponsor.name in answer.content.decode()
