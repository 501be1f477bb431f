"""The pages: who opens them, what they send, and what they refuse."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.urls import reverse

from program.decisions.access import ASKERS, BUDGET, READERS
from program.households.actions import declare_tie
from program.models import Authorization, Supplement
from shared.accounts.roles import RoleKind
from tests.factories import make_intake, make_user
from tests.program.decisions.story import (
    add_work,
    authorize,
    estimated,
    make_car,
    make_over,
    make_photo,
    make_supplement,
    seen,
)
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

    from program.models import Case
    from vehicles.models import Intake, RepairItem

pytestmark = pytest.mark.django_db
LEAD = RoleKind.LEAD_TECHNICIAN


def case_url(case: Case, name: str = "case_decisions") -> str:
    return reverse(f"decisions:{name}", args=[case.number])


def row_url(row: Supplement, name: str = "supplement_page") -> str:
    return reverse(f"decisions:{name}", args=[row.authorization.case.number, row.pk])


def asked(stay: Intake, item: RepairItem, **fields: Any) -> dict[str, Any]:
    return {
        "items": [str(item.pk)],
        "reason": "The rotors are cracked.",
        "photo": str(make_photo(stay).pk),
        "seen": seen(stay),
        "client_key": str(uuid4()),
    } | fields


# ---- who opens what ----


@pytest.mark.parametrize("role", list(RoleKind))
def test_the_shop_and_the_office_read_and_nobody_else(client: Client, role: RoleKind) -> None:
    row = make_supplement()
    case = row.authorization.case
    sign_in(client, role)
    status = 200 if role in READERS else 403
    for url in (
        reverse("decisions:supplement_list"),
        case_url(case),
        row_url(row),
        row_url(row, "supplement_paper"),
    ):
        assert client.get(url).status_code == status


@pytest.mark.parametrize("role", list(RoleKind))
def test_technicians_ask_and_the_budget_answers(client: Client, role: RoleKind) -> None:
    row = make_supplement()
    case = row.authorization.case
    sign_in(client, role)
    asks, grants = (200 if role in ASKERS else 403), (422 if role in BUDGET else 403)
    assert client.get(case_url(case, "ask_supplement")).status_code == asks
    assert client.get(row_url(row, "answer_owner")).status_code == asks
    assert client.post(row_url(row, "answer_budget"), {}).status_code == grants
    again = 302 if role in BUDGET else 403
    assert client.post(case_url(case, "authorize"), {}).status_code == again
    ends = 200 if role in BUDGET else 403
    assert client.get(case_url(case, "end_authorization")).status_code == ends


def test_a_stranger_signs_in_first(client: Client) -> None:
    row = make_supplement()
    for url in (case_url(row.authorization.case), row_url(row)):
        assert client.get(url).status_code == 302


def test_whoever_is_tied_to_the_household_finds_nothing(client: Client) -> None:
    row = make_supplement()
    case = row.authorization.case
    user = sign_in(client, RoleKind.COORDINATOR)
    assert case.household
    declare_tie(household=case.household, user=user, by=make_user())
    stay = row.authorization.intake_id
    assert case.number not in words(client.get(reverse("decisions:supplement_list")))
    for url in (
        case_url(case),
        case_url(case, "ask_supplement"),
        row_url(row),
        row_url(row, "answer_owner"),
        row_url(row, "supplement_paper"),
        reverse("decisions:stay_decisions", args=[stay]),
    ):
        assert client.get(url).status_code == 404
    assert client.post(row_url(row, "answer_budget"), {"yes": "yes"}).status_code == 404


def test_a_supplement_is_found_under_its_own_case_only(client: Client) -> None:
    row, other = make_supplement(), make_car()[0]
    sign_in(client, RoleKind.COORDINATOR)
    assert (
        client.get(reverse("decisions:supplement_page", args=[other.number, row.pk])).status_code
        == 404
    )


def test_a_stay_leads_to_the_decisions_on_its_case(client: Client) -> None:
    case, stay = make_car()
    alone = make_intake()
    sign_in(client)
    found = client.get(reverse("decisions:stay_decisions", args=[stay.pk]))
    assert found["Location"] == case_url(case)
    to_car = client.get(reverse("decisions:stay_decisions", args=[alone.pk]))
    assert to_car["Location"] == reverse("intake:vehicle_page", args=[alone.pk])


# ---- authorizing ----


def test_the_coordinator_authorizes_what_is_on_screen(client: Client) -> None:
    case, stay = make_car()
    newest = estimated(stay)
    sign_in(client, RoleKind.COORDINATOR)
    assert "Eight in ten such repairs cost at most $100.00" in words(client.get(case_url(case)))
    key = str(uuid4())
    sent = {"estimate": newest.number, "cents": newest.p80_cents, "client_key": key}
    for _ in range(2):
        assert client.post(case_url(case, "authorize"), sent)["Location"] == case_url(case)
    assert Authorization.objects.get().cents == 10_000
    page = words(client.get(case_url(case)))
    assert "The work comes to $100.00 of the $100.00 authorized. It stops above $110.00." in page


def test_a_second_person_who_authorizes_is_told_that_it_was_done(client: Client) -> None:
    case, stay = make_car()
    newest = estimated(stay)
    authorize(case, stay, newest=newest)
    sign_in(client, RoleKind.TREASURER)
    sent = {"estimate": newest.number, "cents": newest.p80_cents, "client_key": str(uuid4())}
    page = client.post(case_url(case, "authorize"), sent, follow=True)
    assert "This stay is authorized already. Ask for a supplement." in words(page)
    assert Authorization.objects.count() == 1


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"cents": "1"}, "$0.01 is not the estimate’s 80 percent point, $100.00."),
        ({"estimate": "7"}, "Estimate 1 is the newest. Look at it, then authorize."),
    ],
)
def test_another_amount_or_estimate_is_refused(
    client: Client, sent: dict[str, str], sentence: str
) -> None:
    case, stay = make_car()
    newest = estimated(stay)
    sign_in(client, RoleKind.TREASURER)
    typed_ = {"estimate": newest.number, "cents": newest.p80_cents, "client_key": str(uuid4())}
    answer = client.post(case_url(case, "authorize"), typed_ | sent)
    assert answer.status_code == 422
    assert sentence in words(answer)


def test_an_estimate_of_yesterday_offers_no_button(client: Client) -> None:
    case, stay = make_car()
    estimated(stay)
    add_work(stay, 1_000)
    sign_in(client, RoleKind.COORDINATOR)
    page = words(client.get(case_url(case)))
    assert "The estimate is not that of today’s work and prices." in page
    assert "Authorize $" not in page


def test_an_authorization_ends_with_its_reason(client: Client) -> None:
    case, stay = make_car()
    authorize(case, stay)
    sign_in(client, RoleKind.TREASURER)
    url = case_url(case, "end_authorization")
    assert client.post(url, {"because": " "}).status_code == 422
    assert client.post(url, {"because": "Less work."})["Location"] == case_url(case)
    assert client.get(url).status_code == 404


# ---- asking ----


def test_a_technician_asks_in_one_step(client: Client) -> None:
    case, stay, item = make_over()
    sign_in(client)
    page = words(client.get(case_url(case, "ask_supplement")))
    assert "$50.00 more than authorized" in page
    sent = asked(stay, item)
    first = client.post(case_url(case, "ask_supplement"), sent)
    assert first["Location"] == row_url(Supplement.objects.get())
    assert client.post(case_url(case, "ask_supplement"), sent)["Location"] == first["Location"]
    assert Supplement.objects.count() == 1


def test_what_is_missing_is_said_beside_its_field(client: Client) -> None:
    case, *_ = make_over()
    sign_in(client)
    answer = client.post(case_url(case, "ask_supplement"), {"seen": "1:1"})
    assert answer.status_code == 422
    for sentence in (
        "Tick the work that is asked for.",
        "What was found, and why it can’t wait: an answer is missing.",
        "A supplement needs a photo of the car.",
    ):
        assert sentence in words(answer)


def test_a_photo_or_an_item_of_another_car_is_refused(client: Client) -> None:
    case, stay, item = make_over()
    _, other, foreign = make_over()
    sign_in(client)
    for wrong in ({"photo": str(make_photo(other).pk)}, {"items": [str(foreign.pk)]}):
        answer = client.post(case_url(case, "ask_supplement"), asked(stay, item, **wrong))
        assert answer.status_code == 422
        assert "This is not of this car any more. Look again." in words(answer)
    assert not Supplement.objects.exists()


def test_figures_that_changed_are_shown_before_they_are_sent_again(client: Client) -> None:
    case, stay, item = make_over()
    sign_in(client)
    answer = client.post(case_url(case, "ask_supplement"), asked(stay, item, seen="1:1"))
    assert "The figures have changed since they were shown." in words(answer)
    assert f'value="{seen(stay)}"' in answer.content.decode()


def test_nothing_is_asked_before_anything_is_authorized(client: Client) -> None:
    case, _ = make_car()
    sign_in(client)
    assert client.get(case_url(case, "ask_supplement")).status_code == 404
