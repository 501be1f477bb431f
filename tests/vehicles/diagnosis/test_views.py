"""The pages of a diagnosis, as a technician goes through them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_intake
from tests.vehicles.diagnosis.rows import HOT, make_diagnosis, see
from tests.vehicles.pages import sign_in, words
from vehicles.diagnosis.approving import conclude_fault
from vehicles.models import Conclusion, Diagnosis, Observation

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db


def page(row: Diagnosis, name: str = "diagnosis_page", **more: Any) -> str:
    kwargs = {"pk": row.intake_id, "diagnosis": row.pk} | more
    return reverse(f"diagnosis:{name}", kwargs=kwargs)


def answer(client: Client, row: Diagnosis, check: str, outcome: str, **more: Any) -> Any:
    sent = {"outcome": outcome, "client_key": str(uuid4())} | more
    return client.post(page(row, "check_page", check=check), sent)


def test_the_households_words_find_the_complaint(client: Client) -> None:
    sign_in(client)
    stay = make_intake(complaint="It runs hot in traffic and steam comes out.")
    text = words(client.get(reverse("diagnosis:diagnosis_list", args=[stay.pk])))
    assert text.index("Overheats") < text.index("All complaints")


def test_a_diagnosis_is_begun_once_however_often_it_is_sent(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    url = reverse("diagnosis:diagnosis_list", args=[stay.pk])
    sent = {"complaint": "overheats", "client_key": str(uuid4())}
    replies = [client.post(url, sent) for _ in "ab"]
    row = Diagnosis.objects.get()
    assert [reply.headers["Location"] for reply in replies] == [page(row)] * 2


def test_the_page_asks_first_whether_the_complaint_shows(client: Client) -> None:
    user = sign_in(client)
    row = make_diagnosis(verified=None, by=user)
    text = words(client.get(page(row)))
    assert "First: does it show? " in text
    assert "Next check" not in text or "Ask." in text
    client.post(page(row, "verify_complaint"), {"verified": "shown", "note": "On the hill"})
    row.refresh_from_db()
    assert (row.verified, row.verified_note) == ("shown", "On the hill")


def test_no_answer_to_that_is_said_beside_it(client: Client) -> None:
    row = make_diagnosis(verified=None, by=sign_in(client))
    reply = client.post(page(row, "verify_complaint"), {"note": "?"})
    assert reply.status_code == 422
    assert "Did it show?: an answer is missing." in words(reply)


def test_it_goes_from_check_to_check_until_a_fault_is_signed_for(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    for check, outcome in (("when", "standing"), ("level", "normal"), ("fan-runs", "stands")):
        reply = answer(client, row, check, outcome)
        assert reply.headers["Location"] == page(row)
    text = words(client.get(page(row)))
    assert "Most likely: Fan stands still, nearly certain, " in text
    assert "Fan with the engine hot: it stands still, × " in text
    reply = client.post(page(row, "conclude"), {"fault": "fan"}, follow=True)
    assert Conclusion.objects.get().fault == "fan"
    assert "Concluded" in words(reply)


def test_a_check_without_an_answer_is_refused_and_nothing_recorded(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    reply = client.post(page(row, "check_page", check="level"), {"client_key": str(uuid4())})
    assert reply.status_code == 422
    assert "What did you see?: an answer is missing." in words(reply)
    assert not Observation.objects.exists()


def test_what_could_not_be_done_needs_its_reason(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    reply = answer(client, row, "level", "-")
    assert (reply.status_code, Observation.objects.count()) == (422, 0)
    assert "Say why it could not be done." in words(reply)
    answer(client, row, "level", "-", could_not="Weather or light")
    assert Observation.objects.get().could_not == "Weather or light"


def test_a_barred_check_says_why_and_takes_a_note(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    see(row, "level", "low")
    text = words(client.get(page(row, "check_page", check="fan-runs")))
    assert "Not now Without coolant the engine is not run." in text
    reply = answer(client, row, "fan-runs", "stands")
    assert reply.status_code == 422
    assert "If it was seen all the same, say how." in words(reply)
    assert answer(client, row, "fan-runs", "stands", note="Fed from a battery").status_code == 302


def test_an_answer_is_taken_back(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    seen = see(row, "level", "low")
    client.post(page(row, "take_back", observation=seen.pk))
    assert not Observation.objects.standing().exists()


def test_somebody_elses_answer_is_not_overwritten(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    see(row, "level", "low")
    reply = answer(client, row, "level", "normal")
    assert reply.status_code == 422
    assert "recorded this check meanwhile" in words(reply)
    assert Observation.objects.get().outcome == "low"


def test_what_is_set_up_is_set_and_ended(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    client.post(page(row, "change_setup"), {"code": "warm", "made": "on"})
    assert row.setups.get().ended_at is None
    client.post(page(row, "change_setup"), {"code": "warm"})
    assert row.setups.get().ended_at is not None


def test_a_person_concludes_otherwise(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    url = page(row, "overrule")
    assert client.post(url, {"fault": "hose"}).status_code == 422
    client.post(url, {"fault": "hose", "because": "It drips at the clamp."})
    assert Conclusion.objects.get().because == "It drips at the clamp."


def test_a_conclusion_is_taken_back_with_a_reason(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    see(row, "level", "low")
    one = conclude_fault(diagnosis=row, fault="hose", by=row.begun_by)
    url = page(row, "withdraw", conclusion=one.pk)
    assert client.post(url, {"because": ""}).status_code == 422
    client.post(url, {"because": "The clamp was loose."})
    assert "Taken back: Hose leaks. The clamp was loose." in words(client.get(page(row)))


def test_an_ended_diagnosis_shows_all_and_asks_nothing(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    see(row, "level", "low")
    client.post(page(row, "end_diagnosis"), {"how": "dropped", "because": "The car was sold."})
    text = words(client.get(page(row)))
    assert "Dropped on " in text
    assert "Coolant level, cold" in text
    assert "Record and go on" not in text


def test_contradictions_are_named_with_what_to_look_at_again(client: Client) -> None:
    sure = HOT.replace("[0.95, 0.05]", "[1.0, 0.0]").replace("[0.99, 0.01]", "[1.0, 0.0]")
    row = make_diagnosis(text=sure, by=sign_in(client))
    see(row, "level", "low")
    see(row, "fan-runs", "stands", note="Fed from a battery")
    text = words(client.get(page(row)))
    assert "What was seen contradicts itself." in text
    again = text[text.index("Look at these again") : text.index("Seen so far")]
    assert "Coolant level, cold: Low" in again
    assert "Fan with the engine hot: It stands still" in again
    assert "How likely" not in text


def test_what_contradicts_is_corrected_without_a_reason(client: Client) -> None:
    sure = HOT.replace("[0.95, 0.05]", "[1.0, 0.0]").replace("[0.99, 0.01]", "[1.0, 0.0]")
    row = make_diagnosis(text=sure, by=sign_in(client))
    low = see(row, "level", "low")
    see(row, "fan-runs", "stands", note="Fed from a battery")
    answer(client, row, "level", "normal", seen_id=low.pk)
    assert row.observations.standing().get(check_code="level").outcome == "normal"
    assert "contradicts itself" not in words(client.get(page(row)))


def left_out(row: Diagnosis, *checks: str) -> None:
    for check in checks:
        see(row, check, "", could_not="Tool not here")


def test_a_part_that_somebody_signed_for_is_not_to_be_looked_at_again(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    see(row, "when", "standing")
    left_out(row, "level", "fan-runs", "gas", "road")
    text = words(client.get(page(row)))
    assert "Look at this part and repair it: Fan stands still. No check of the list" in text
    client.post(page(row, "overrule"), {"fault": "fan", "because": "Seized, by hand."})
    text = words(client.get(page(row)))
    assert "Look at this part" not in text
    assert "Repair what is concluded, and look whether the complaint is gone." in text


def test_what_names_a_part_and_is_not_enough_is_not_called_no_check(client: Client) -> None:
    unsure = HOT.replace("[0.95, 0.05]", "[0.50, 0.50]")
    row = make_diagnosis(text=unsure, by=sign_in(client))
    see(row, "level", "low")
    left_out(row, "when", "fan-runs", "gas", "road")
    text = words(client.get(page(row)))
    assert "repair it: Hose leaks. What was seen names it, but it stays under 90 in 100;" in text


@pytest.mark.parametrize("role", [RoleKind.TREASURER, RoleKind.SPONSOR, RoleKind.BOARD])
def test_who_is_not_of_the_shop_sees_none_of_it(client: Client, role: RoleKind) -> None:
    row = make_diagnosis()
    sign_in(client, role)
    assert client.get(page(row)).status_code in {403, 404}


def test_a_car_that_is_withheld_from_somebody_is_not_found(client: Client) -> None:
    user = sign_in(client)
    row = make_diagnosis()
    row.intake.vehicle.withheld_from.add(user)
    assert client.get(page(row)).status_code == 404


def test_a_stay_that_has_ended_begins_no_diagnosis(client: Client) -> None:
    sign_in(client)
    stay = make_intake(left_on=TODAY)
    url = reverse("diagnosis:diagnosis_list", args=[stay.pk])
    reply = client.post(url, {"complaint": "overheats", "client_key": str(uuid4())})
    assert reply.status_code == 422
    assert "This stay has ended." in words(reply)


def test_the_queries_do_not_grow_with_what_was_seen(client: Client) -> None:
    row = make_diagnosis(by=sign_in(client))
    see(row, "when", "standing")
    client.get(page(row))
    few = queries_of(client, row)
    for check, outcome in (("level", "normal"), ("fan-runs", "runs"), ("gas", "none")):
        see(row, check, outcome)
    assert queries_of(client, row) == few


def queries_of(client: Client, row: Diagnosis) -> int:
    with CaptureQueriesContext(connection) as found:
        client.get(page(row))
    return len(found)
