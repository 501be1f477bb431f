"""The walk round a car, and what was told put right, as pages."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_intake, make_program
from tests.vehicles.intake.answers import sent
from tests.vehicles.intake.shots import kept
from tests.vehicles.pages import sign_in, words
from vehicles.intake.keeping import Subject
from vehicles.models import Intake, WalkRoundMark

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.test import Client

    from shared.models import User

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def clock() -> Iterator[None]:
    with time_machine.travel(dt.datetime.combine(TODAY, dt.time(18, 0), dt.UTC), tick=False):
        yield


@pytest.fixture
def technician(client: Client) -> User:
    return sign_in(client)


@pytest.fixture
def stay() -> Intake:
    return make_intake()


def address(stay: Intake, name: str = "walk_round", *more: int) -> str:
    return reverse(f"intake:{name}", args=[stay.pk, *more])


def place(client: Client, stay: Intake, **fields: Any) -> Any:
    known = {"kind": "dent", "x": "450", "y": "590", "client_key": str(uuid4())}
    return client.post(address(stay), known | fields, follow=True)


# ---- marks ----


def test_a_mark_stands_on_the_drawing_and_in_the_list(
    client: Client, technician: User, stay: Intake
) -> None:
    response = place(client, stay, note="a hand wide")
    text = words(response)
    assert "Marked: dent, left front door." in response.content.decode()
    assert "D1 Dent, left front door: a hand wide" in text
    assert '<circle cx="450" cy="590" r="21"' in response.content.decode()


def test_without_script_the_part_is_chosen_from_a_list(
    client: Client, technician: User, stay: Intake
) -> None:
    place(client, stay, x="", y="", area="44", kind="rust")
    assert [str(mark) for mark in stay.marks.all()] == ["rust, hood"]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"kind": ""}, "What is seen: an answer is missing."),
        ({"x": "", "y": ""}, "Touch the drawing, or choose where it is."),
        ({"x": "2", "y": "2"}, "This place is beside the car."),
        ({"note": "x" * 121}, "Type at most 120 characters"),
    ],
)
def test_a_mark_of_nothing_or_beside_the_car_is_refused(
    client: Client, technician: User, stay: Intake, fields: dict[str, str], sentence: str
) -> None:
    response = place(client, stay, **fields)
    assert response.status_code == 422
    assert sentence in words(response)
    assert stay.marks.count() == 0


def test_sending_a_mark_twice_places_it_once(
    client: Client, technician: User, stay: Intake
) -> None:
    key = str(uuid4())
    for _ in range(2):
        place(client, stay, client_key=key)
    assert stay.marks.count() == 1


def test_a_mark_is_removed_and_stays_in_the_rows(
    client: Client, technician: User, stay: Intake
) -> None:
    place(client, stay)
    mark = WalkRoundMark.objects.get()
    response = client.post(address(stay, "void_mark", mark.pk), follow=True)
    assert "No mark was placed." in words(response)
    assert WalkRoundMark.objects.exclude(voided_at=None).count() == 1
    assert client.get(address(stay, "void_mark", mark.pk)).status_code == 405


def test_a_stay_that_ended_is_looked_at_only(client: Client, technician: User) -> None:
    stay = make_intake()
    place(client, stay)
    Intake.objects.filter(pk=stay.pk).update(left_on=TODAY)
    html = client.get(address(stay)).content.decode()
    assert "D1" in html
    assert "Place the mark" not in html
    assert place(client, stay).status_code == 422


def test_photos_of_a_mark_stand_with_it_and_others_below(
    client: Client, technician: User, stay: Intake
) -> None:
    place(client, stay)
    key = str(WalkRoundMark.objects.get().client_key)
    of_mark = kept(stay, technician, subject=Subject(about="walk_round", key=key))
    around = kept(stay, technician, subject=Subject(about="walk_round", key=""))
    html = client.get(address(stay)).content.decode()
    assert "Photos of D1: 1" in html
    below = html.index('id="around"')
    assert html.index(f"/photos/{of_mark.pk}/file/") < below < html.index(f"/photos/{around.pk}/f")


def test_marks_add_no_query_to_the_page(client: Client, technician: User, stay: Intake) -> None:
    counts = []
    for _ in range(3):
        place(client, stay)
        with CaptureQueriesContext(connection) as queries:
            client.get(address(stay))
        counts.append(len(queries))
    assert len(set(counts)) == 1


def test_a_withheld_or_foreign_stay_is_not_there(client: Client, technician: User) -> None:
    withheld, foreign = make_intake(), make_intake(program=make_program(name="Elsewhere"))
    withheld.vehicle.withheld_from.add(technician)
    names = ("walk_round", "change_arrival", "intake_sheet")
    found = {
        client.get(address(one, name)).status_code for one in (withheld, foreign) for name in names
    }
    assert found == {404}


def test_the_office_walks_round_no_car(client: Client, stay: Intake) -> None:
    sign_in(client, RoleKind.TREASURER)
    assert client.get(address(stay)).status_code == 403


# ---- what was told is put right ----


def test_what_was_told_is_put_right(client: Client, technician: User, stay: Intake) -> None:
    page = client.get(address(stay, "change_arrival")).content.decode()
    assert "It grinds when I brake." in page
    versions = {"version": "1", "car_version": "1", "vin": stay.vehicle.vin}
    answers = sent(**versions, vin_note="invented", odometer_mi="148,191", sleeps_in="yes")
    response = client.post(address(stay, "change_arrival"), answers, follow=True)
    stay.refresh_from_db()
    assert "Somebody sleeps in this car." in words(response)
    assert (stay.odometer_mi, stay.sleeps_in, stay.version) == (148_191, True, 2)


def test_a_stale_change_is_refused(client: Client, technician: User, stay: Intake) -> None:
    answers = sent(version="7", car_version="1", vin=stay.vehicle.vin, odometer_mi="148,191")
    response = client.post(address(stay, "change_arrival"), answers)
    assert response.status_code == 422
    assert "Somebody else changed this meanwhile." in words(response)


def test_a_stay_that_ended_has_no_such_page(client: Client, technician: User) -> None:
    stay = make_intake(left_on=TODAY)
    assert client.get(address(stay, "change_arrival")).status_code == 404
