"""The page of a car that goes back unrepaired: read, sign, confirm, and only then it is done."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.households.actions import declare_tie
from shared.accounts.roles import RoleKind
from shared.models import Document
from sponsors.models import Reservation
from tests.factories import (
    make_finding,
    make_item,
    make_need,
    make_pledge,
    make_program,
    make_user,
)
from tests.program.handback.story import NAME, make_held_case, page_of, send_back, stay_of, typed
from tests.vehicles.pages import sign_in, words
from vehicles.models import Departure

if TYPE_CHECKING:
    from django.test import Client

    from program.models import Case

pytestmark = pytest.mark.django_db
ALLOWED = (RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN)


@pytest.mark.parametrize("role", list(RoleKind))
def test_coordinator_and_lead_technician_return_a_car_and_nobody_else(
    client: Client, role: RoleKind
) -> None:
    case = make_held_case()
    sign_in(client, role)
    expected = 200 if role in ALLOWED else 403
    assert client.get(page_of(case)).status_code == expected
    if role not in ALLOWED:
        assert client.post(page_of(case), typed(case) | {"confirmed": "yes"}).status_code == 403
    reads = {*ALLOWED, RoleKind.CASEWORKER}
    assert client.get(page_of(case, "notice")).status_code == (200 if role in reads else 403)


@pytest.mark.parametrize("name", ["return_car", "notice"])
def test_a_stranger_signs_in_and_who_is_tied_finds_nothing(client: Client, name: str) -> None:
    case = make_held_case()
    assert client.get(page_of(case, name)).status_code == 302
    user = sign_in(client, RoleKind.COORDINATOR)
    assert case.household
    declare_tie(household=case.household, user=user, by=make_user())
    assert client.get(page_of(case, name)).status_code == 404
    assert client.post(page_of(case, name), typed(case)).status_code in {404, 405}


def test_a_car_of_another_program_is_not_there(client: Client) -> None:
    case = make_held_case()
    user = make_user(RoleKind.COORDINATOR, program=make_program(name="Elsewhere"))
    client.force_login(user)
    assert client.get(page_of(case)).status_code == 404
    assert client.get(page_of(case, "notice")).status_code == 404


def test_the_page_says_what_is_dangerous_first_and_what_is_freed_in_figures(
    client: Client,
) -> None:
    case = make_held_case()
    sign_in(client, RoleKind.LEAD_TECHNICIAN)
    text = words(client.get(page_of(case)))
    assert "One thing on it keeps it off the road: nobody drives it away." in text
    assert text.index("Tread depth, LF") < text.index("Plate lamp is out")
    for figure in (
        "free again in the pledge of",
        "$60.00 of the general fund is free again.",
        "Repair items withdrawn: 1.",
        "Needs closed, so that no sponsor is asked for them: 2.",
        "Its place in the plan in force ends, and a new plan is computed.",
    ):
        assert figure in text
    assert "Do not drive this 2012 Toyota Corolla. It is not safe." in text
    assert "We make no claim on it" in text


def test_what_can_not_be_undone_asks_on_its_own_page_with_the_count(client: Client) -> None:
    case = make_held_case()
    sign_in(client, RoleKind.COORDINATOR)
    sent = typed(case)
    asked = client.post(page_of(case), sent)
    assert "Two parts and $60.00 are free for other cars. One repair item and two" in words(asked)
    assert not Departure.objects.exists()
    back = client.post(page_of(case), sent | {"change": "yes"})
    assert (back.status_code, Departure.objects.count()) == (200, 0)
    assert "The frame is rusted through." in back.content.decode()
    done = client.post(page_of(case), sent | {"confirmed": "yes"}, follow=True)
    assert "Returned unrepaired. All that was kept for it is free." in words(done)
    assert "Dana Haskell: signed by the owner" in words(done)
    assert Departure.objects.get().strokes == NAME


def test_the_same_form_sent_twice_leads_to_the_same_page(client: Client) -> None:
    case = make_held_case()
    sign_in(client, RoleKind.COORDINATOR)
    sent = typed(case) | {"confirmed": "yes"}
    client.post(page_of(case), sent)
    assert client.post(page_of(case), sent).status_code == 302
    assert (Departure.objects.count(), Document.objects.count()) == (1, 1)
    other = client.post(page_of(case), sent | {"client_key": str(uuid4())})
    assert other.status_code == 422
    assert "This stay ended on" in words(other)


def test_the_notice_is_what_was_handed_out_whatever_is_found_later(client: Client) -> None:
    case = make_held_case()
    sign_in(client, RoleKind.CASEWORKER)
    draft = client.get(page_of(case, "notice"))
    assert draft.content.startswith(b"%PDF-")
    send_back(case)
    kept = bytes(Document.objects.get().content)
    make_finding(intake=stay_of(case), title="Found afterwards")
    answer = client.get(page_of(case, "notice"))
    assert answer.content == kept != draft.content
    assert answer["Cache-Control"] == "no-store"
    assert answer["Content-Type"] == "application/pdf"


def test_the_notice_is_read_in_the_household_s_language_or_the_one_chosen(client: Client) -> None:
    case = make_held_case(language="es")
    sign_in(client, RoleKind.COORDINATOR)
    assert 'class="stack" lang="es"' in client.get(page_of(case)).content.decode()
    chosen = client.get(page_of(case), {"language": "en"}).content.decode()
    assert 'class="stack" lang="en"' in chosen
    wrong = client.get(page_of(case), {"language": "xx"}).content.decode()
    assert 'class="stack" lang="es"' in wrong
    client.post(page_of(case), typed(case, language="es", confirmed="yes"))
    assert Departure.objects.get().language == "es"


def test_a_tow_that_was_taken_is_ordered_with_who_pays(client: Client) -> None:
    case = make_held_case()
    sign_in(client, RoleKind.COORDINATOR)
    tow = {"tow_answer": "taken", "hauler": "Weir Street Towing", "to_place": "22 Mill Road"}
    sent = typed(case) | tow | {"payer": "program", "cost_cents": "85.00", "confirmed": "yes"}
    client.post(page_of(case), sent)
    ordered = Departure.objects.get().tow
    assert ordered
    assert (ordered.direction, ordered.payer, ordered.cost_cents) == ("out", "program", 8_500)
    assert (ordered.hauler, ordered.to_place) == ("Weir Street Towing", "22 Mill Road")


def test_the_case_is_a_link_for_those_alone_who_may_open_it(client: Client) -> None:
    case = make_held_case()
    link = f'href="/cases/{case.number}/"'
    sign_in(client, RoleKind.LEAD_TECHNICIAN)
    assert link not in client.get(page_of(case)).content.decode()
    sign_in(client, RoleKind.COORDINATOR)
    assert link in client.get(page_of(case)).content.decode()


def test_where_contact_is_a_danger_the_notice_is_handed_over_in_person(client: Client) -> None:
    case = make_held_case(barred=True)
    sign_in(client, RoleKind.COORDINATOR)
    assert "No mail goes: hand the notice over in person" in words(client.get(page_of(case)))


def _more(case: Case) -> None:
    """Let the car hold three of everything more."""
    stay = stay_of(case)
    for number in range(3):
        make_finding(intake=stay, title=f"Finding {number}")
        need = make_need(item=make_item(intake=stay, title=f"Item {number}"))
        Reservation.objects.create(
            program=need.program,
            supply=make_pledge().units.get(),
            need=need,
            made_for="plan:1",
            because="It fits.",
        )


@pytest.mark.parametrize("name", ["return_car", "notice"])
def test_a_page_takes_as_many_queries_for_much_as_for_little(client: Client, name: str) -> None:
    case = make_held_case()
    sign_in(client, RoleKind.COORDINATOR)
    counts: list[Any] = []
    for _ in range(2):
        client.get(page_of(case, name))
        with CaptureQueriesContext(connection) as found:
            client.get(page_of(case, name))
        counts.append(len(found))
        _more(case)
    assert counts[0] == counts[1]
    assert counts[0] <= 25
