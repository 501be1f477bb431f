"""Beginning, ending and taking over a sheet, as pages."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import (
    TODAY,
    make_intake,
    make_reading,
)
from tests.vehicles.pages import sign_in, words
from vehicles.inspection.catalogue import load
from vehicles.models import Equipment, Inspection, Intake

if TYPE_CHECKING:
    from django.test import Client


pytestmark = pytest.mark.django_db


def sheet(stay: Intake) -> str:
    return reverse("inspection:sheet", args=[stay.pk])


def begin(client: Client, stay: Intake, depth: str = "full", **sent: str) -> Inspection:
    place = reverse("inspection:begin_inspection", args=[stay.pk])
    assert client.post(place, {"depth": depth} | sent)["Location"] == sheet(stay)
    return Inspection.objects.get()


def test_a_sheet_not_begun_offers_three_with_what_each_takes(client: Client) -> None:
    sign_in(client)
    text = words(client.get(sheet(make_intake())))
    assert "20-minute look 28 points, about 20 minutes. It ends at the first finding" in text
    assert "Full sheet 280 points, about 75 minutes. Every point that this car has." in text
    assert "Final sheet" in text


def test_what_stands_against_recording_is_said_before_anything_is_typed(client: Client) -> None:
    user = sign_in(client, RoleKind.COORDINATOR)
    text = words(client.get(sheet(make_intake(consents=()))))
    assert "You can look, and record nothing yet" in text
    assert f"{user} is not on the list of people who work in the shop." in text
    assert "about 75 minutes" not in text
    assert "record nothing" not in words(client.get(sheet(make_intake(left_on=TODAY))))


def test_a_sheet_begun_is_in_the_hands_of_whoever_began_it(client: Client) -> None:
    user, stay = sign_in(client), make_intake()
    row = begin(client, stay, "look")
    assert (row.depth, row.hands) == ("look", user)
    text = words(client.get(sheet(stay)))
    assert "You have this sheet in hand." in text
    assert "0 of 28 read" in text
    assert "about 75 minutes" not in text


def test_the_final_sheet_asks_for_the_odometer(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    place = reverse("inspection:begin_inspection", args=[stay.pk])
    for miles, sentence in [
        ("", "Odometer: an answer is missing."),
        ("12", "12 is less than the 148,190 miles read before."),
    ]:
        response = client.post(place, {"depth": "final", "odometer_mi": miles})
        assert (response.status_code, Inspection.objects.count()) == (422, 0)
        assert sentence in words(response)
    assert begin(client, stay, "final", odometer_mi="148,230").odometer_mi == 148_230


def test_a_depth_that_there_is_not_begins_nothing(client: Client) -> None:
    sign_in(client)
    place = reverse("inspection:begin_inspection", args=[make_intake().pk])
    assert client.post(place, {"depth": "deep"}).status_code == 422
    assert Inspection.objects.count() == 0


def test_another_technician_sees_who_has_it_and_takes_over(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    row = begin(client, stay)
    other = sign_in(client)
    assert f"{row.hands} has this sheet in hand." in words(client.get(sheet(stay)))
    client.post(reverse("inspection:take_over", args=[stay.pk, row.pk]))
    row.refresh_from_db()
    assert row.hands == other


def test_ending_says_first_how_much_is_not_read(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    row = begin(client, stay, "look")
    place = reverse("inspection:end_inspection", args=[stay.pk, row.pk])
    text = words(client.get(place))
    assert "28 of 28 points are not read. They stay unread, and unread is never good." in text
    assert client.post(place)["Location"] == sheet(stay)
    after = words(client.get(sheet(stay)))
    assert "28 points stayed unread. Unread is never good." in after
    assert client.get(place)["Location"] == sheet(stay)
    assert "20-minute look: ended already." in words(client.post(place, follow=True))


def test_a_look_ends_where_the_rest_is_not_worth_the_time(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    row = begin(client, stay, "look")
    reason = next(one for one in load()["structure"].reasons if one.stops)
    place = reverse("inspection:reading_page", args=[stay.pk, "structure"])
    assert client.post(place, {"value": reason.key})["Location"] == sheet(stay)
    page = client.get(f"{sheet(stay)}?at=walk_round")
    text, title = words(page), load()["structure"].title
    assert f"The look ends here {title}: {reason.text}. The rest stays unread." in text
    assert 'id="c-tire-tread"' not in page.content.decode()
    client.post(reverse("inspection:end_inspection", args=[stay.pk, row.pk]))
    assert "nobody is asked for it" in words(client.get(sheet(stay)))


def test_what_this_car_has_not_is_folded_away_and_what_the_shop_lacks_is_said(
    client: Client,
) -> None:
    sign_in(client)
    stay = make_intake()
    Equipment.objects.create(
        program=stay.program, name="Lining gauge", due_on=TODAY, tagged_out=True
    )
    text = words(client.get(sheet(stay)))
    assert "Not on this car: 15 points" in text
    pads = reverse("inspection:reading_page", args=[stay.pk, "brake-pads", "LF-inner"])
    assert "Lining gauge: out of use, so read it without." in words(client.get(pads))


def test_what_belongs_to_another_car_is_not_found(client: Client) -> None:
    sign_in(client)
    row = begin(client, make_intake())
    reading, other = make_reading(), make_intake()
    for name, pk in [
        ("end_inspection", row.pk),
        ("take_over", row.pk),
        ("regrade_page", reading.pk),
        ("answer_regrade", 1),
    ]:
        place = reverse(f"inspection:{name}", args=[other.pk, pk])
        assert client.post(place).status_code == 404
