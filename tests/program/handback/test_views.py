"""The page of a car that goes back unrepaired: read, sign, confirm, and only then it is done."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from program.handback.queries import findings_of
from program.handback.sheet import in_language, notice_of
from program.households.actions import declare_tie
from shared.accounts.roles import RoleKind
from shared.models import Document
from sponsors.models import Reservation
from tests.factories import (
    make_content,
    make_finding,
    make_intake,
    make_item,
    make_need,
    make_pledge,
    make_program,
    make_standing,
    make_user,
    make_vehicle,
)
from tests.program.handback.story import NAME, make_held_case, send_back, stay_of
from tests.vehicles.pages import sign_in, words
from vehicles.models import Departure, Finding

if TYPE_CHECKING:
    from django.test import Client

    from program.models import Case

pytestmark = pytest.mark.django_db
ALLOWED = (RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN)


def page_of(case: Case, name: str = "return_car") -> str:
    return reverse(f"handback:{name}", args=[stay_of(case).pk])


def typed(case: Case, **fields: str) -> dict[str, str]:
    """Return what a person typed: signed on the screen, their own tow."""
    stay = stay_of(case)
    language = fields.get("language", "en")
    read = in_language(notice_of(stay, findings_of(stay)), language).digest
    return {
        "because": "The frame is rusted through.",
        "on": stay.program.today().isoformat(),
        "after": "decide",
        "taken_by": "Dana Haskell",
        "how": "screen",
        "strokes": json.dumps(NAME),
        "keys_to": "Dana Haskell",
        "tow_answer": "own",
        "kind": "flatbed",
        "language": language,
        "read": read,
        "version": str(stay.version),
        "client_key": str(uuid4()),
    } | fields


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
    assert "One thing on it is dangerous: nobody drives it away." in text
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
    assert "Two parts and $60.00 are free for other cars. One repair item and 2" in words(asked)
    assert not Departure.objects.exists()
    back = client.post(page_of(case), sent | {"change": "yes"})
    assert (back.status_code, Departure.objects.count()) == (200, 0)
    assert "The frame is rusted through." in back.content.decode()
    done = client.post(page_of(case), sent | {"confirmed": "yes"}, follow=True)
    assert "Returned unrepaired. All that was kept for it is free." in words(done)
    assert "Signed by the owner, Dana Haskell" in words(done)
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


def test_other_words_than_were_read_are_shown_and_signed_anew(client: Client) -> None:
    case = make_held_case()
    sign_in(client, RoleKind.COORDINATOR)
    sent = typed(case)
    Finding.objects.filter(deficiency="minor").update(deficiency="dangerous")
    answer = client.post(page_of(case), sent | {"confirmed": "yes"})
    assert answer.status_code == 422
    assert "The notice has changed since it was read. Read it again, then sign." in words(answer)
    html = answer.content.decode()
    assert typed(case)["read"] in html
    assert sent["read"] not in html
    assert json.dumps(NAME) not in html
    assert not Departure.objects.exists()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"because": " "}, "Why it goes back unrepaired: an answer is missing."),
        ({"because": "x" * 151}, "at most 150 characters"),
        ({"strokes": "[]"}, "The pad is empty, or nearly so."),
        ({"strokes": "{]"}, "The signature did not arrive whole."),
        ({"how": "declined"}, "Name who sees it signed on paper, or sees them decline."),
        ({"how": "paper", "witness": "dana haskell"}, "The witness is somebody else"),
        ({"tow_answer": "taken"}, "Who tows: an answer is missing for the tow."),
        ({"tow_answer": "flown"}, "Select a valid choice."),
        ({"on": "2049-01-01"}, "has not come yet."),
        ({"on": "2019-01-01", "confirmed": "yes"}, "A vehicle can’t leave before it arrives."),
        ({"on": "soon"}, "“soon” is not a date."),
        ({"after": ""}, "What becomes of the case: an answer is missing."),
        ({"after": "followed_up"}, "Select a valid choice."),
        ({"version": "7", "confirmed": "yes"}, "Somebody else changed this stay meanwhile."),
        ({"cost_cents": "-3"}, "is too little"),
        ({"language": "fr"}, "Select a valid choice."),
    ],
)
def test_what_is_wrong_stands_on_the_page_and_what_was_typed_stays(
    client: Client, fields: dict[str, str], sentence: str
) -> None:
    case = make_held_case()
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.post(page_of(case), typed(case) | fields)
    assert answer.status_code == 422
    assert sentence.replace("’", "'") in words(answer).replace("’", "'")
    assert "Dana Haskell" in answer.content.decode()
    assert not Departure.objects.exists()


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


def test_what_still_lies_in_the_car_is_asked_for(client: Client) -> None:
    case = make_held_case()
    make_content(stay_of(case), what="Booster seat")
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.post(page_of(case), typed(case))
    assert answer.status_code == 422
    assert "Still here: Booster seat" in words(answer)
    assert "Who takes what lies in it: an answer is missing." in words(answer)


def test_a_car_that_may_not_leave_says_why_and_offers_no_form(client: Client) -> None:
    case = make_held_case()
    make_standing(stay_of(case), hold="police")
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.get(page_of(case))
    assert "Police hold: it may not leave before a person has decided." in words(answer)
    assert "Look at what will happen" not in words(answer)
    refused = client.post(page_of(case), typed(case) | {"confirmed": "yes"})
    assert refused.status_code == 422
    assert not Departure.objects.exists()


def test_a_car_that_left_otherwise_has_no_such_page(client: Client) -> None:
    stay = make_intake(vehicle=make_vehicle(step="handed_back"))
    type(stay).objects.update(left_on=stay.program.today())
    sign_in(client, RoleKind.COORDINATOR)
    for name in ("return_car", "notice"):
        assert client.get(reverse(f"handback:{name}", args=[stay.pk])).status_code == 404
    assert client.get(reverse("handback:return_car", args=[999_999])).status_code == 404


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
