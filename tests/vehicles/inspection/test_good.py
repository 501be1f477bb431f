"""Good at all places of a criterion by one tap: what it records, and what it leaves alone."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_intake, make_reading
from tests.vehicles.pages import sign_in, words
from vehicles.inspection.actions import record_not_read
from vehicles.inspection.reading import Missed
from vehicles.models import Finding, Inspection, Reading

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Intake

pytestmark = pytest.mark.django_db
FOUR = ["LF", "RF", "LR", "RR"]


def page(stay: Intake, *place: str) -> str:
    return reverse("inspection:reading_page", args=[stay.pk, *place])


def tap(client: Client, stay: Intake, code: str = "tire-damage", **sent: Any) -> Any:
    fields = {"client_key": str(uuid4()), "places": FOUR} | sent
    return client.post(reverse("inspection:rest_good", args=[stay.pk, code]), fields)


def standing() -> list[tuple[str, str]]:
    rows = Reading.objects.current().order_by("pk")
    return list(rows.values_list("position", "typed"))


def test_one_tap_records_a_reading_for_each_place_and_the_next_point_follows(
    client: Client,
) -> None:
    user, stay = sign_in(client), make_intake()
    html = client.get(page(stay, "tire-damage", "LF")).content.decode()
    assert html.count('name="places"') == 4
    assert "All 4 good" in html
    response = tap(client, stay)
    assert standing() == [(place, "good") for place in FOUR]
    assert set(Reading.objects.values_list("recorded_by", "criterion")) == {
        (user.pk, "tire-damage")
    }
    assert len(set(Reading.objects.values_list("client_key"))) == 4
    last = Reading.objects.get(position="RR")
    following = response["Location"].partition("?")
    assert following[2] == f"after={last.pk}"
    assert following[0] == page(stay, "tire-match")
    assert "4 of 269 read" in words(client.get(response["Location"]))


def test_places_already_read_are_not_touched(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    bad = make_reading(intake=stay, criterion="tire-damage", position="LR", typed="5.2.3 d.1")
    html = client.get(page(stay, "tire-damage", "LF")).content.decode()
    assert (html.count('name="places"'), "Other 3 good" in html) == (3, True)
    tap(client, stay, places=["LF", "RF", "RR"])
    assert standing() == [("LR", bad.typed), ("LF", "good"), ("RF", "good"), ("RR", "good")]
    assert 'name="places"' not in client.get(page(stay, "tire-damage", "LF")).content.decode()


def test_what_somebody_read_or_could_not_read_meanwhile_stays_and_is_said(client: Client) -> None:
    user, stay = sign_in(client), make_intake()
    make_reading(intake=stay, criterion="tire-damage", position="RF", sentence="A bulge.")
    missed = Missed(criterion="tire-damage", position="LR", because="Weather or light")
    record_not_read(intake=stay, missed=missed, by=user)
    text = words(client.get(tap(client, stay)["Location"]))
    assert "Tire damage, front right: R. Amadi recorded meanwhile: A bulge." in text
    assert "Tire damage, rear left: it can’t be read: Weather or light." in text
    assert [place for place, _ in standing()] == ["RF", "LF", "RR"]
    assert stay.not_read.filter(lifted_at=None).count() == 1


def test_sent_twice_it_is_recorded_once_and_no_conflict(client: Client) -> None:
    sign_in(client)
    stay, key = make_intake(), str(uuid4())
    first = tap(client, stay, client_key=key)
    again = tap(client, stay, client_key=key)
    assert (again["Location"], Reading.objects.count()) == (first["Location"], 4)
    assert "recorded meanwhile" not in words(client.get(again["Location"]))


def test_what_is_measured_is_never_called_good_at_once(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    assert 'name="places"' not in client.get(page(stay, "tire-tread", "LF")).content.decode()
    response = tap(client, stay, "tire-tread")
    assert response["Location"] == page(stay, "tire-tread", "RR")
    text = words(client.get(response["Location"]))
    assert "Only what is seen is called good at several places at once." in text
    assert Reading.objects.count() == 0


def test_a_refusal_records_none_and_is_said_once(client: Client) -> None:
    sign_in(client)
    stay = make_intake(left_on=TODAY)
    text = words(client.get(tap(client, stay)["Location"]))
    assert text.count("This stay has ended. Open a new intake to read the car again.") == 1
    assert Reading.objects.count() == 0


@pytest.mark.parametrize("places", [[], ["roof"], ["LF", "roof"]])
def test_a_place_that_there_is_not_is_not_found(client: Client, places: list[str]) -> None:
    sign_in(client)
    assert tap(client, make_intake(), places=places).status_code == 404
    assert Reading.objects.count() == 0


def test_a_place_among_others_that_there_is_not_is_refused(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    assert tap(client, stay, places=["roof", "LF"])["Location"] == page(stay, "tire-damage", "LF")
    assert Reading.objects.count() == 0


def test_on_the_final_sheet_each_place_is_good_anew(client: Client) -> None:
    user, stay = sign_in(client), make_intake()
    make_reading(intake=stay, criterion="tire-damage", position="LF", typed="good")
    tap(client, stay, final="1")
    assert Reading.objects.filter(final=True).count() == 0  # nobody has begun it
    Inspection.objects.create(
        program=stay.program,
        intake=stay,
        depth="final",
        odometer_mi=148_230,
        begun_by=user,
        hands=user,
    )
    tap(client, stay, final="1")
    assert Reading.objects.filter(final=True).count() == 4
    assert (Reading.objects.count(), Finding.objects.count()) == (5, 0)


def test_only_the_shop_calls_anything_good(client: Client) -> None:
    stay = make_intake()
    assert tap(client, stay).status_code == 302
    sign_in(client, RoleKind.TREASURER)
    assert tap(client, stay).status_code == 403
    sign_in(client)
    assert client.get(reverse("inspection:rest_good", args=[stay.pk, "horn"])).status_code == 405
    assert Reading.objects.count() == 0
