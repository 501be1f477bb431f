"""The pages of the shop: who may do what, what is shown, and bad input."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import make_bay, make_intake, make_program, make_user
from tests.vehicles.pages import BACKEND, sign_in, words
from tests.vehicles.shop.rows import DAY, make_piece, today
from vehicles.models import Bay, BayClosure, Equipment, EquipmentInspection, Space

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db
KEEPER = RoleKind.LEAD_TECHNICIAN


def url(name: str, *args: Any) -> str:
    return reverse(f"shop:{name}", args=args)


def sent(client: Client, page: str, /, *args: Any, **typed: Any) -> tuple[int, str]:
    answer = client.post(url(page, *args), typed, follow=True)
    return answer.status_code, words(answer)


def test_the_page_begins_with_what_is_overdue_and_what_that_stops(client: Client) -> None:
    sign_in(client)
    make_piece(due_on=today() - DAY)
    Bay.objects.update(name="Bay 1")
    text = words(client.get(url("shop_page")))
    assert "No bay can be used today." in text
    assert text.index("nobody uses it.") < text.index("Bay 1 is out of the plan since")
    assert text.index("Bay 1 is out of the plan since") < text.index("The lot")


def test_the_lot_says_who_stands_where(client: Client) -> None:
    user = sign_in(client)
    stay = make_intake()
    condition = stay.vehicle.condition
    condition.place, condition.mobility = "space 4", "dead"
    condition.save()
    for name, takes in (("Space 4", True), ("Space 5", True)):
        Space.objects.create(program=stay.program, name=name, takes_dead=takes)
    text = words(client.get(url("shop_page")))
    assert "One of 2 spaces is free. Of 2 for cars that don’t roll, 1 is taken." in text
    assert "Space 4 also for a car that doesn’t roll 2012 Toyota Corolla (doesn’t roll)" in text
    stay.vehicle.withheld_from.add(user)
    text = words(client.get(url("shop_page")))
    assert "Toyota" not in text
    assert "another car (doesn’t roll)" in text


def test_a_car_that_does_not_roll_and_stands_astray_is_told(client: Client) -> None:
    sign_in(client)
    condition = make_intake().vehicle.condition
    condition.place, condition.mobility = "the street", "dead"
    condition.save()
    Space.objects.create(program=condition.program, name="Space 4")
    text = words(client.get(url("shop_page")))
    assert "stands at the street, which is no space for such a car." in text
    make_bay(name="The street")
    assert "no space for such a car" not in words(client.get(url("shop_page")))


def test_a_volunteer_tags_out_and_prints_the_tag_but_puts_nothing_back(client: Client) -> None:
    sign_in(client, RoleKind.VOLUNTEER)
    lift = make_piece()
    assert client.get(url("equipment_tag", lift.pk)).status_code == HTTPStatus.NOT_FOUND
    status, text = sent(client, "equipment_tag_out", lift.pk, because="The lock slips.")
    assert (status, "Two-post lift is tagged out: The lock slips." in text) == (HTTPStatus.OK, True)
    tag = client.get(url("equipment_tag", lift.pk))
    assert (tag["Content-Type"], tag.content[:5]) == ("application/pdf", b"%PDF-")
    for name in ("equipment_back", "equipment_inspect", "equipment_retire", "equipment_edit"):
        assert client.get(url(name, lift.pk)).status_code == HTTPStatus.FORBIDDEN
    assert "Put it back into use" not in text


def test_what_failed_is_inspected_again_before_it_is_offered_back(client: Client) -> None:
    sign_in(client, KEEPER)
    wrench = make_piece(name="Torque wrench", kind="torque_wrench", bay=None)
    typed = {"on": today().isoformat(), "by_name": "Fenwick", "client_key": str(uuid4())}
    _, text = sent(client, "equipment_inspect", wrench.pk, passed="no", note="Reads high", **typed)
    assert ("failed Reads high Fenwick" in text, "Put it back into use" in text) == (True, False)
    assert "Torque wrench failed its inspection on" in text
    again = typed | {"client_key": str(uuid4())}
    _, text = sent(client, "equipment_inspect", wrench.pk, passed="yes", **again)
    assert "Put it back into use" in text


def test_a_technician_records_an_inspection_once(client: Client) -> None:
    sign_in(client)
    lift = make_piece(due_on=today() - DAY)
    typed = {
        "on": today().isoformat(),
        "by_name": "Fenwick Lift Service",
        "passed": "yes",
        "client_key": str(uuid4()),
    }
    for _ in range(2):
        status, text = sent(client, "equipment_inspect", lift.pk, **typed)
    assert (status, EquipmentInspection.objects.count()) == (HTTPStatus.OK, 1)
    assert "Fenwick Lift Service" in text
    assert "Two-post lift is in date until" in text


def test_bad_input_is_told_beside_what_was_typed_and_changes_nothing(client: Client) -> None:
    sign_in(client, KEEPER)
    lift = make_piece()
    typed = {"on": "2026-13-01", "by_name": "Fenwick", "passed": "yes"}
    status, text = sent(client, "equipment_inspect", lift.pk, **typed)
    assert status == HTTPStatus.UNPROCESSABLE_ENTITY
    assert "“2026-13-01” is not a date. Type 2026-12-01 or 12/1/2026." in text
    status, text = sent(client, "equipment_retire", lift.pk, because="Sold", version=9)
    assert status == HTTPStatus.UNPROCESSABLE_ENTITY
    assert "Somebody else changed this meanwhile." in text
    assert (EquipmentInspection.objects.count(), Equipment.objects.get().retired_on) == (0, None)


def test_a_piece_goes_out_and_back_and_is_retired(client: Client) -> None:
    sign_in(client, KEEPER)
    typed = {
        "name": "Floor jack",
        "kind": "jack",
        "interval_months": "6",
        "due_on": (today() + 9 * DAY).isoformat(),
    }
    sent(client, "equipment_add", **typed)
    pk = Equipment.objects.get().pk
    sent(client, "equipment_edit", pk, **typed | {"name": "Red jack", "version": 1})
    sent(client, "equipment_tag_out", pk, because="It sinks")
    _, text = sent(client, "equipment_back", pk, because="New seal", version=3)
    assert "Red jack is due for inspection in 9 days" in text
    assert "It was put back into use. New seal" in text
    _, text = sent(client, "equipment_retire", pk, because="Sold", version=4)
    assert "Red jack is retired." in text
    assert "Record an inspection" not in text


def test_bays_are_added_closed_for_days_and_for_good_and_opened(client: Client) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    sent(client, "bay_add", name="Bay 1", has_lift="on")
    pk = Bay.objects.get().pk
    assert "Its lift is not on the list of equipment" in words(client.get(url("shop_page")))
    days = {"from_on": today().isoformat(), "until_on": (today() + DAY).isoformat()}
    _, text = sent(client, "bay_close_days", pk, reason="Paint", **days)
    assert "No bay can be used today." in text
    _, text = sent(client, "closure_take_back", BayClosure.objects.get().pk)
    assert "Every bay can be used today." in text
    sent(client, "bay_edit", pk, name="Bay 2", version=1)
    _, text = sent(client, "bay_close", pk, because="The roof leaks", version=2)
    assert "Bay 2 is closed since" in text
    _, text = sent(client, "bay_reopen", pk, version=3)
    assert "Bay 2, no lift" in text


def test_spaces_are_added_closed_and_opened(client: Client) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    sent(client, "space_add", name="Space 1", takes_dead="on")
    pk = Space.objects.get().pk
    _, text = sent(client, "space_close", pk, because="Snow", version=1)
    assert "Space 1 is closed since" in text
    _, text = sent(client, "space_reopen", pk, version=2)
    assert "One of 1 space is free." in text


def test_another_programs_rows_are_not_found(client: Client) -> None:
    other = make_program(name="Elsewhere")
    lift = make_piece(program=other)
    space = Space.objects.create(program=other, name="Space 1")
    client.force_login(make_user(KEEPER, program=make_program(name="Here")), BACKEND)
    pages = [
        url("equipment_page", lift.pk),
        url("equipment_tag_out", lift.pk),
        url("bay_edit", lift.bay_id),
        url("space_close", space.pk),
    ]
    assert {client.get(page).status_code for page in pages} == {HTTPStatus.NOT_FOUND}
    assert "Two-post lift" not in words(client.get(url("shop_page")))


def test_a_bay_without_anything_is_an_invitation(client: Client) -> None:
    sign_in(client)
    text = words(client.get(url("shop_page")))
    assert "No bay is on the list yet" in text
    assert "Nothing is overdue, tagged out, or due within 30 days." in text
