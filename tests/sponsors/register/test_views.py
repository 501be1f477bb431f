from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from shared.links.queries import link_url
from sponsors.models import Sponsor
from tests.factories.sponsors import make_sponsor
from tests.sponsors.looking import client_of

pytestmark = pytest.mark.django_db

TYPED = {"name": "Crane Street Auto Parts", "language": "es", "gives": "cooling", "email": ""}


def test_a_sponsor_is_added_and_shown() -> None:
    answer = client_of().post(reverse("register:sponsor_add"), TYPED)
    sponsor = Sponsor.objects.get()
    assert answer["Location"] == reverse("register:sponsor_page", args=[sponsor.pk])
    assert (sponsor.name, sponsor.address.language) == ("Crane Street Auto Parts", "es")


def test_a_name_that_is_taken_is_refused_on_the_form() -> None:
    make_sponsor(name="Crane Street Auto Parts")
    answer = client_of().post(reverse("register:sponsor_add"), TYPED)
    assert answer.status_code == 422
    assert answer.context["form"].non_field_errors() == ["There is a sponsor of this name already."]
    assert Sponsor.objects.count() == 1


def test_a_change_of_what_somebody_else_changed_is_refused() -> None:
    sponsor = make_sponsor()
    url = reverse("register:sponsor_edit", args=[sponsor.pk])
    client = client_of()
    assert client.post(url, TYPED | {"version": "1"}).status_code == 302
    answer = client.post(url, TYPED | {"version": "1", "town": "Elsewhere"})
    said = "Somebody else changed this sponsor. Open the page again."
    assert (answer.status_code, answer.context["form"].non_field_errors()) == (422, [said])


def test_the_private_page_is_opened_shown_to_copy_and_closed() -> None:
    sponsor = make_sponsor()
    client = client_of()
    shown = reverse("register:sponsor_page", args=[sponsor.pk])
    assert client.get(shown).context["page_url"] == ""
    client.post(reverse("register:open_page", args=[sponsor.pk]))
    sponsor.refresh_from_db()
    assert sponsor.link is not None
    url = client.get(shown).context["page_url"]
    assert url == link_url(sponsor.link)
    path = url.removeprefix("http://localhost:8000")
    assert Client().get(path).status_code == 200
    client.post(reverse("register:close_page", args=[sponsor.pk]))
    assert client.get(shown).context["page_url"] == ""
    assert Client().get(path).status_code == 404
