from __future__ import annotations

import datetime as dt
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from shared.accounts.roles import RoleKind
from shared.jobs.models import Job
from shared.links.actions import revoke
from shared.links.queries import link_token
from sponsors.models import Gives, Pledge, Sponsor, Supply
from sponsors.pledges.states import PledgeState, SupplyState
from sponsors.register.actions import stop_link
from tests.factories.program import make_case, make_household
from tests.factories.shared import make_address
from tests.factories.sponsors import make_contact, make_pledge, make_sponsor
from tests.factories.vehicles import make_intake, make_item, make_need, make_vehicle
from tests.sponsors.looking import client_of, token_of

pytestmark = pytest.mark.django_db


def page(sponsor: Sponsor, name: str = "need_list", *args: object) -> str:
    return reverse(f"portal:{name}", args=[token_of(sponsor), *args])


def typed(**changes: str) -> dict[str, str]:
    until = dt.datetime.now(tz=dt.UTC).date() + dt.timedelta(days=20)
    usual = {"client_key": str(uuid4()), "quantity": "1", "expires_on": until.isoformat()}
    return usual | changes


def test_needs_that_fit_stand_apart_from_all_others() -> None:
    sponsor = make_sponsor()
    Gives.objects.create(program=sponsor.program, sponsor=sponsor, system="cooling")
    make_need(title="Radiator")
    make_need(title="Alternator", system="charging", kind="alternator")
    answer = Client().get(page(sponsor))
    own, others = answer.context["own"].data, answer.context["others"].data
    assert [wish.need.title for wish in own] == ["Radiator"]
    assert [wish.need.title for wish in others] == ["Alternator"]


def test_a_need_whose_text_nobody_approved_is_not_shown() -> None:
    make_need(approved_text="")
    answer = Client().get(page(make_sponsor()))
    assert [*answer.context["own"].data, *answer.context["others"].data] == []


def test_nothing_of_a_household_reaches_a_sponsor_s_page() -> None:
    household, vehicle = make_household(name="Marisol Teague"), make_vehicle()
    make_case(number="26-077", household=household, vehicle=vehicle)
    intake = make_intake(vehicle=vehicle, complaint="My brother broke it.")
    need = make_need(item=make_item(intake=intake))
    sponsor = make_sponsor()
    make_pledge(sponsor=sponsor)
    pages = [page(sponsor), page(sponsor, "pledge_add", need.pk), page(sponsor, "pledge_list")]
    private = ["26-077", "Teague", vehicle.vin, "My brother", "Alder"]
    for url in pages:
        html = Client().get(url).content.decode()
        assert [text for text in private if text in html] == []


def test_a_pledge_is_made_in_two_taps() -> None:
    sponsor, need = make_sponsor(), make_need(quantity=2)
    url = page(sponsor, "pledge_add", need.pk)
    form = Client().get(url).context["form"]
    assert form["quantity"].value() == 2
    answer = Client().post(url, typed(quantity="2"))
    assert (answer.status_code, answer["Location"]) == (302, page(sponsor, "pledge_list"))
    pledge = Pledge.objects.get()
    assert (pledge.sponsor, pledge.quantity, pledge.title) == (
        sponsor,
        2,
        "Radiator, 2012 Toyota Corolla",
    )
    assert pledge.fitment == need.fitment
    assert [job.kind for job in Job.objects.all()] == ["match"]


def test_a_double_tap_is_one_pledge() -> None:
    sponsor, need = make_sponsor(), make_need()
    url, sent = page(sponsor, "pledge_add", need.pk), typed()
    for _ in range(2):
        assert Client().post(url, sent).status_code == 302
    assert (Pledge.objects.count(), Supply.objects.count(), Job.objects.count()) == (1, 1, 1)


@pytest.mark.parametrize("quantity", ["0", "-1", "201", "many", "1.5", ""])
def test_a_quantity_that_is_not_possible_is_refused_and_nothing_kept(quantity: str) -> None:
    url = page(make_sponsor(), "pledge_add", make_need().pk)
    answer = Client().post(url, typed(quantity=quantity))
    said = (
        f"“{quantity}” is not possible. Type a whole number from 1 to 200."
        if quantity
        else "How many: an answer is missing."
    )
    assert (answer.status_code, answer.context["form"].errors["quantity"]) == (422, [said])
    assert Pledge.objects.count() == 0


def test_a_day_that_has_passed_is_refused_at_its_field() -> None:
    url = page(make_sponsor(), "pledge_add", make_need().pk)
    answer = Client().post(url, typed(expires_on="2020-01-31"))
    assert answer.status_code == 422
    assert answer.context["form"].errors["expires_on"] == [
        "Jan 31 has passed. A pledge stands for today at least."
    ]


def test_a_need_that_was_filled_meanwhile_says_thank_you() -> None:
    need = make_need(approved_text="")
    answer = Client().get(page(make_sponsor(), "pledge_add", need.pk))
    assert answer.status_code == 404
    assert "<h1>Filled, thank you</h1>" in answer.content.decode()


def test_a_sponsor_reads_what_became_of_each_pledge() -> None:
    sponsor = make_sponsor()
    make_pledge(sponsor=sponsor)
    make_pledge()
    answer = Client().get(page(sponsor, "pledge_list"))
    assert [str(row.became) for row in answer.context["table"].data] == [
        "Promised: we wait for it."
    ]


def test_a_pledge_is_taken_back_on_a_page_of_its_own() -> None:
    pledge = make_pledge()
    url = page(pledge.sponsor, "pledge_take_back", pledge.pk)
    Client().get(url)
    pledge.refresh_from_db()
    assert pledge.state == PledgeState.INTENDED
    assert Client().post(url).status_code == 302
    pledge.refresh_from_db()
    assert pledge.state == PledgeState.TAKEN_BACK


def test_what_has_arrived_is_not_taken_back() -> None:
    pledge = make_pledge()
    Supply.objects.update(state=SupplyState.ON_SHELF)
    answer = Client().post(page(pledge.sponsor, "pledge_take_back", pledge.pk))
    said = "A part of this pledge is with us already. Call us about it."
    assert (answer.status_code, answer.context["form"].non_field_errors()) == (422, [said])


@pytest.mark.parametrize("method", ["get", "post"])
def test_a_pledge_of_another_sponsor_is_not_there(method: str) -> None:
    other = make_pledge()
    url = page(make_sponsor(), "pledge_take_back", other.pk)
    assert getattr(Client(), method)(url).status_code == 404
    other.refresh_from_db()
    assert other.state == PledgeState.INTENDED


@pytest.mark.parametrize("name", ["need_list", "pledge_list", "preferences", "stop_mail"])
def test_a_link_altered_by_one_character_opens_nothing(name: str) -> None:
    sponsor = make_sponsor()
    token = link_token(stop_link(sponsor)) if name == "stop_mail" else token_of(sponsor)
    for at in (0, 20, 47):
        altered = token[:at] + ("B" if token[at] == "A" else "A") + token[at + 1 :]
        assert Client().get(reverse(f"portal:{name}", args=[altered])).status_code == 404


def test_a_link_for_one_purpose_opens_nothing_of_another() -> None:
    sponsor = make_sponsor()
    portal, stop = token_of(sponsor), link_token(stop_link(sponsor))
    assert Client().get(reverse("portal:stop_mail", args=[portal])).status_code == 404
    assert Client().get(reverse("portal:need_list", args=[stop])).status_code == 404


def test_a_page_that_was_closed_opens_nothing() -> None:
    sponsor = make_sponsor()
    url = page(sponsor)
    sponsor.refresh_from_db()
    assert sponsor.link is not None
    revoke(sponsor.link)
    assert Client().get(url).status_code == 404


def test_a_sponsor_who_ended_has_no_page() -> None:
    sponsor = make_sponsor(ended_on=dt.date(2025, 1, 1))
    assert Client().get(page(sponsor)).status_code == 404


def test_a_private_page_is_neither_kept_nor_named_to_others() -> None:
    answer = Client().get(page(make_sponsor()))
    names = ["Referrer-Policy", "X-Robots-Tag", "Cache-Control"]
    assert [answer[name] for name in names] == ["same-origin", "noindex", "no-store"]


def test_preferences_are_recorded() -> None:
    sponsor = make_sponsor()
    url = page(sponsor, "preferences")
    assert Client().post(url, {"language": "es", "ask_every_days": "91"}).status_code == 302
    sponsor.refresh_from_db()
    assert (sponsor.address.language, sponsor.ask_every_days) == ("es", 91)


@pytest.mark.parametrize("sent", [{"language": "fr"}, {"language": "en", "ask_every_days": "1"}])
def test_a_preference_that_there_is_not_is_refused(sent: dict[str, str]) -> None:
    sponsor = make_sponsor()
    assert Client().post(page(sponsor, "preferences"), sent).status_code == 422
    sponsor.refresh_from_db()
    assert (sponsor.address.language, sponsor.ask_every_days) == ("en", None)


def test_a_page_is_in_the_language_of_its_sponsor() -> None:
    sponsor = make_sponsor(address=make_address(language="es"))
    assert '<html lang="es">' in Client().get(page(sponsor)).content.decode()


def test_mail_is_stopped_and_wanted_again() -> None:
    sponsor = make_sponsor()
    url = page(sponsor, "mail")
    assert Client().get(url).status_code == 405
    Client().post(url, {"mail": "stop"})
    sponsor.address.refresh_from_db()
    assert sponsor.address.opted_out_at is not None
    Client().post(url, {"mail": "again"})
    sponsor.address.refresh_from_db()
    assert sponsor.address.opted_out_at is None


def test_a_get_of_the_link_in_a_mail_stops_nothing() -> None:
    """RFC 8058, section 3.2 (from memory): scanners open links, so only a POST unsubscribes."""
    sponsor = make_sponsor()
    answer = Client().get(reverse("portal:stop_mail", args=[link_token(stop_link(sponsor))]))
    sponsor.address.refresh_from_db()
    assert (answer.status_code, sponsor.address.opted_out_at) == (200, None)
    assert answer.content.decode().count("<button") == 1


def test_the_one_click_post_of_a_mail_program_stops_the_mail() -> None:
    """RFC 8058, section 3.1: the POST carries `List-Unsubscribe=One-Click`, no cookie, no token."""
    sponsor = make_sponsor()
    url = reverse("portal:stop_mail", args=[link_token(stop_link(sponsor))])
    mail_program = Client(enforce_csrf_checks=True)
    answer = mail_program.post(url, {"List-Unsubscribe": "One-Click"})
    sponsor.address.refresh_from_db()
    assert (answer.status_code, sponsor.address.opted_out_at is not None) == (200, True)
    assert "The mail is stopped" in answer.content.decode()


def test_no_other_page_takes_a_post_from_elsewhere() -> None:
    sponsor, need = make_sponsor(), make_need()
    elsewhere = Client(enforce_csrf_checks=True)
    assert elsewhere.post(page(sponsor, "pledge_add", need.pk), typed()).status_code == 403
    assert elsewhere.post(page(sponsor, "mail"), {"mail": "stop"}).status_code == 403
    assert Pledge.objects.count() == 0


def test_a_contact_pledges_after_signing_in() -> None:
    contact, need = make_contact(), make_need()
    client = Client()
    client.force_login(contact.user, backend="django.contrib.auth.backends.ModelBackend")
    answer = client.post(reverse("portal:pledge_add", args=[need.pk]), typed())
    assert answer["Location"] == reverse("portal:pledge_list")
    assert Pledge.objects.get().sponsor == contact.sponsor


def test_a_sponsor_user_without_a_sponsor_has_no_page() -> None:
    assert client_of(RoleKind.SPONSOR).get(reverse("portal:need_list")).status_code == 404


def test_a_link_of_mail_that_belongs_to_no_sponsor_opens_nothing() -> None:
    sponsor = make_sponsor()
    url = reverse("portal:stop_mail", args=[link_token(stop_link(sponsor))])
    Sponsor.objects.update(stop_link=None)
    assert Client().get(url).status_code == 404
