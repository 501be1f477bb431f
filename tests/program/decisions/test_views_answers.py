"""The pages of one supplement: its answers, its words and what they cost."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.program.decisions.story import (
    add_work,
    ask,
    make_over,
    make_photo,
    make_supplement,
    owner_says,
    typed,
)
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

    from program.models import Case, Supplement

pytestmark = pytest.mark.django_db
LEAD = RoleKind.LEAD_TECHNICIAN


def case_url(case: Case, name: str = "case_decisions") -> str:
    return reverse(f"decisions:{name}", args=[case.number])


def row_url(row: Supplement, name: str = "supplement_page") -> str:
    return reverse(f"decisions:{name}", args=[row.authorization.case.number, row.pk])


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
