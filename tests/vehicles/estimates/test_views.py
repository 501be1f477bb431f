"""The pages of estimates, as a person goes through them."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils import timezone

from shared.accounts.roles import RoleKind
from tests.factories import (
    TODAY,
    make_intake,
    make_item,
    make_need,
    make_program,
    make_user,
)
from tests.vehicles.estimates.rows import make_quote
from tests.vehicles.pages import sign_in, words
from vehicles.models import Quote
from vehicles.repairs.charges import Rates
from vehicles.repairs.computing import make_estimate

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Intake, Need

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("today")]
PRICE = {
    "supplier": "Quayside Auto Parts",
    "source": "counter",
    "condition": "new",
    "cents": "110.00",
    "quoted_on": TODAY.isoformat(),
}


@pytest.fixture
def today(time_machine: Any) -> None:
    time_machine.move_to(dt.datetime.combine(TODAY, dt.time(12), dt.UTC), tick=False)


def url(name: str, *args: object) -> str:
    return reverse(f"estimates:{name}", args=args)


def prices(need: Need) -> str:
    return url("need_prices", need.item.intake_id, need.pk)


def stay_of(quote: Quote) -> int:
    assert quote.need is not None
    return quote.need.item.intake_id


def made(stay: Intake) -> None:
    make_estimate(intake=stay, given=(), rates=Rates(supplies_most_cents=2_500), by=make_user())


def test_an_estimate_says_its_odds_its_sources_and_its_versions(client: Client) -> None:
    said = {"price_source": "counter quote", "priced_on": TODAY - dt.timedelta(days=78)}
    need = make_need(price_low_cents=12_100, price_cents=12_100, price_high_cents=12_100, **said)
    stay = need.item.intake
    made(stay)
    sign_in(client)
    text = words(client.get(url("estimate_page", stay.pk)))
    assert "Of ten such cars, five cost at most $125.00 and eight at most $125.00." in text
    assert "Radiator $121.00: counter quote, 78 days old" in text
    assert "Version 1: five in ten at most $121.00" in text
    assert "How estimates came out" not in text


def test_an_estimate_that_is_not_current_has_no_paper(client: Client) -> None:
    need = make_need()
    stay = need.item.intake
    sign_in(client)
    assert client.get(url("estimate_file", stay.pk, "en")).status_code == 404
    made(stay)
    response = client.get(url("estimate_file", stay.pk, "es"))
    assert response.headers["Content-Type"] == "application/pdf"
    assert response.headers["Cache-Control"] == "private, no-store"
    assert client.get(url("estimate_file", stay.pk, "fr")).status_code == 404


def test_a_car_without_open_items_has_nothing_to_estimate(client: Client) -> None:
    sign_in(client)
    text = words(client.get(url("estimate_page", make_intake().pk)))
    assert "No repair item is open, so there is nothing to estimate." in text


def test_a_price_is_recorded_with_its_paper_and_chosen(client: Client) -> None:
    need = make_need()
    sign_in(client)
    paper = SimpleUploadedFile("quote.pdf", b"%PDF-1.7", content_type="application/pdf")
    client.post(prices(need), PRICE | {"paper": paper, "lead_days": "2"})
    quote = Quote.objects.get()
    assert (quote.cents, quote.paper_type, quote.lead_days) == (11_000, "application/pdf", 2)
    text = words(client.get(prices(need)))
    assert "$10.00 less" in text
    page = client.post(url("choose_quote", need.item.intake_id, quote.pk), follow=True)
    assert "The estimate counts with the price of Quayside Auto Parts now." in words(page)
    need.refresh_from_db()
    assert (need.price_cents, need.priced_on) == (11_000, TODAY)


def test_a_used_price_cannot_be_typed_where_none_is_taken(client: Client) -> None:
    need = make_need(kind="brake_pads", system="brakes", title="Front pads")
    sign_in(client)
    assert "A used brake pad, shoe or lining is not taken." in words(client.get(prices(need)))
    refused = client.post(prices(need), PRICE | {"condition": "used"})
    assert (refused.status_code, Quote.objects.count()) == (422, 0)


def test_a_price_without_a_figure_is_refused_beside_its_field(client: Client) -> None:
    need = make_need()
    sign_in(client)
    refused = client.post(prices(need), PRICE | {"cents": "cheap"})
    assert refused.status_code == 422
    assert "“cheap” is not an amount." in words(refused)


def test_a_price_of_tomorrow_has_not_been_said(client: Client) -> None:
    need = make_need()
    sign_in(client)
    refused = client.post(prices(need), PRICE | {"quoted_on": "2026-12-31"})
    assert "Thursday, December 31, 2026, has not come yet." in words(refused)


def test_work_elsewhere_has_prices_too(client: Client) -> None:
    item = make_item(title="Wheel alignment")
    sign_in(client)
    page = url("item_prices", item.intake_id, item.pk)
    client.post(page, PRICE | {"cents": "75.00"})
    quote = Quote.objects.get()
    assert (quote.item, quote.condition) == (item, "new")
    client.post(url("choose_quote", item.intake_id, quote.pk))
    item.refresh_from_db()
    assert item.sublet_cents == 7_500
    assert "The estimate counts $75.00." in words(client.get(page))


def test_what_cannot_be_chosen_says_why(client: Client) -> None:
    eve = TODAY - dt.timedelta(days=1)
    quote = make_quote(quoted_on=eve, good_until_on=eve)
    sign_in(client)
    page = client.post(url("choose_quote", stay_of(quote), quote.pk), follow=True)
    assert f"This price was good until {eve}." in words(page)
    assert "Ran out on" in words(page)


def test_a_price_is_withdrawn_with_its_reason(client: Client) -> None:
    quote = make_quote(chosen_at=timezone.now())
    sign_in(client)
    page = url("withdraw_quote", stay_of(quote), quote.pk)
    assert "an answer is missing" in words(client.post(page, follow=True))
    text = words(client.post(page, {"because": "Sold out"}, follow=True))
    assert "Withdrawn: Sold out" in text
    assert words(client.post(page, {"because": "x"}, follow=True)).startswith(
        "This price was withdrawn already."
    )


def test_a_paper_is_handed_out_privately_and_to_be_saved(client: Client) -> None:
    quote = make_quote(paper=b"%PDF-1.7", paper_type="application/pdf")
    stay = stay_of(quote)
    sign_in(client)
    response = client.get(url("quote_file", stay, quote.pk))
    assert response.content == b"%PDF-1.7"
    assert response.headers["Content-Disposition"] == (
        f'attachment; filename="price-{quote.pk}.pdf"'
    )
    assert response.headers["X-Content-Type-Options"] == "nosniff"
    bare = make_quote(need=quote.need)
    assert client.get(url("quote_file", stay, bare.pk)).status_code == 404


def test_a_price_of_another_car_is_not_found(client: Client) -> None:
    quote, other = make_quote(), make_intake(vehicle=make_item().intake.vehicle, left_on=TODAY)
    sign_in(client)
    for name in ("quote_file", "choose_quote", "withdraw_quote"):
        page = url(name, other.pk, quote.pk)
        send = client.get if name == "quote_file" else client.post
        assert send(page).status_code == 404


def test_a_used_battery_is_judged_where_its_price_is_typed(client: Client) -> None:
    need = make_need(kind="battery", title="Battery", system="battery")
    sign_in(client)
    typed = PRICE | {"condition": "used", "made": "2023-02-01"}
    old = client.post(prices(need), typed)
    assert (old.status_code, Quote.objects.count()) == (422, 0)
    assert "It was made in 2023, more than 3 years ago. Rule from: program policy" in words(old)
    young = client.post(prices(need), typed | {"made": "2025-02-01"}, follow=True)
    assert (
        "It may be used. It was made in 2025, not more than 3 years ago. A test under load comes "
        "after. Rule from: program policy; common practice, no source."
    ) in words(young)
    assert Quote.objects.get().note == "Made February 1, 2025."


def test_what_is_closed_asks_for_no_price(client: Client) -> None:
    need = make_need(state="filled")
    sign_in(client)
    assert "no price is asked for it" in words(client.get(prices(need)))


@pytest.mark.parametrize(
    ("role", "status"),
    [
        (RoleKind.COORDINATOR, 200),
        (RoleKind.LEAD_TECHNICIAN, 200),
        (RoleKind.TREASURER, 200),
        (RoleKind.TECHNICIAN, 403),
        (RoleKind.SPONSOR, 403),
    ],
)
def test_who_opens_the_record(client: Client, role: RoleKind, status: int) -> None:
    make_program()
    sign_in(client, role)
    assert client.get(url("record")).status_code == status
    assert client.get(url("correct")).status_code == status


def test_a_sponsor_sees_no_price(client: Client) -> None:
    need = make_need()
    sign_in(client, RoleKind.SPONSOR)
    assert client.get(prices(need)).status_code == 403
