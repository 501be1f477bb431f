"""Setting the class of what was found, and local limits, as pages."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import (
    make_finding,
    make_intake,
    make_limit,
    make_program,
    make_reading,
    make_user,
)
from tests.vehicles.pages import sign_in, words
from vehicles.models import Finding, Intake, LocalLimit, Regrade

if TYPE_CHECKING:
    from django.test import Client

    from shared.models import User

pytestmark = pytest.mark.django_db
LIMITS = reverse("inspection:limit_list")


def sheet(stay: Intake) -> str:
    return reverse("inspection:sheet", args=[stay.pk])


def bad(stay: Intake, **fields: object) -> Finding:
    reading = make_reading(intake=stay, criterion="tire-tread", **fields)
    return make_finding(intake=stay, reading=reading, deficiency=reading.deficiency)


def class_page(finding: Finding) -> str:
    return reverse("inspection:regrade_page", args=[finding.intake_id, finding.reading_id])


def office(client: Client) -> User:
    return sign_in(client, RoleKind.COORDINATOR)


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
        ({"limit": "tire-color/x"}, "choose one of the answers offered."),
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
