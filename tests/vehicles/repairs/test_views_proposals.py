"""Proposals on the page of repair items: ticked, changed first, or let clear by what is there."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import time_machine
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_finding, make_intake, make_item, make_need, make_user
from tests.vehicles.pages import sign_in, words
from tests.vehicles.repairs.offered import read
from vehicles.models import Regrade, RepairItem
from vehicles.repairs.gathering import offers

if TYPE_CHECKING:
    from django.test import Client
    from pytest_django import DjangoAssertNumQueries

    from vehicles.models import Intake

pytestmark = pytest.mark.django_db
KEY = "tire-replace@LF"
SENT = {
    "title": "Front tires",
    "labor_low_minutes": "40",
    "labor_likely_minutes": "60",
    "labor_high_minutes": "90",
    "new-quantity": "1",
}


def at(stay: Intake, name: str, *more: int | str) -> str:
    return reverse(f"repairs:{name}", args=[stay.pk, *more])


def test_what_would_clear_a_finding_stands_on_top(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    read(stay)
    make_finding(intake=stay, reason_key="", title="Air conditioning is dead")
    text = words(client.get(at(stay, "item_list")))
    assert "Two open findings have no work on the list yet." in text
    assert "Replace tire, front left dangerous Clears: tread depth, front left." in text
    assert "Nothing in the catalogue clears these. Write the work yourself." in text
    assert text.index("What would clear this") < text.index("No repair item is open")


def test_ticked_repairs_are_put_on_the_list_and_ranked(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    read(stay)
    sent = {"take": [KEY], "seen": offers(stay).seen}
    text = words(client.post(at(stay, "take_proposals"), sent, follow=True))
    assert "On the list now: 1 more." in text
    item = RepairItem.objects.get()
    assert (item.tier, item.points) == (0, 160)
    assert "This is on the list already." in words(
        client.post(at(stay, "take_proposals"), sent, follow=True)
    )
    assert RepairItem.objects.count() == 1


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({}, "Tick at least one repair."),
        ({"take": "x"}, "The findings changed meanwhile."),
        ({"take": KEY, "seen": "0"}, "The findings changed meanwhile."),
    ],
)
def test_bad_ticks_are_refused(client: Client, sent: dict[str, str], sentence: str) -> None:
    sign_in(client)
    stay = make_intake()
    read(stay)
    assert sentence in words(client.post(at(stay, "take_proposals"), sent, follow=True))
    assert RepairItem.objects.count() == 0


def test_a_proposal_is_changed_before_it_is_taken(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    read(stay)
    html = client.get(at(stay, "proposal_page", KEY)).content.decode()
    assert 'value="Replace tire, front left"' in html
    sent = SENT | {"seen": offers(stay).seen, "part0-quantity": "2", "part0-price_cents": "61.50"}
    sent |= {"part1-quantity": "0"}
    client.post(at(stay, "proposal_page", KEY), sent)
    item = RepairItem.objects.get()
    need = item.needs.get()
    assert (item.title, need.quantity, need.price_cents) == ("Front tires", 2, 6_150)
    assert need.price_source == "as typed by the shop"


def test_bad_input_in_a_changed_proposal_stays_typed(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    read(stay)
    sent = SENT | {"seen": offers(stay).seen, "part0-quantity": "-1", "part1-quantity": "1"}
    sent |= {"part1-price_low_cents": "9", "part1-price_cents": "8", "sublet_cents": "200000"}
    response = client.post(at(stay, "proposal_page", KEY), sent)
    text = words(response)
    assert (response.status_code, RepairItem.objects.count()) == (422, 0)
    assert "Three things to put right" in text
    assert "“-1” is not possible. Type a whole number from 0 to 99." in text
    assert "Prices go from low over likely to high." in text
    assert "$200,000.00 is too much. Type at most $100,000.00." in text
    assert 'value="-1"' in response.content.decode()


def test_a_proposal_that_is_gone_leads_back_to_the_list(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    text = words(client.get(at(stay, "proposal_page", KEY), follow=True))
    assert "This is not proposed any more. Look at what is on the list." in text


def test_a_finding_is_given_to_work_on_the_list(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    pads = read(stay, "brake-pads", "LF-inner", "1.1.13 a")
    item = make_item(intake=stay, operation="brake-pads-front", findings=[pads])
    other = read(stay, "brake-pads", "RF-inner", "1.1.13 a", title="Pads, front right")
    assert "is on the list and would clear it too." in words(client.get(at(stay, "item_list")))
    client.post(at(stay, "attach_finding", item.pk, other.pk))
    assert set(item.findings.all()) == {pads, other}


def test_an_item_is_changed_on_its_page(client: Client) -> None:
    sign_in(client)
    item = make_item()
    need = make_need(item=item)
    place = at(item.intake, "item_page", item.pk)
    assert "Keep this" in words(client.get(place))
    sent = SENT | {"version": "1", f"part{need.pk}-quantity": "4", "new-kind": "valve_stem"}
    assert "Changed: Two front tires." in words(client.post(place, sent, follow=True))
    item.refresh_from_db()
    assert (item.title, [row.quantity for row in item.needs.all()]) == ("Front tires", [4, 1])
    stale = client.post(place, sent)
    assert stale.status_code == 422
    assert "Somebody else changed this item meanwhile." in words(stale)


def test_an_item_is_taken_off_the_list_with_a_reason(client: Client) -> None:
    sign_in(client)
    item = make_item()
    place = at(item.intake, "withdraw_item", item.pk)
    assert client.post(place, {"because": "", "version": "1"}).status_code == 422
    text = words(client.post(place, {"because": "Not worn.", "version": "1"}, follow=True))
    assert "Off the list: Two front tires." in text
    assert "withdrawn: Not worn." in text


def test_only_the_lead_technician_opens_a_done_item_again(client: Client) -> None:
    item = make_item(state="done", done_on=TODAY)
    place = at(item.intake, "reopen_item", item.pk)
    sign_in(client)
    assert client.post(place, {"because": "Not done."}).status_code == 403
    assert "Open it again" not in words(client.get(at(item.intake, "item_page", item.pk)))
    sign_in(client, RoleKind.LEAD_TECHNICIAN)
    assert "Open it again" in words(client.get(at(item.intake, "item_page", item.pk)))
    client.post(place, {"because": "Not done."})
    item.refresh_from_db()
    assert item.state == "open"


def test_items_of_a_car_that_is_withheld_are_not_there(client: Client) -> None:
    user = sign_in(client)
    item = make_item()
    item.intake.vehicle.withheld_from.add(user)
    for name in ("item_page", "withdraw_item", "mark_done"):
        assert client.post(at(item.intake, name, item.pk), SENT).status_code == 404
    assert client.get(at(item.intake, "rank_page")).status_code == 404


def test_the_cautions_of_a_job_stand_at_the_job(client: Client) -> None:
    """29 CFR 1910.177 and the rest stand in the catalogue; the page carries their marks on."""
    sign_in(client)
    stay = make_intake()
    item = make_item(intake=stay, operation="tire-replace", findings=[read(stay)])
    for place in (at(stay, "item_list"), at(stay, "item_page", item.pk)):
        text = words(client.get(place))
        assert "Clip-on chuck, stand aside, never above the maximum on the sidewall." in text
        assert "from memory, text not seen." in text


@time_machine.travel("2026-11-30 15:00Z", tick=False)
def test_each_step_of_the_rank_is_said(client: Client) -> None:
    user = sign_in(client)
    stay = make_intake()
    finding = read(stay)
    Regrade.objects.create(
        program=stay.program,
        finding=finding,
        was="major",
        becomes="dangerous",
        because="Cords show.",
        by=user,
    )
    make_item(intake=stay, findings=[finding])
    make_item(intake=stay, title="Wash")
    text = words(client.get(at(stay, "rank_page")))
    assert "One of 2 open items keeps the car here." in text
    assert "1. Two front tires: do not drive. Class dangerous, cell 1C, high risk," in text
    assert "Tier 0: the class is dangerous." in text
    assert f"Class raised from major to dangerous by {user}: Cords show." in text
    assert "The car does not go home with this open, whoever signs." in text
    assert "C occasional High No. 1" in text


def test_the_rank_of_nothing_says_so(client: Client) -> None:
    sign_in(client)
    assert "No repair item is open." in words(client.get(at(make_intake(), "rank_page")))


@pytest.mark.parametrize(("name", "most"), [("item_list", 40), ("rank_page", 25)])
def test_the_queries_of_a_page_do_not_grow(
    client: Client, django_assert_max_num_queries: DjangoAssertNumQueries, name: str, most: int
) -> None:
    sign_in(client)
    stay = make_intake()
    for number in range(30):
        finding = read(stay, at=f"{number}")
        make_need(item=make_item(intake=stay, title=f"Job {number}", findings=[finding]))
        read(stay, f"point-{number}")
    with django_assert_max_num_queries(most):
        assert client.get(at(stay, name)).status_code == 200


def test_a_user_of_the_office_sees_no_proposals(client: Client) -> None:
    client.force_login(make_user(RoleKind.TREASURER), "django.contrib.auth.backends.ModelBackend")
    assert client.get(at(make_intake(), "item_list")).status_code == 403
