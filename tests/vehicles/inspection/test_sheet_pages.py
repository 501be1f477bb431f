"""Beginning, ending and taking over a sheet, setting a class, and local limits, as pages."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_limit,
    make_program,
    make_reading,
    make_user,
)
from tests.vehicles.pages import sign_in, words
from vehicles.inspection.catalogue import load
from vehicles.models import Equipment, Finding, Inspection, Intake, LocalLimit, Regrade

if TYPE_CHECKING:
    from django.test import Client

    from shared.models import User

pytestmark = pytest.mark.django_db
LIMITS = reverse("inspection:limit_list")


def sheet(stay: Intake) -> str:
    return reverse("inspection:sheet", args=[stay.pk])


def begin(client: Client, stay: Intake, depth: str = "full", **sent: str) -> Inspection:
    place = reverse("inspection:begin_inspection", args=[stay.pk])
    assert client.post(place, {"depth": depth} | sent)["Location"] == sheet(stay)
    return Inspection.objects.get()


def bad(stay: Intake, **fields: object) -> Finding:
    reading = make_reading(intake=stay, criterion="tire-tread", **fields)
    return make_finding(intake=stay, reading=reading, deficiency=reading.deficiency)


def class_page(finding: Finding) -> str:
    return reverse("inspection:regrade_page", args=[finding.intake_id, finding.reading_id])


def test_a_sheet_not_begun_offers_three_with_what_each_takes(client: Client) -> None:
    sign_in(client)
    text = words(client.get(sheet(make_intake())))
    assert "20-minute look 28 points, about 20 minutes. It ends at the first finding" in text
    assert "Full sheet 280 points, about 75 minutes. Every point that this car has." in text
    assert "Final sheet" in text


def test_what_stands_against_recording_is_said_before_anything_is_typed(client: Client) -> None:
    user = office(client)
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


def test_the_class_and_its_sources_stand_as_two_facts(client: Client) -> None:
    sign_in(client)
    text = words(client.get(class_page(bad(make_intake()))))
    assert "EU item: dangerous. 49 CFR 570: reject." in text


def test_a_local_limit_stands_beside_the_shipped_one(client: Client) -> None:
    sign_in(client)
    finding = bad(
        make_intake(),
        limit="4/32 in",
        shipped_limit="2/32 in",
        limit_because="The state asks for more.",
    )
    text = words(client.get(class_page(finding)))
    assert "The limit here is 4/32 in: The state asks for more. As shipped: 2/32 in." in text


def test_a_class_is_raised_and_the_sheet_says_by_whom_and_why(client: Client) -> None:
    user = sign_in(client)
    stay = make_intake()
    finding = bad(stay, deficiency="major")
    sent = {"becomes": "dangerous", "because": "The cord shows."}
    assert client.post(class_page(finding), sent).status_code == 302
    text = words(client.get(sheet(stay)))
    assert f"The catalogue says major; raised to dangerous by {user}" in text
    assert "because: The cord shows." in text


def test_a_class_without_a_reason_or_change_is_refused(client: Client) -> None:
    sign_in(client)
    finding = bad(make_intake())
    for sent, sentence in [
        ({"becomes": "dangerous", "because": "So."}, "The class is dangerous already."),
        ({"becomes": "major", "because": ""}, "Because: an answer is missing."),
        ({"becomes": "awful", "because": "So."}, "“awful” is not an answer here."),
    ]:
        response = client.post(class_page(finding), sent)
        assert (response.status_code, Regrade.objects.count()) == (422, 0)
        assert sentence in words(response)


def lower(client: Client, finding: Finding) -> Regrade:
    client.post(class_page(finding), {"becomes": "minor", "because": "It was the gauge."})
    return Regrade.objects.get()


def reply(client: Client, row: Regrade, **sent: str) -> str:
    stay = Intake.objects.get(findings__regrades=row)
    place = reverse("inspection:answer_regrade", args=[stay.pk, row.pk])
    return words(client.post(place, sent, follow=True))


def test_a_lower_class_waits_for_a_second_person_who_is_not_the_first(client: Client) -> None:
    user = sign_in(client)
    finding = bad(make_intake())
    row = lower(client, finding)
    assert "A second person has to agree." in words(client.get(class_page(finding)))
    said = reply(client, row, agree="yes")
    assert f"The second person has to be somebody other than {user}." in said
    second = sign_in(client, RoleKind.LEAD_TECHNICIAN)
    assert f"lowered to minor by {user} and {second}" in reply(client, row, agree="yes")
    assert Finding.objects.get().deficiency == "minor"


def test_a_second_person_may_refuse_with_a_reason(client: Client) -> None:
    sign_in(client)
    row = lower(client, bad(make_intake()))
    sign_in(client, RoleKind.LEAD_TECHNICIAN)
    assert "Say why the class stays." in reply(client, row, agree="no")
    assert "Your answer: an answer is missing." in reply(client, row)
    assert "refused: It is bald." in reply(client, row, agree="no", because="It is bald.")
    assert Finding.objects.get().deficiency == "dangerous"


def test_the_class_of_a_reading_that_was_replaced_is_not_found(client: Client) -> None:
    sign_in(client)
    reading = make_reading(criterion="tire-tread", replaced_at="2026-11-30T12:00:00Z")
    place = reverse("inspection:regrade_page", args=[reading.intake_id, reading.pk])
    assert client.get(place).status_code == 404


def set_limit(client: Client, **fields: str) -> Any:
    sent = {
        "limit": "tire-tread/5.2.3 e.2",
        "typed": "4/32 in",
        "since_on": make_program().today().isoformat(),
        "because": "The state asks for more.",
    }
    return client.post(LIMITS, sent | fields)


def office(client: Client) -> User:
    return sign_in(client, RoleKind.COORDINATOR)


def test_a_local_limit_is_set_listed_and_ended(client: Client) -> None:
    office(client)
    assert set_limit(client)["Location"] == LIMITS
    text = words(client.get(LIMITS))
    assert "Tread depth" in text
    assert "4/32 in" in text
    assert "< 2/32 in" in text
    place = reverse("inspection:end_limit", args=[LocalLimit.objects.get().pk])
    assert "4/32 in" in words(client.get(place))
    assert client.post(place, {"because": ""}).status_code == 422
    assert client.post(place, {"because": "Repealed."})["Location"] == LIMITS
    assert LocalLimit.objects.get().ended_on is not None


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"typed": "1"}, "1/32 in is looser than the shipped 2/32 in."),
        ({"limit": "tire-color/x"}, "Select a valid choice."),
        ({"since_on": "soon"}, "soon"),
        ({"because": ""}, "Because: an answer is missing."),
    ],
)
def test_a_limit_that_can_not_be_is_refused_and_stays_typed(
    client: Client, fields: dict[str, str], sentence: str
) -> None:
    office(client)
    response = set_limit(client, **fields)
    assert (response.status_code, LocalLimit.objects.count()) == (422, 0)
    assert sentence in words(response)


def test_only_the_coordinator_and_the_lead_set_limits(client: Client) -> None:
    row = make_limit(by=make_user())
    sign_in(client, RoleKind.TECHNICIAN)
    assert client.get(LIMITS).status_code == 403
    assert client.post(reverse("inspection:end_limit", args=[row.pk])).status_code == 403
    assert "Local limits" not in client.get(sheet(make_intake())).content.decode()
    office(client)
    assert f'href="{LIMITS}"' in client.get(sheet(make_intake())).content.decode()


def test_what_belongs_to_another_car_is_not_found(client: Client) -> None:
    sign_in(client)
    row = begin(client, make_intake())
    finding = bad(make_intake())
    other = make_intake()
    for name, pk in [
        ("end_inspection", row.pk),
        ("take_over", row.pk),
        ("regrade_page", finding.reading_id),
        ("answer_regrade", 1),
    ]:
        place = reverse(f"inspection:{name}", args=[other.pk, pk])
        assert client.post(place).status_code == 404
