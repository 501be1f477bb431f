from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.households.actions import declare_tie
from program.households.models import Household
from program.status.actions import ask_question, give_page
from shared.accounts.roles import RoleKind
from shared.outbox.models import Address
from tests.factories import make_case, make_finding, make_household, make_user, make_vehicle
from tests.program.desk.making import make_ready_plan
from tests.program.status.making import make_told_case
from tests.shared.pages import tidy
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from django.test import Client

    from program.cases.models import Case
    from program.status.models import Question

pytestmark = pytest.mark.django_db


@pytest.fixture
def coordinator(client: Client) -> Client:
    client.force_login(make_user())
    return client


def page(client: Client, url: str) -> str:
    response = client.get(url)
    assert response.status_code == 200
    return tidy(response.content.decode())


def queries_of(client: Client, url: str) -> int:
    client.get(url)
    with CaptureQueriesContext(connection) as found:
        client.get(url)
    return len(found)


def test_the_desk_says_how_many_things_wait_and_what_the_plan_brings(coordinator: Client) -> None:
    case = make_told_case()
    make_ready_plan(case)
    ask_question(case=case, text="Can I drive on Thursday?", client_key=uuid4())
    html = page(coordinator, "/")
    assert "<h1>Two things wait for you</h1>" in html
    assert "<b>One car can go home by" in html
    assert "“Can I drive on Thursday?” Case" in html
    assert "Where the cars are" in html
    assert "Into a bay:" in html
    assert "reserve of $200.00 is not counted" in html


def test_a_calm_desk_says_what_was_looked_at(coordinator: Client) -> None:
    html = page(coordinator, "/")
    assert "<h1>Nothing waits for you</h1>" in html
    assert "Plan, questions, decisions, appeals, pledges" in html


@pytest.mark.parametrize(
    ("role", "heading"),
    [
        (RoleKind.CASEWORKER, "Nothing waits for you"),
        (RoleKind.BOARD, "Money and cars today"),
        (RoleKind.LEAD_TECHNICIAN, "The cars, and what is next"),
        (RoleKind.TECHNICIAN, "The cars, and what is next"),
        (RoleKind.VOLUNTEER, "The cars, and what is next"),
    ],
)
def test_each_role_has_its_first_page(client: Client, role: RoleKind, heading: str) -> None:
    client.force_login(make_user(role))
    make_ready_plan(make_case())
    assert f"<h1>{heading}</h1>" in page(client, "/")


def test_a_sponsor_is_sent_to_the_portal_and_nobody_without_a_role_gets_in(client: Client) -> None:
    assert client.get("/").headers["Location"].startswith("/accounts/sign-in/")
    client.force_login(make_user(RoleKind.SPONSOR))
    assert client.get("/").status_code == 302
    client.force_login(make_user(None))
    assert client.get("/").status_code == 403


def test_the_list_narrows_sorts_and_leaves_as_a_sheet(coordinator: Client) -> None:
    for number, name, need in [("26-001", "Dana Haskell", 11), ("26-002", "Pilar Quist", 12)]:
        make_case(number=number, household=make_household(name=name, need_weight=need))
    table = coordinator.get("/cases/", {"sort": "-need"}).context["table"]
    assert [row.record.number for row in table.rows] == ["26-002", "26-001"]
    assert "Pilar Quist" not in page(coordinator, "/cases/?q=hask")
    response = coordinator.get("/cases/", {"export": "csv", "q": "hask"})
    rows = list(csv.reader(io.StringIO(response.content.decode("utf-8-sig"))))
    assert [row[0] for row in rows] == ["Case", "26-001"]


def test_a_tied_user_finds_nothing_of_the_case(client: Client) -> None:
    user, case = make_user(), make_told_case()
    assert case.household
    client.force_login(user)
    assert case.number in page(client, "/cases/")
    declare_tie(household=case.household, user=user, by=make_user())
    assert case.number not in page(client, "/cases/")
    for url in ("", "link/print/", "link/take-back/"):
        assert client.get(f"/cases/{case.number}/{url}").status_code == 404
    assert client.post(f"/cases/{case.number}/link/").status_code == 404
    make_ready_plan(case)
    assert case.number not in page(client, "/")
    assert "Dana Haskell" not in page(client, "/")


def test_the_page_of_a_case_holds_what_is_known(coordinator: Client) -> None:
    case = make_told_case(phone="555-0177", hours="9:00-12:00")
    html = page(coordinator, f"/cases/{case.number}/")
    for text in (
        "<h1>Dana Haskell, 2012 Toyota Corolla</h1>",
        "Items that keep the car here: 1.",
        "Two front tires",
        "Radiator",
        "555-0177",
        "9:00-12:00",
        "Make the private link",
    ):
        assert text in html


def test_the_page_of_a_case_says_what_forbids_driving(coordinator: Client) -> None:
    case = make_told_case()
    stay = Intake.objects.get(vehicle=case.vehicle)
    address = f"/cases/{case.number}/"
    make_finding(intake=stay, deficiency="major", title="Wiper")
    assert "not to be driven" not in page(coordinator, address)
    make_finding(intake=stay, title="Tread depth, RF: 0/32 in")
    stay.lamps = ["oil"]
    stay.save(update_fields=["lamps"])
    html = page(coordinator, address)
    assert "<h3>This car is not to be driven</h3>" in html
    assert html.count("Tread depth, RF: 0/32 in") == 2
    assert "Warning lamp lit: " in html


def test_who_only_reads_sees_no_contact_and_changes_nothing(client: Client) -> None:
    case = make_told_case(phone="555-0177")
    client.force_login(make_user(RoleKind.TREASURER))
    html = page(client, f"/cases/{case.number}/")
    assert "555-0177" not in html
    assert "Record the next stage" not in html
    assert 'href="/cars/' not in html
    assert client.post(f"/cases/{case.number}/link/").status_code == 403


def test_no_shop_role_reads_a_case(client: Client) -> None:
    client.force_login(make_user(RoleKind.TECHNICIAN))
    assert client.get("/cases/").status_code == 403
    assert client.get(f"/cases/{make_case().number}/").status_code == 403


def test_the_link_is_made_shown_and_taken_back(coordinator: Client) -> None:
    case = make_told_case()
    url = f"/cases/{case.number}/link/"
    assert coordinator.post(url).headers["Location"] == f"{url}print/"
    response = coordinator.get(f"{url}print/")
    assert response.headers["Cache-Control"] == "no-store"
    assert "http://localhost:8000/ca" in response.content.decode().replace("<wbr>", "")
    assert coordinator.post(f"{url}take-back/", {"reason": ""}).status_code == 422
    assert coordinator.post(f"{url}take-back/", {"reason": "Lost"}).status_code == 302
    assert coordinator.get(f"{url}print/").status_code == 404
    assert coordinator.post(f"{url}take-back/", {"reason": "Lost"}).status_code == 422


def test_against_the_rule_there_is_no_link_to_press_and_none_is_made(coordinator: Client) -> None:
    case = make_told_case()
    give_page(case=case, by=make_user())
    Address.objects.update(barred=True)
    html = page(coordinator, f"/cases/{case.number}/")
    assert "Make the private link" not in html
    assert "Contact could put a person in danger." in html
    response = coordinator.post(f"/cases/{case.number}/link/", follow=True)
    assert "No private link: Contact could put a person in danger." in response.content.decode()
    assert coordinator.get(f"/cases/{case.number}/link/print/").status_code == 404


def asked(case: Case) -> Question:
    return ask_question(case=case, text="When?", client_key=uuid4())


def test_a_question_is_answered_on_the_page(coordinator: Client) -> None:
    case = make_told_case()
    question = asked(case)
    url = f"/cases/{case.number}/answer/{question.pk}/"
    refused = coordinator.post(url, {"answer": ""})
    assert refused.status_code == 422
    assert "Answer: an answer is missing." in refused.content.decode()
    assert coordinator.post(url, {"answer": "On Friday."}).status_code == 302
    question.refresh_from_db()
    assert question.answer == "On Friday."
    assert "On Friday." in page(coordinator, f"/cases/{case.number}/")


def test_a_question_of_another_case_is_not_found_here(coordinator: Client) -> None:
    case, other = make_told_case(), make_told_case()
    url = f"/cases/{case.number}/answer/{asked(other).pk}/"
    assert coordinator.post(url, {"answer": "On Friday."}).status_code == 404


def test_a_case_without_household_or_car_has_a_page(coordinator: Client) -> None:
    case = make_case()
    case.vehicle = None
    case.save()
    assert "<h1>Dana Haskell</h1>" in page(coordinator, f"/cases/{case.number}/")
    case.vehicle, case.household = make_vehicle(), None
    case.save()
    html = page(coordinator, f"/cases/{case.number}/")
    assert "Find a household for this car." in html


def test_a_household_that_nobody_asked_is_a_slip_on_its_page(coordinator: Client) -> None:
    case = make_told_case()
    Household.objects.update(safe_contact_on=None)
    html = page(coordinator, f"/cases/{case.number}/")
    assert "Not asked yet how to reach them safely" in html
    assert "Make the private link" not in html


@pytest.mark.parametrize("url", ["/", "/cases/"])
def test_a_page_costs_the_same_for_one_case_and_for_three(coordinator: Client, url: str) -> None:
    case = make_told_case()
    make_ready_plan(case)
    one = queries_of(coordinator, url)
    make_told_case()
    make_told_case()
    assert queries_of(coordinator, url) == one
