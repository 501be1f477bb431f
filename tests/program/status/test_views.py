from __future__ import annotations

import re
from typing import TYPE_CHECKING
from uuid import uuid4

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse

from program.households.models import Household
from program.status.actions import answer_question, give_page, take_page_back
from program.status.models import Question
from shared.links.models import AccessLink
from shared.links.queries import link_token
from shared.outbox.models import Address
from tests.factories import make_link, make_user
from tests.program.status.making import make_approved_plan, make_told_case

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from program.cases.models import Case

pytestmark = pytest.mark.django_db

MOST_BYTES = 30_000


def page_of(case: Case) -> str:
    return reverse("status:page", args=[link_token(give_page(case=case, by=None))])


def test_the_page_says_first_what_counts(client: Client) -> None:
    case = make_told_case()
    plan = make_approved_plan(case)
    html = client.get(page_of(case)).content.decode()
    day = plan.planned.get().home_by_on
    order = [
        "Your car is not safe to drive now. It stays with us until it is.",
        "<h1>Your car is being repaired.</h1>",
        f"by <b>{day:%A, %B} {day.day}</b>",
        "What happens next",
        "What to bring",
        "Ask us",
        "555-0100",
        "Updated on",
    ]
    places = [html.find(text) for text in order]
    assert -1 not in places
    assert places == sorted(places)


def test_the_page_is_small_and_loads_nothing_from_elsewhere(client: Client) -> None:
    case = make_told_case()
    response = client.get(page_of(case))
    html = response.content.decode()
    style = (settings.BASE_DIR / "shared/static/shared/status.css").read_bytes()
    assert len(response.content) + len(style) < MOST_BYTES
    assert re.findall(r"<script|https?://|\sstyle=|\son\w+=", html) == []
    assert response.cookies == {}


def test_the_page_tells_nobody_of_its_address(client: Client) -> None:
    response = client.get(page_of(make_told_case()))
    assert response.headers["Referrer-Policy"] == "no-referrer"
    assert response.headers["X-Robots-Tag"] == "noindex"
    assert response.headers["Cache-Control"] == "no-store"


def test_the_page_holds_no_house_word_and_no_street_plate_or_vin(client: Client) -> None:
    case = make_told_case()
    html = client.get(page_of(case)).content.decode()
    text = re.sub(r"<[^>]+>", " ", html)
    assert case.vehicle
    assert re.findall(r"\b(?:case|tier|deficiency)\b", text, re.IGNORECASE) == []
    for secret in (case.vehicle.vin, "ABC 123", "14 Osier Street", "Dana Haskell", "@"):
        assert secret not in text


def test_the_language_is_that_of_the_address_until_another_is_chosen(client: Client) -> None:
    url = page_of(make_told_case(language="es"))
    html = client.get(url).content.decode()
    assert '<html lang="es">' in html
    assert "<h1>Estamos reparando su auto.</h1>" in html
    assert '<html lang="en">' in client.get(url + "?lang=en").content.decode()
    assert '<html lang="es">' in client.get(url + "?lang=xx").content.decode()


def test_a_question_is_kept_once_and_shown(client: Client) -> None:
    case, key = make_told_case(), str(uuid4())
    url = page_of(case)
    for _ in range(2):
        response = client.post(url, {"text": "Can I <b>drive</b>?", "client_key": key})
        assert response.status_code == 302
        assert response.headers["Location"] == f"{url}?lang=en#ask"
    assert Question.objects.get().text == "Can I <b>drive</b>?"
    assert "“Can I &lt;b&gt;drive&lt;/b&gt;?”" in client.get(url).content.decode()


def test_a_question_needs_no_token_beside_the_link() -> None:
    url = page_of(make_told_case())
    strict = Client(enforce_csrf_checks=True)
    assert strict.post(url, {"text": "When?"}, headers={"Origin": "null"}).status_code == 302


def test_nothing_is_done_by_get(client: Client) -> None:
    url = page_of(make_told_case())
    assert client.get(url, {"text": "When?", "client_key": str(uuid4())}).status_code == 200
    assert client.delete(url).status_code == 405
    assert Question.objects.count() == 0


@pytest.mark.parametrize(
    ("text", "sentence"),
    [("", "Write your question."), ("x" * 1001, "A question has up to 1,000 characters.")],
)
def test_what_is_wrong_with_a_question_is_said(client: Client, text: str, sentence: str) -> None:
    response = client.post(page_of(make_told_case()), {"text": text})
    assert response.status_code == 422
    assert sentence in response.content.decode()
    assert Question.objects.count() == 0


def test_an_answer_stands_on_the_page(client: Client) -> None:
    case = make_told_case()
    url = page_of(case)
    client.post(url, {"text": "When?"})
    answer_question(question=Question.objects.get(), answer="On Friday.", by=make_user())
    assert "On Friday." in client.get(url).content.decode()


def gone(client: Client, url: str) -> bytes:
    response = client.get(url)
    assert response.status_code == 404
    return response.content


def test_every_way_of_not_opening_looks_the_same(client: Client) -> None:
    case = make_told_case()
    url = page_of(case)
    own = give_page(case=case, by=None).pk
    token = url.rstrip("/").rpartition("/")[2]
    altered = url.replace(token, token[:-1] + ("A" if token[-1] != "A" else "B"))
    answers = {gone(client, altered), gone(client, "/car/nonsense/")}
    for purpose in ("portal", "unsubscribe", "status"):
        other = link_token(make_link(purpose))
        answers.add(gone(client, f"/car/{other}/"))
    AccessLink.objects.filter(pk=own).update(expires_at=case.program.made_at)
    answers.add(gone(client, url))
    AccessLink.objects.filter(pk=own).update(expires_at=None)
    Address.objects.update(barred=True)
    answers.add(gone(client, url))
    Address.objects.update(barred=False, says="call_back")
    answers.add(gone(client, url))
    Address.objects.update(says="progress")
    Household.objects.update(safe_contact_on=None)
    answers.add(gone(client, url))
    Household.objects.update(safe_contact_on=case.opened_on)
    assert client.get(url).status_code == 200
    take_page_back(case=case, reason="Lost", by=make_user())
    answers.add(gone(client, url))
    assert len(answers) == 1


def test_the_page_of_one_shows_nothing_of_another(client: Client) -> None:
    mine, other = make_told_case(), make_told_case()
    client.post(page_of(other), {"text": "A question of somebody else"})
    html = client.get(page_of(mine)).content.decode()
    assert other.number not in html
    assert "A question of somebody else" not in html


def test_the_page_costs_the_same_with_one_question_and_with_three(
    client: Client, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    case = make_told_case()
    url = page_of(case)
    client.post(url, {"text": "One?"})
    client.get(url)  # notes the use of the link once
    with django_assert_num_queries(13):
        client.get(url)
    for text in ("Two?", "Three?"):
        client.post(url, {"text": text})
    with django_assert_num_queries(13):
        client.get(url)
