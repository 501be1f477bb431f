"""Pages: did the repair hold, and what the garage's own cars teach."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from shared.models import Policy
from shared.policy.queries import policies
from tests.factories import make_intake, make_program, make_vehicle
from tests.vehicles.diagnosis.cars import come_back, concluded, days_ago, held, repaired
from tests.vehicles.pages import sign_in, words
from vehicles.models import Held

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Diagnosis

pytestmark = pytest.mark.django_db


def page_of(row: Diagnosis) -> str:
    return reverse("diagnosis:held", args=[row.intake_id, row.pk])


def learning_page(complaint: str = "") -> str:
    if complaint:
        return reverse("diagnosis:learning_of", args=[complaint])
    return reverse("diagnosis:learning")


def answers(**fields: Any) -> dict[str, Any]:
    return {"gone": "yes", "causes": ["hose"], "asked_on": days_ago(0).isoformat()} | fields


def test_from_thirty_days_on_the_household_is_to_be_asked(client: Client) -> None:
    sign_in(client)
    text = words(client.get(page_of(repaired("hose", 30))))
    assert "Ask now." in text
    assert "Hose leaks (concluded)" in text
    assert "Something that is not listed here" in text


def test_before_that_the_page_says_on_which_day_to_ask(client: Client) -> None:
    sign_in(client)
    row = repaired("hose", 20)
    day = f"{days_ago(-10):%A, %B} {days_ago(-10).day}"
    text = words(client.get(page_of(row)))
    assert f"Ask on {day}, 30 days after the last repair." in text
    assert "Yes, gone and not back" not in text
    assert "Which cause did the repair prove?" not in text


def test_before_that_it_can_be_said_not_to_hold(client: Client) -> None:
    sign_in(client)
    row = repaired("hose", 20)
    sent = {"gone": "no", "asked_on": days_ago(0).isoformat()}
    assert client.post(page_of(row), sent).status_code == 302
    assert not Held.objects.get().gone
    assert "a repair that did not hold proves no cause" in words(client.get(page_of(row)))


def test_what_is_said_is_recorded_and_shown(client: Client) -> None:
    user = sign_in(client)
    row = repaired("hose")
    response = client.post(page_of(row), answers(causes=["fan", "-"], note="She called."))
    assert response.status_code == 302
    said = Held.objects.get()
    assert (said.causes, said.by) == (["", "fan"], user)
    text = words(client.get(page_of(row)))
    assert "The repair proved Something that is not listed; Fan stands still" in text
    assert "She called." in text
    assert "This car counts in what our own cars teach." in text


def test_what_is_missing_is_said_beside_its_field(client: Client) -> None:
    sign_in(client)
    response = client.post(page_of(repaired("hose")), answers(causes=[]))
    assert response.status_code == 422
    assert "Say which cause the repair proved." in words(response)
    assert not Held.objects.exists()


@pytest.mark.parametrize("make", [concluded, repaired])
def test_nothing_to_ask_about_is_said_so(client: Client, make: Any) -> None:
    sign_in(client)
    row = make()
    if make is repaired:
        row.conclusions.update(withdrawn_at=row.begun_at)
    text = words(client.get(page_of(row)))
    known = ("Nothing of what was concluded is repaired yet.", "Nothing was concluded here")
    assert any(one in text for one in known)
    assert "Record it" not in text


def test_a_car_that_came_back_is_said_so(client: Client) -> None:
    sign_in(client)
    row = repaired("hose")
    come_back(row)
    text = words(client.get(page_of(row)))
    assert "The car came back with this complaint, or it was diagnosed again." in text


def test_what_was_said_is_taken_back_with_a_reason(client: Client) -> None:
    sign_in(client)
    said = held("hose")
    row = said.diagnosis
    url = reverse("diagnosis:withdraw_held", args=[row.intake_id, row.pk, said.pk])
    assert "It stays on record and teaches no more." in words(client.get(url))
    assert client.post(url, {"because": ""}).status_code == 422
    assert client.post(url, {"because": "Wrong car."}).status_code == 302
    assert "Taken back: Wrong car." in words(client.get(page_of(row)))
    assert client.get(url).status_code == 404


def test_the_page_of_all_complaints_counts_cars_and_names_whom_to_ask(client: Client) -> None:
    sign_in(client)
    held("hose", seen={"level": "low"})
    held(fault="hose", gone=False)
    repaired("fan", 5)
    asked = repaired("fan", 40)
    text = words(client.get(learning_page()))
    assert "Runs hot 1 1 1 1 0" in text
    assert f"{asked.intake.vehicle}: Runs hot" in text
    assert "One car whose repair held can be looked back on." in text
    assert "Confirmed by the rule, said 95 in 100 on average: 1 of 2 conclusions proved" in text


def test_without_any_repair_the_page_says_that_shipped_weights_count(client: Client) -> None:
    sign_in(client)
    text = words(client.get(learning_page()))
    assert "No diagnosis has come to a conclusion yet." in text
    assert "Overheats" in text


def test_a_complaint_shows_learned_beside_shipped_weights(client: Client) -> None:
    sign_in(client)
    Policy.objects.create(
        program=make_program(),
        name="shipped_worth_cars",
        value=5,
        since_on=days_ago(1),
        reason="As voted",
    )
    for _ in range(5):
        held("fan", seen={"when": "standing", "fan-runs": "stands"})
    text = words(client.get(learning_page("hot")))
    assert "Five cars whose repair held. Own experience weighs 50 in 100." in text
    assert "Fan stands still 75 in 100 50 in 100 5" in text
    assert "Shipped weights count for 5 cars" in text
    assert "came true 5 of 5 times" in text
    assert "Scores of 5 cars, lower is better" in text


def test_few_cars_say_so(client: Client) -> None:
    sign_in(client)
    held("fan")
    text = words(client.get(learning_page("hot")))
    assert "One car: too few to tell whether the weights fit." in text


def test_what_does_not_count_is_said(client: Client) -> None:
    sign_in(client)
    for name, value in (("shipped_worth_cars", 0), ("learn_from_repairs", 0)):
        Policy.objects.create(
            program=make_program(), name=name, value=value, since_on=days_ago(1), reason="As voted"
        )
    held("fan", "hose")
    held("fan")
    text = words(client.get(learning_page("hot")))
    assert "One car is not in the weights" in text
    assert "our own cars don’t move the weights" in text
    assert "Our own cars count alone." in text


def test_a_complaint_that_no_model_is_of_is_not_found(client: Client) -> None:
    sign_in(client)
    assert client.get(learning_page("moon")).status_code == 404


def test_a_car_withheld_from_somebody_is_counted_and_not_named(client: Client) -> None:
    user = sign_in(client)
    row = repaired("fan", 40)
    row.intake.vehicle.withheld_from.add(user)
    text = words(client.get(learning_page()))
    assert "Runs hot 0 0 1 0 0" in text
    assert str(row.intake.vehicle) not in text
    assert client.get(page_of(row)).status_code == 404


def test_a_car_of_another_program_is_not_found(client: Client) -> None:
    sign_in(client)
    there = make_program(name="Elsewhere")
    stay = make_intake(vehicle=make_vehicle(program=there), arrived_on=days_ago(70))
    assert client.get(page_of(repaired("hose", stay=stay))).status_code == 404


@pytest.mark.parametrize("role", [RoleKind.TREASURER, RoleKind.SPONSOR])
def test_only_the_shop_opens_these_pages(client: Client, role: RoleKind) -> None:
    row = repaired("hose")
    sign_in(client, role)
    for url in (page_of(row), learning_page(), learning_page("hot")):
        assert client.get(url).status_code == 403


def test_the_page_of_all_complaints_asks_the_database_as_often_for_any_number(
    client: Client, django_assert_max_num_queries: Any
) -> None:
    sign_in(client)
    for _ in range(3):
        held("fan")
        repaired("hose", 40)
    with django_assert_max_num_queries(30) as few:
        client.get(learning_page())
    for _ in range(3):
        held("fan")
        repaired("hose", 40)
    with django_assert_max_num_queries(len(few)):
        client.get(learning_page())


def test_the_coordinator_sets_how_much_experience_weighs(client: Client) -> None:
    user = sign_in(client, RoleKind.COORDINATOR)
    url = reverse("diagnosis:set_experience")
    reply = client.post(url, {"worth": "-3", "because": "Vote"})
    assert reply.status_code == 422
    assert client.post(url, {"learn": "on", "worth": "100", "because": "Vote"}).status_code == 422
    client.post(url, {"learn": "on", "worth": "40", "because": "Vote of November"})
    assert user.program is not None
    rules = policies(user.program, user.program.today())
    assert (rules["shipped_worth_cars"], rules["learn_from_repairs"]) == (40, 1)


def test_a_technician_does_not_set_it(client: Client) -> None:
    sign_in(client)
    assert client.get(reverse("diagnosis:set_experience")).status_code == 403
