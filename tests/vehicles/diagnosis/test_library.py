"""Pages of fault models: the list, one of them, its texts, changing it, going back."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.accounts.roles import SHOP, RoleKind
from tests.factories import make_program, make_user
from tests.vehicles.diagnosis.rows import HOT, make_diagnosis
from tests.vehicles.pages import sign_in, words
from vehicles.diagnosis.complaints import load, text_of
from vehicles.diagnosis.keeping import save_model
from vehicles.diagnosis.outline import START
from vehicles.models import KeptModel

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db
KEEPERS = {RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN}
STALLS = text_of("stalls")
CHANGED = STALLS.replace("minutes = 30", "minutes = 35", 1)


def url(name: str, *args: Any) -> str:
    return reverse(f"diagnosis:{name}", args=args)


def save(complaint: str = "stalls", text: str = CHANGED, number: int = 0) -> KeptModel:
    return save_model(
        program=make_program(),
        complaint=complaint,
        text=text,
        because="As we see it",
        seen_number=number,
        by=make_user(RoleKind.LEAD_TECHNICIAN),
    )


def sent(text: str = CHANGED, **fields: Any) -> dict[str, Any]:
    return {"text": text, "because": "As we see it", "seen_number": 0} | fields


@pytest.mark.parametrize("role", sorted(RoleKind))
def test_the_shop_reads_and_two_roles_change(client: Client, role: RoleKind) -> None:
    save()
    sign_in(client, role)
    reads = [
        url("model_list"),
        url("all_models"),
        url("model_page", "stalls"),
        url("model_file", "stalls"),
        url("model_text", "stalls", 1),
    ]
    changes = [
        url("edit_model", "stalls"),
        url("new_model"),
        url("take_models"),
        url("shipped_model", "stalls"),
    ]
    assert {client.get(one).status_code for one in reads} == {200 if role in SHOP else 403}
    assert {client.get(one).status_code for one in changes} == {200 if role in KEEPERS else 403}
    assert {client.post(one, {"x": ""}).status_code for one in changes} == {
        422 if role in KEEPERS else 403
    }


def test_who_may_not_change_is_shown_no_way_to(client: Client) -> None:
    save()
    sign_in(client, RoleKind.TECHNICIAN)
    text = words(client.get(url("model_page", "stalls"))) + words(client.get(url("model_list")))
    assert "Change the text" not in text
    assert "Use the shipped one again" not in text
    assert "Take from another program" not in text


def test_the_list_says_whose_each_is_and_how_often_it_was_used(client: Client) -> None:
    make_diagnosis()
    save()
    sign_in(client)
    text = words(client.get(url("model_list"), {"per_page": "50"}))
    assert f"{len(load()) + 1} fault models" in text
    assert "Runs hot Cooling one 3 5 1 1 Our own" in text


def test_queries_do_not_grow_with_texts_and_diagnoses(client: Client) -> None:
    sign_in(client)

    def counted(address: str) -> int:
        with CaptureQueriesContext(connection) as queries:
            assert client.get(address).status_code == 200
        return len(queries)

    make_diagnosis()
    pages = [url("model_list"), url("model_page", "hot")]
    before = [counted(one) for one in pages]
    for number in range(1, 5):
        save("hot", HOT + "# x\n" * number, number)
    save()
    assert [counted(one) for one in pages] == before


def test_a_model_is_read_as_a_whole(client: Client) -> None:
    make_diagnosis()
    sign_in(client)
    text = words(client.get(url("model_page", "hot")))
    assert "3 faults, 5 checks. One root cause, with what it brought about." in text
    assert "Weights: invented for a test." in text
    assert "Look at the gauge." in text
    assert "Fan stands still 50 in 100" in text
    assert "Fan stands still brings about Head gasket leaks 30 in 100" in text
    assert "Sound car 95 5 Hose leaks 5 95" in text
    assert "“Low” proves Hose leaks." in text
    assert "Text 1, Our own, version 1, in force. One diagnosis began with it." in text
    assert "No source is named." in text


def test_shipped_weights_say_where_they_come_from(client: Client) -> None:
    sign_in(client)
    text = words(client.get(url("model_page", "stalls")))
    assert "Weights: practitioner’s judgment, from memory." in text
    assert "Nothing was changed here, and no diagnosis began with it yet." in text


@pytest.mark.parametrize("name", ["model_page", "edit_model", "model_file", "shipped_model"])
def test_a_complaint_that_is_not_there_is_not_found(client: Client, name: str) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    assert client.get(url(name, "no-such")).status_code == 404


def test_texts_of_another_program_are_not_found(client: Client) -> None:
    row = save()
    other = make_program(name="Harrow Lane Garage")
    KeptModel.objects.filter(pk=row.pk).update(program=other)
    sign_in(client)
    assert client.get(url("model_text", "stalls", 1)).status_code == 404
    assert "Text 1" not in words(client.get(url("model_page", "stalls")))


def test_a_text_that_can_not_be_read_says_so_with_its_mistakes(client: Client) -> None:
    row = save()
    KeptModel.objects.filter(pk=row.pk).update(text=CHANGED.replace("model 1", "model 0"))
    sign_in(client, RoleKind.COORDINATOR)
    text = words(client.get(url("model_page", "stalls")))
    assert "This text can’t be read any more" in text
    assert "New diagnoses use the shipped one." in text
    assert "format: “fault model 0” is not known here." in text
    assert client.get(url("model_file", "stalls")).status_code == 200
    assert client.get(url("edit_model", "stalls")).status_code == 200
    assert "can’t be read any more" in words(client.get(url("model_list"), {"per_page": "50"}))
    saved = client.post(url("edit_model", "stalls"), sent(seen_number=1))
    assert saved.status_code == 302


def test_saving_leads_to_what_it_changed_in_numbers(client: Client) -> None:
    user = sign_in(client, RoleKind.LEAD_TECHNICIAN)
    page = url("edit_model", "stalls")
    shown = client.get(page).context["form"]["text"].value()
    assert shown == STALLS
    response = client.post(page, sent(CHANGED.replace("\n", "\r\n")), follow=True)
    assert response.redirect_chain == [(url("model_text", "stalls", 1), 302)]
    text = words(response)
    assert "Our own, version 2026.1. It is in force." in text
    assert "Changed: 1 figure of work." in text
    assert "Specialist 30 min, $450.00 35 min, $450.00" in text
    assert "− minutes = 30 + minutes = 35" in text
    assert KeptModel.objects.get().by == user


def test_every_mistake_is_listed_and_nothing_is_changed(client: Client) -> None:
    sign_in(client, RoleKind.LEAD_TECHNICIAN)
    bad = STALLS.replace('system = "engine"', 'system = "motor"', 1)
    bad = bad.replace("unlisted = 0.0", "unlisted = 0.1", 1)
    for button in ({}, {"check": "1"}):
        response = client.post(url("edit_model", "stalls"), sent(bad) | button)
        assert response.status_code == 422
        text = words(response)
        assert "system: “motor” is not known here." in text
        assert "faults: All weights and “unlisted” sum to 1.10, not 1." in text
        assert "Nothing was changed." in text
        assert response.context["form"]["text"].value() == bad
    assert not KeptModel.objects.exists()


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"because": " "}, "Because: an answer is missing."),
        ({"because": "b" * 201}, "Type at most 200 characters"),
        ({"seen_number": 7}, "Somebody else changed this fault model meanwhile."),
        ({"text": STALLS}, "Nothing was changed."),
        ({"text": HOT}, "This text is of “hot”, and the page of “stalls”."),
        ({"text": ""}, "Text: an answer is missing."),
    ],
)
def test_what_is_refused_is_said_and_changes_nothing(
    client: Client, fields: dict[str, Any], said: str
) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    response = client.post(url("edit_model", "stalls"), sent(**fields))
    assert response.status_code == 422
    assert said in words(response)
    assert not KeptModel.objects.exists()


def test_checking_shows_the_effect_and_saves_nothing(client: Client) -> None:
    make_diagnosis()
    sign_in(client, RoleKind.COORDINATOR)
    new = HOT.replace("weight = 0.50", "weight = 0.45").replace("weight = 0.40", "weight = 0.45")
    response = client.post(
        url("edit_model", "hot"), {"text": new, "because": "", "seen_number": 1, "check": "1"}
    )
    assert response.status_code == 200
    text = words(response)
    assert "No mistake. One diagnosis is going on with an earlier text and keeps it." in text
    assert "Changed: 2 weights." in text
    assert "Fan stands still 45 in 100 50 in 100" in text
    assert "Head gasket leaks 19 in 100 20 in 100" in text
    assert "an answer is missing" not in text
    assert KeptModel.objects.get().text == HOT


def test_checking_the_text_of_another_complaint_says_so(client: Client) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    text = words(client.post(url("edit_model", "stalls"), sent(HOT, check="1")))
    assert "This text is of “hot”, and the page of “stalls”: it can’t be saved here." in text
    text = words(client.post(url("edit_model", "stalls"), sent(STALLS, check="1")))
    assert "No mistake. Nothing was changed. No diagnosis of it is going on." in text


def test_a_complaint_of_our_own_is_added(client: Client) -> None:
    sign_in(client, RoleKind.LEAD_TECHNICIAN)
    assert client.get(url("new_model")).context["form"]["text"].value() == START
    tried = client.post(url("new_model"), sent(HOT, check="1"))
    assert "No mistake." in words(tried)
    assert not KeptModel.objects.exists()
    response = client.post(url("new_model"), sent(HOT), follow=True)
    assert response.redirect_chain == [(url("model_page", "hot"), 302)]
    again = client.post(url("new_model"), sent(HOT))
    assert "A fault model for “hot” is here already." in words(again)


def test_the_shipped_one_is_used_again_with_a_reason(client: Client) -> None:
    save()
    sign_in(client, RoleKind.COORDINATOR)
    page = url("shipped_model", "stalls")
    assert client.post(page, {"because": ""}).status_code == 422
    text = words(client.post(page, {"because": "It was worse"}, follow=True))
    assert "The shipped one was taken again. Because: It was worse" in text
    assert ", in force" not in text
    assert client.get(page).status_code == 404
