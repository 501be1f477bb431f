"""The sheet and the page of one point, with script and without."""

from __future__ import annotations

import json
import re
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_intake, make_program, make_reading
from tests.vehicles.pages import sign_in, words
from vehicles.inspection.queries import criteria_of_sheet
from vehicles.models import Reading

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Intake

JSON = {"Accept": "application/json"}
pytestmark = pytest.mark.django_db


def sheet(stay: Intake, at: str = "walk_round") -> str:
    return f"{reverse('inspection:sheet', args=[stay.pk])}?at={at}"


def point(stay: Intake, code: str = "tire-tread", *position: str) -> str:
    places = position or (("RR",) if code == "tire-tread" else ())
    return reverse("inspection:reading_page", args=[stay.pk, code, *places])


def send(client: Client, stay: Intake, value: str, **fields: str) -> Any:
    return client.post(point(stay), {"value": value, "unit": "32nds"} | fields)


def test_the_sheet_shows_each_group_and_what_is_left(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    make_reading(intake=stay, criterion="tire-tread", position="LF")
    text = words(client.get(sheet(stay)))
    assert "1 of 269 read" in text
    for group in ("Walk round: ", "Sit in: ", "Look under: "):
        assert group in text
    assert "Dangerous, front left. 1/32 in of tread, the limit is 2/32 in. Do not drive:" in text
    assert "from memory, text not seen" in text
    assert "Rear fog lamp: not fitted to cars built for the United States" in text


def test_the_sheet_defers_to_law_and_licensed_technicians_once(client: Client) -> None:
    sign_in(client)
    text = words(client.get(sheet(make_intake())))
    assert text.count("Local inspection law and a licensed technician decide.") == 1


def test_a_section_all_good_says_so(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    make_reading(intake=stay, criterion="horn", position="", typed="good", deficiency="none")
    assert "Horn good" in words(client.get(sheet(stay, "sit_in")))


def test_a_reading_that_strands_the_car_says_so(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    make_reading(intake=stay, criterion="horn", position="", deficiency="none", strands=True)
    assert "It strands the car." in words(client.get(sheet(stay, "sit_in")))


def test_the_sheet_of_an_ended_stay_can_only_be_read(client: Client) -> None:
    sign_in(client)
    stay = make_intake(left_on=TODAY)
    response = client.get(sheet(stay))
    assert "This stay ended on Monday, November 30." in words(response)
    assert 'class="read' in response.content.decode()
    assert point(stay) not in response.content.decode()


def test_a_point_has_its_method_caution_range_and_last_value(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    make_reading(intake=stay, criterion="tire-tread", position="RR", typed="4")
    text = words(client.get(point(stay)))
    assert "Gauge the shallowest major groove" in text
    assert "Takes: tread depth gauge." in text
    assert "0 to 24/32 in, or 0 to 19.05 mm." in text
    assert "Last: 4/32 in, R. Amadi, Nov 30." in text
    caution = words(client.get(point(stay, "tire-pressure", "LF")))
    assert "Caution: inflating tires Inflating tires. Clip-on chuck, stand aside" in caution


def test_a_reading_is_recorded_and_the_next_unread_point_follows(client: Client) -> None:
    user = sign_in(client)
    stay = make_intake()
    response = send(client, stay, "1")
    reading = Reading.objects.get()
    assert (reading.typed, reading.position, reading.recorded_by) == ("1", "RR", user)
    assert response["Location"] == f"{point(stay, 'tire-wear', 'LF')}?after={reading.pk}"
    text = words(client.get(response["Location"]))
    assert "Recorded Dangerous, Tread depth, rear right. 1/32 in of tread" in text
    assert "Do not drive: it is an immediate danger" in text
    assert "49 CFR 570.9(a)" in text


def test_after_the_last_point_the_sheet_follows(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    for criterion in criteria_of_sheet():
        for position in criterion.positions or ("",):
            if (criterion.code, position) != ("tire-tread", "RR"):
                make_reading(intake=stay, criterion=criterion.code, position=position)
    assert send(client, stay, "9")["Location"] == sheet(stay).partition("?")[0]


def test_the_sheet_carries_what_its_script_needs_to_go_on_alone(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    theirs = make_reading(intake=stay, criterion="tire-tread", position="RR", typed="4")
    html = client.get(sheet(stay)).content.decode()
    _, _, block = html.partition('<script id="points" type="application/json">')
    known = json.loads(block.partition("</script>")[0])
    tread = known["criteria"]["tire-tread"]
    assert [unit["range"] for unit in tread["units"]] == ["0 to 24/32 in", "0 to 19.05 mm"]
    assert tread["places"]["RR"] == {
        "where": "rear right",
        "seen": theirs.pk,
        "last": "4/32 in",
        "done": True,
    }
    assert known["criteria"]["horn"]["answers"][0] == ["good", "Good"]
    assert html.count("<template data-group=") == 2  # the groups that are not shown yet


def test_the_script_of_the_sheet_gets_the_section_and_the_counts_anew(client: Client) -> None:
    sign_in(client)
    answer = client.post(point(make_intake(), "horn"), {"value": "good"}, headers=JSON).json()
    parts = answer["parts"]
    drawn = re.findall(r'<(?:section|div|nav)[^>]* id="([^"]+)"', parts)
    assert drawn == ["c-horn", "walk", "left", "stop"]
    assert "1 of 269 read" in " ".join(parts.split())


def test_nothing_is_said_of_a_reading_that_was_not_just_recorded(client: Client) -> None:
    sign_in(client)
    stay, other = make_intake(), make_reading(criterion="tire-tread")
    assert "Recorded" not in words(client.get(f"{point(stay)}?after={other.pk}"))
    assert "Recorded" not in words(client.get(f"{point(stay)}?after=x"))


@pytest.mark.parametrize(
    ("sent", "sentence"),
    [
        ({"value": "40"}, "Tread depth of 40/32 in is not possible. Type 0 to 24."),
        ({"value": ""}, "Tread depth, rear right: an answer is missing."),
        (
            {"value": "4 psi"},
            "Tread depth is read in 32nds of an inch or millimeters, not psi.",
        ),
        ({"value": "4", "unit": "furlong"}, "“furlong” is not an answer here."),
    ],
)
def test_what_is_not_possible_is_refused_and_stays_typed(
    client: Client, sent: dict[str, str], sentence: str
) -> None:
    sign_in(client)
    stay = make_intake()
    response = client.post(point(stay), sent)
    assert (response.status_code, Reading.objects.count()) == (422, 0)
    assert sentence in words(response)
    assert "One thing to put right" in words(response)


def test_somebody_elses_reading_is_shown_and_may_then_be_replaced(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    theirs = make_reading(intake=stay, criterion="tire-tread", position="RR", typed="4")
    response = send(client, stay, "3")
    assert (response.status_code, Reading.objects.count()) == (422, 1)
    assert "R. Amadi recorded meanwhile" in words(response)
    assert f'name="seen_id" value="{theirs.pk}"' in response.content.decode()
    assert send(client, stay, "3", seen_id=str(theirs.pk)).status_code == 302


def test_sent_twice_it_is_recorded_once(client: Client) -> None:
    sign_in(client)
    stay, key = make_intake(), str(uuid4())
    first = send(client, stay, "3", client_key=key)
    assert send(client, stay, "3", client_key=key)["Location"] == first["Location"]
    assert Reading.objects.count() == 1


def test_the_script_of_the_sheet_hears_what_was_recorded(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    sent = {"value": "1", "unit": "32nds"}
    answer = client.post(point(stay), sent, headers=JSON)
    recorded = answer.json()["recorded"]
    assert (answer.status_code, recorded["id"]) == (200, Reading.objects.get().pk)
    assert (recorded["figure"], recorded["deficiency"]) == ("1/32 in", "dangerous")
    assert answer.json()["read"] == 1


def test_the_script_of_the_sheet_hears_why_not_and_what_stands_there(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    theirs = make_reading(intake=stay, criterion="tire-tread", position="RR", typed="4")
    answer = client.post(point(stay), {"value": "3", "unit": "32nds"}, headers=JSON)
    assert answer.status_code == 422
    assert answer.json()["refused"].startswith("R. Amadi recorded meanwhile")
    assert answer.json()["stands"]["id"] == theirs.pk
    impossible = client.post(point(stay, "horn"), {"value": "loud"}, headers=JSON).json()
    assert (impossible["refused"], impossible["stands"]) == (
        "“loud” is not an answer here.",
        None,
    )


def test_an_ended_stay_has_no_form_and_takes_no_reading(client: Client) -> None:
    sign_in(client)
    stay = make_intake(left_on=TODAY)
    text = words(client.get(point(stay)))
    assert "Open a new intake to read the car again." in text
    assert "Record, then the next point" not in text
    response = send(client, stay, "3")
    assert (response.status_code, Reading.objects.count()) == (422, 0)


@pytest.mark.parametrize(
    ("code", "position"),
    [("tire-color", []), ("tire-tread", []), ("tire-tread", ["roof"]), ("rear-fog-lamp", [])],
)
def test_a_point_that_there_is_not_is_not_found(
    client: Client, code: str, position: list[str]
) -> None:
    sign_in(client)
    place = reverse("inspection:reading_page", args=[make_intake().pk, code, *position])
    assert client.get(place).status_code == 404


def test_only_the_shop_opens_sheets(client: Client) -> None:
    stay = make_intake()
    assert client.get(sheet(stay)).status_code == 302
    assert client.get(point(stay)).status_code == 302
    sign_in(client, RoleKind.TREASURER)
    assert client.get(sheet(stay)).status_code == 403
    assert send(client, stay, "1").status_code == 403
    assert Reading.objects.count() == 0


def test_a_car_of_another_program_or_one_withheld_is_not_found(client: Client) -> None:
    user = sign_in(client)
    other = make_intake(program=make_program(name="Weir Street Garage"))
    tied = make_intake()
    tied.vehicle.withheld_from.add(user)
    for stay in (other, tied):
        assert client.get(sheet(stay)).status_code == 404
        assert send(client, stay, "1").status_code == 404
    assert Reading.objects.count() == 0


def test_a_sheet_is_only_looked_at(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    assert client.post(sheet(stay)).status_code == 405
    assert client.put(point(stay)).status_code == 405
