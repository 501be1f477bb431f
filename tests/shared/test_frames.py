"""The frames of all pages: language, skip link, no inline anything, a way on from each refusal."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import AnonymousUser
from django.template import engines
from django.template.loader import render_to_string
from django.utils import translation

from shared.problems import Problem
from shared.say import say
from tests.factories.shared import make_user
from tests.shared.pages import tidy

if TYPE_CHECKING:
    from django.test import RequestFactory

    from shared.accounts.models import User

REFUSALS = ["403.html", "403_csrf.html", "404.html", "422.html", "500.html"]
FRAMES = ["base.html", "base_portal.html", "status/base.html"]


def drawn(
    rf: RequestFactory, template: str, *, reader: User | None = None, **context: object
) -> str:
    request = rf.get("/desk/")
    request.user = reader or AnonymousUser()
    return tidy(render_to_string(template, context, request))


@pytest.mark.parametrize("template", REFUSALS)
def test_a_refusal_is_a_sentence_with_a_way_on(rf: RequestFactory, template: str) -> None:
    html = drawn(rf, template, title="Not released")
    assert len(re.findall("<h1>", html)) == 1
    assert '<a class="btn main" href="/">' in html


def test_a_refusal_without_a_form_lists_what_is_in_the_way(rf: RequestFactory) -> None:
    problem = Problem(say("The tread has {mm} mm.", mm=1), say("Fit a tire."), where="Tire")
    html = drawn(rf, "422.html", title=say("Not released"), problems=[problem])
    assert "<h1>Not released</h1>" in html
    assert '<b>Tire:</b>The tread has 1 mm.<span class="sub">Fit a tire.</span>' in html


@pytest.mark.parametrize("template", FRAMES)
def test_a_frame_says_its_language_and_lets_the_keyboard_skip(
    rf: RequestFactory, template: str
) -> None:
    with translation.override("es"):
        html = drawn(rf, template, garage="Osier Street Garage")
    assert '<html lang="es">' in html
    assert re.search(r'<a class="skip" href="#main">.+<main[^>]* id="main">', html)


@pytest.mark.parametrize("template", FRAMES)
def test_a_frame_holds_nothing_inline(rf: RequestFactory, template: str) -> None:
    html = drawn(rf, template, garage="Osier Street Garage")
    assert re.findall(r"\sstyle=|<style|\son\w+=|<script(?![^>]* src=)", html) == []


def test_htmx_swaps_a_refusal_in_and_evaluates_nothing(rf: RequestFactory) -> None:
    html = drawn(rf, "base.html")
    assert '{"code":"422","swap":true}' in html
    assert '"allowEval":false' in html


def test_the_household_s_frame_is_small_and_runs_nothing(rf: RequestFactory) -> None:
    languages = [
        {"code": "en", "name": "English", "current": True},
        {"code": "es", "name": "Español", "url": "/es/"},
    ]
    html = drawn(rf, "status/base.html", garage="Osier Street Garage", languages=languages)
    assert "<script" not in html
    assert len(html.encode()) < 3_000
    assert '<b>English</b><a href="/es/" lang="es" hreflang="es">Español</a>' in html


@pytest.mark.django_db
def test_who_is_signed_in_is_said_and_signs_out_by_post(rf: RequestFactory) -> None:
    reader = make_user(first_name="Imke", last_name="Rasmus")
    html = drawn(rf, "base.html", reader=reader)
    assert "<span>Imke Rasmus, coordinator</span>" in html
    assert '<form class="who" method="post"' in html
    assert "Osier Street Garage, Bramwick, is a charity." in html


def test_a_sponsor_by_private_link_is_named(rf: RequestFactory) -> None:
    html = drawn(rf, "base_portal.html", garage="Osier Street Garage", sponsor="Larkspur")
    assert '<p class="who">Larkspur</p>' in html
    assert "Osier Street Garage is a charity." in html


def test_messages_stay_and_a_refusal_is_heard_at_once() -> None:
    template = engines["django"].get_template("shared/messages.html")
    messages = [{"tags": "success", "text": "x"}, {"tags": "error", "text": "y"}]
    html = tidy(template.render({"messages": messages}))
    assert html.count('class="note" role="status"') == 1
    assert html.count('class="stop" role="alert"') == 1
