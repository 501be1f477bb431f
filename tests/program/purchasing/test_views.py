"""The pages of needs."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.test import Client

from shared.accounts.roles import RoleKind
from shared.models import Event
from tests.factories import make_case, make_need, make_program, make_supply, make_user
from tests.vehicles.pages import words
from vehicles.repairs.keeping import CHANGED

if TYPE_CHECKING:
    from vehicles.models import Need

pytestmark = pytest.mark.django_db
LIST = "/needs/"
READERS = {
    *(RoleKind.COORDINATOR, RoleKind.TREASURER, RoleKind.BOARD),
    *(RoleKind.LEAD_TECHNICIAN, RoleKind.TECHNICIAN, RoleKind.VOLUNTEER),
}


def client_of(role: RoleKind = RoleKind.LEAD_TECHNICIAN) -> Client:
    client = Client()
    client.force_login(make_user(role))
    return client


def page(path: str, role: RoleKind = RoleKind.LEAD_TECHNICIAN) -> str:
    return " ".join(client_of(role).get(path).content.decode().split())


def send(need: Need, what: str, role: RoleKind = RoleKind.LEAD_TECHNICIAN, **typed: Any) -> Any:
    return client_of(role).post(f"{LIST}{need.pk}/{what}/", typed)


def pads() -> Need:
    return make_need(kind="brake_pads", title="Front pads", system="brakes")


@pytest.mark.parametrize("role", RoleKind)
def test_office_and_shop_read_the_needs(role: RoleKind) -> None:
    need = make_need()
    statuses = {client_of(role).get(path).status_code for path in (LIST, f"{LIST}{need.pk}/")}
    assert statuses == ({200} if role in READERS else {403})


def test_what_somebody_has_to_find_out_comes_first() -> None:
    make_need()
    pads()
    found = page(LIST)
    assert found.index('class="slips"') < found.index('id="rows"')
    assert "Front pads, 2012 Toyota Corolla" in found[: found.index('id="rows"')]
    assert "Two needs without a part." in found


def test_the_list_is_narrowed_sorted_and_exported() -> None:
    make_need()
    pads()
    answer = client_of().get(f"{LIST}?system=brakes&sort=-stage&export=csv")
    lines = answer.content.decode("utf-8-sig").splitlines()
    assert (len(lines), lines[1].split(",")[0]) == (2, "Front pads")


@pytest.mark.parametrize("order", ["title", "-case", "tier", "quantity", "stage", "needed_by_on"])
def test_every_column_sorts_with_empty_cells_among_them(order: str) -> None:
    make_case(vehicle=make_need().item.intake.vehicle)
    make_need(needed_by_on=dt.date(2026, 12, 4), price_cents=None, price_high_cents=None)
    assert client_of().get(f"{LIST}?sort={order}").status_code == 200


@pytest.mark.parametrize("query", ["stage=lost", "q=" + "x" * 99, "page=-1", "stage=fitted"])
def test_nonsense_in_the_address_is_no_error(query: str) -> None:
    make_need(state="filled")
    assert client_of().get(f"{LIST}?{query}").status_code == 200


def test_the_page_of_a_need_says_what_it_may_be_and_where_the_rule_is_from() -> None:
    found = page(f"{LIST}{pads().pk}/")
    assert "A used brake pad, shoe or lining is not taken." in found
    assert "program policy; common practice, no source" in found
    assert "Record that it fits" in found


def test_the_office_gets_to_the_case_and_the_shop_to_the_job() -> None:
    need = make_need()
    case = make_case(vehicle=need.item.intake.vehicle)
    path = f"{LIST}{need.pk}/"
    links = [f"/cases/{case.number}/", f"/cars/{need.item.intake_id}/items/{need.item_id}/"]
    treasurer, technician = page(path, RoleKind.TREASURER), page(path, RoleKind.TECHNICIAN)
    assert [link in treasurer for link in links] == [True, False]
    assert [link in technician for link in links] == [False, True]


def test_a_need_of_a_car_withheld_from_the_reader_is_not_found() -> None:
    need, user = make_need(), make_user(RoleKind.COORDINATOR)
    need.item.intake.vehicle.withheld_from.add(user)
    client = Client()
    client.force_login(user)
    assert client.get(f"{LIST}{need.pk}/").status_code == 404
    assert client.post(f"{LIST}{need.pk}/ask/").status_code == 404


def test_what_it_may_be_is_recorded_and_stands_in_the_history() -> None:
    need = make_need()
    answer = send(need, "conditions", may_be=["new", "rebuilt"], version=1)
    need.refresh_from_db()
    assert (answer["Location"], need.may_be) == (f"{LIST}{need.pk}/", ["new", "rebuilt"])
    assert "What the part may be was changed." in page(f"{LIST}{need.pk}/")


def test_a_stale_page_is_refused_and_stays_as_it_was_typed() -> None:
    need = make_need()
    answer = send(need, "conditions", may_be=["new"], version=7)
    need.refresh_from_db()
    assert (answer.status_code, need.may_be) == (422, [])
    assert CHANGED in answer.content.decode()


def test_a_technician_takes_on_to_find_out() -> None:
    need = pads()
    until = make_program().today() + dt.timedelta(days=2)
    send(need, "ask", RoleKind.TECHNICIAN, until=until.isoformat())
    assert Event.objects.about("need", need.pk).get().reason == until.isoformat()
    assert send(need, "ask", until="2001-01-01").status_code == 422


def test_a_number_from_the_counter_is_recorded() -> None:
    need = pads()
    send(need, "checked", how="COUNTER", part_number="BP 77")
    need.refresh_from_db()
    assert need.fitment["part_number"] == "BP 77"
    assert "looked up by VIN at the counter" in page(f"{LIST}{need.pk}/")
    assert send(need, "checked", how="COUNTER").status_code == 422


def test_the_unit_that_was_looked_at_is_named_and_asked_about_no_more() -> None:
    need, unit = make_need(), make_supply(fitment={}, title="Radiator of unknown origin")
    path = f"{LIST}{need.pk}/"
    assert f"No. {unit.pk}: Radiator of unknown origin, our shelf</span>" in page(path)
    assert send(need, "checked", how="OLD_PART").status_code == 422
    assert send(need, "checked", how="OLD_PART", unit=unit.pk).status_code == 302
    assert "Nothing is left to ask." in page(path)
    again = send(need, "checked", how="OLD_PART", unit=unit.pk)
    assert (again.status_code, "Which one" in page(path)) == (302, False)


def test_a_used_tire_on_the_shelf_is_measured_where_it_is_taken() -> None:
    need = make_need(kind="tire", title="Tire", system="tires", fitment={"tire_size": "195/65R15"})
    tire = {"fitment": {"tire_size": "195/65R15 91H"}, "used": True}
    unit = make_supply(kind="tire", title="Tire", system="tires", **tire)
    assert "Tread, if it is used" in page(f"{LIST}{need.pk}/")
    typed: dict[str, Any] = {"how": "OLD_PART", "unit": unit.pk, "tread_32nds": "4", "made": "0124"}
    unread = send(need, "checked", how="OLD_PART", unit=unit.pk)
    assert "A used one is dated first. Type the date that stands on it." in words(unread)
    bald = send(need, "checked", **typed)
    assert bald.status_code == 422
    assert "It has 4/32 in of tread; used tires are taken from 5/32 in on." in words(bald)
    client = client_of()
    client.post(f"{LIST}{need.pk}/checked/", typed | {"tread_32nds": "7"})
    assert "Recorded: it fits. It has 7/32 in of tread; used tires are taken from" in words(
        client.get(f"{LIST}{need.pk}/")
    )
    assert "(7/32 in of tread, made January 7, 2024)" in page(f"{LIST}{need.pk}/")


@pytest.mark.parametrize(
    ("what", "role"),
    [
        ("conditions", RoleKind.TECHNICIAN),
        ("conditions", RoleKind.TREASURER),
        ("ask", RoleKind.TREASURER),
        ("checked", RoleKind.BOARD),
    ],
)
def test_who_may_not_change_it_is_refused(what: str, role: RoleKind) -> None:
    assert send(make_need(), what, role).status_code == 403


def test_a_get_changes_nothing() -> None:
    need = make_need()
    answers = [
        client_of().get(f"{LIST}{need.pk}/{one}/") for one in ("conditions", "ask", "checked")
    ]
    assert {answer.status_code for answer in answers} == {405}


def test_a_closed_need_is_read_only() -> None:
    need = make_need(state="filled")
    assert "Record that it fits" not in page(f"{LIST}{need.pk}/")
    assert send(need, "checked", how="OLD_PART").status_code == 422
