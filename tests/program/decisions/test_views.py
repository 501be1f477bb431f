"""The pages: who opens them, what they send, and what they refuse."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from program.decisions.access import ASKERS, BUDGET, READERS
from program.households.actions import declare_tie
from program.models import Authorization, Supplement
from shared.accounts.roles import RoleKind
from tests.factories import make_intake, make_user
from tests.program.decisions.story import (
    add_work,
    ask,
    authorize,
    estimated,
    make_car,
    make_over,
    make_photo,
    make_supplement,
    owner_says,
    seen,
    typed,
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
    assert client.post(case_url(case, "authorize"), {}).status_code == grants
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


# ---- answering ----


def test_the_owner_signs_and_the_treasurer_agrees(client: Client) -> None:
    row = make_supplement()
    sign_in(client)
    answered = client.post(row_url(row, "answer_owner"), typed(row))
    assert answered["Location"] == row_url(row)
    assert client.post(row_url(row, "answer_owner"), typed(row))["Location"] == row_url(row)
    paper = client.get(row_url(row, "supplement_paper"))
    assert (paper["Content-Type"], paper["Cache-Control"]) == ("application/pdf", "no-store")
    row.refresh_from_db()
    sign_in(client, RoleKind.TREASURER)
    sent = {"yes": "yes", "version": str(row.version)}
    assert client.post(row_url(row, "answer_budget"), sent)["Location"] == row_url(row)
    assert "Agreed by both" in words(client.get(row_url(row)))


def test_an_empty_pad_is_refused_and_what_was_typed_stays(client: Client) -> None:
    row = make_supplement()
    sign_in(client)
    sent = typed(row, strokes="", interpreter="Luz Marin")
    answer = client.post(row_url(row, "answer_owner"), sent)
    assert answer.status_code == 422
    assert "The pad is empty, or nearly so." in words(answer)
    assert 'value="Luz Marin"' in answer.content.decode()


def test_a_call_without_a_witness_is_refused(client: Client) -> None:
    row = make_supplement()
    sign_in(client)
    answer = client.post(row_url(row, "answer_owner"), typed(row, how="phone", strokes=""))
    assert "A consent on the phone needs somebody who heard it." in words(answer)
    heard = typed(row, how="phone", strokes="", witness="Sten Ahlgren")
    assert client.post(row_url(row, "answer_owner"), heard).status_code == 302


def test_a_stale_answer_is_refused_once_then_sent_again(client: Client) -> None:
    row = make_supplement()
    sign_in(client, RoleKind.COORDINATOR)
    sent = {"yes": "yes", "version": "1"}
    owner_says(row)
    answer = client.post(row_url(row, "answer_budget"), sent)
    assert answer.status_code == 422
    assert "Somebody else changed this meanwhile." in words(answer)
    assert client.post(row_url(row, "answer_budget"), {**sent, "version": "2"}).status_code == 302


def test_an_answer_to_a_closed_supplement_is_said_and_changes_nothing(client: Client) -> None:
    row = make_supplement()
    sign_in(client, RoleKind.COORDINATOR)
    no = {"yes": "no", "because": "Too much.", "version": "1"}
    client.post(row_url(row, "answer_budget"), no)
    answer = client.post(row_url(row, "answer_budget"), {"yes": "yes", "version": "2"}, follow=True)
    assert "Supplement 1 is declined already." in answer.content.decode()
    row.refresh_from_db()
    assert (row.state, row.closed_because) == ("declined", "The budget said no: Too much.")
    assert "Make the car ready to roll and take it off the lift." in words(answer)


def test_who_asked_takes_it_back_and_does_not_grant_it(client: Client) -> None:
    user = sign_in(client, RoleKind.COORDINATOR)
    row = make_supplement(by=user)
    page = words(client.get(row_url(row)))
    assert ("Take it back" in page, "The budget says" in page) == (True, False)
    yes = {"yes": "yes", "version": "1"}
    answer = client.post(row_url(row, "answer_budget"), yes)
    assert "Who asks for money doesn’t grant it" in words(answer)
    taken = client.post(row_url(row, "withdraw_supplement"), {"because": "No.", "version": "1"})
    assert taken["Location"] == row_url(row)
    assert "Taken back: No." in words(client.get(row_url(row)))


@pytest.mark.parametrize(("language", "lang"), [("en", "en"), ("es", "es"), ("xx", "es")])
def test_the_words_stand_in_the_chosen_language_else_the_households(
    client: Client, language: str, lang: str
) -> None:
    _, stay, item = make_over(language="es")
    row = ask(stay, item)
    sign_in(client)
    html = client.get(row_url(row, "answer_owner"), {"language": language}).content.decode()
    assert f'<div class="stack" lang="{lang}">' in html


def test_the_list_is_oldest_first_with_the_day_to_answer_by(client: Client) -> None:
    first, second = make_supplement(), make_supplement()
    sign_in(client)
    html = words(client.get(reverse("decisions:supplement_list")))
    assert "2 supplements wait" in html
    numbers = [row.authorization.case.number for row in (first, second)]
    assert html.index(numbers[0]) < html.index(numbers[1])
    assert "the owner and the budget" in html
    sheet = client.get(reverse("decisions:supplement_list"), {"export": "csv"})
    assert sheet.content.decode().count("50.00") == 2


def test_pages_cost_the_same_with_one_row_and_with_three(client: Client) -> None:
    row = make_supplement()
    sign_in(client, RoleKind.COORDINATOR)
    urls = [reverse("decisions:supplement_list"), row_url(row), case_url(row.authorization.case)]
    counts = []
    for _ in range(2):
        for url in urls:
            client.get(url)
            with CaptureQueriesContext(
                connection,
            ) as read:
                client.get(url)
            counts.append(len(read))
        for _ in range(2):
            add_work(row.authorization.intake, 100, title=f"Hose {uuid4()}")
            make_photo(row.authorization.intake)
            make_supplement()
    assert counts[:3] == counts[3:]


def test_the_car_and_the_case_lead_to_what_is_authorized(client: Client) -> None:
    case, stay, _ = make_over()
    sign_in(client, RoleKind.COORDINATOR)
    car = client.get(reverse("intake:vehicle_page", args=[stay.pk]))
    assert "The work has stopped: it goes beyond what was authorized." in words(car)
    assert reverse("decisions:stay_decisions", args=[stay.pk]) in car.content.decode()
    page = client.get(reverse("desk:case_page", args=[case.number]))
    assert case_url(case) in page.content.decode()
