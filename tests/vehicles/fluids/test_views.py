"""The pages of the fluids, as a technician goes through them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_intake, make_program
from tests.vehicles.fluids.rows import let_settle, read, say_maker, top_up
from tests.vehicles.pages import sign_in, words
from vehicles.custody.acts import Act
from vehicles.fluids.levels import Level, Look
from vehicles.models import FluidReading, FluidRule, Intake, TopUp

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db
MAKER = {
    "specification": "5W-30 API SN",
    "engine": "off",
    "heat": "hot",
    "stick": "yes",
    "source": "Owner’s book",
}
READ = {"looks": "clean", "engine": "off", "heat": "hot", "level_ground": "yes"}


def page(stay: Intake, name: str = "fluid_page", fluid: str = "engine-oil", *rest: int) -> str:
    args = [stay.pk] if name == "fluid_list" else [stay.pk, fluid, *rest]
    return reverse(f"fluids:{name}", args=args)


def shown(client: Client, stay: Intake, fluid: str = "engine-oil") -> str:
    return words(client.get(page(stay, fluid=fluid)))


def send(client: Client, stay: Intake, name: str, fluid: str = "engine-oil", **typed: Any) -> Any:
    return client.post(page(stay, name, fluid), typed, follow=True)


def pour(client: Client, stay: Intake, typed: str, bottle: str = "5W-30 API SP") -> Any:
    row = FluidReading.objects.filter(intake=stay).latest("pk")
    fields: dict[str, Any] = {"reading": row.pk, "typed": typed, "unit": "qt", "opened": "no"}
    return send(client, stay, "pour", specification=bottle, **fields)


def test_an_empty_stick_is_filled_in_the_right_steps(client: Client, stay: Intake) -> None:
    sign_in(client)
    text = words(send(client, stay, "set_demand", **MAKER))
    assert "Read it: on level ground, engine off, hot." in text
    text = words(send(client, stay, "record_reading", level="none", **READ))
    assert "Pour in 1/2 qt, not more." in text
    assert "1/2 qt (473 mL)" in text
    assert "The engine is not started" in text
    refused = pour(client, stay, "1/2", "10W-40 API SN")
    assert (refused.status_code, TopUp.objects.count()) == (422, 0)
    assert "The maker wants 5W-30; the bottle is 10W-40." in words(refused)
    refused = pour(client, stay, "1")
    assert (refused.status_code, TopUp.objects.count()) == (422, 0)
    assert "1 qt is more than the 1/2 qt of this step." in words(refused)
    text = words(pour(client, stay, "1/2"))
    assert "Let it settle. Read it again at " in text
    let_settle(stay)
    text = words(send(client, stay, "record_reading", level="low", **READ))
    assert "Pour in 1/2 qt, not more." in text
    assert "The engine is not started" not in text
    pour(client, stay, "1/2")
    let_settle(stay)
    text = words(send(client, stay, "record_reading", level="full", **READ))
    assert "Engine oil is as it should be." in text
    assert "Open finding: Engine oil: No oil on the dipstick: the engine is not started" in text


def test_the_list_leads_around_the_car(client: Client, stay: Intake) -> None:
    sign_in(client)
    read(stay, Level.NONE)
    text = words(client.get(page(stay, "fluid_list")))
    assert "Engine oil: nothing to be seen" in text
    assert "Coolant: not read First look up what the maker says of it." in text
    assert "The engine is not started Engine oil: as it stands" in text
    assert text.index("Coolant:") < text.index("Brake fluid:") < text.index("Final drive")


def test_low_brake_fluid_is_a_finding_and_offers_no_pouring(client: Client, stay: Intake) -> None:
    sign_in(client)
    answered = send(
        client, stay, "record_reading", "brake", level="low", looks="clean", level_ground="yes"
    )
    text = words(answered)
    assert "Brake fluid is never topped up: low means wear or a leak." in text
    assert "Open finding: Brake fluid: Fluid is below MIN" in text
    assert "What the bottle says" not in text
    assert page(stay, "pour", "brake") not in answered.content.decode()


def test_the_page_says_what_it_rests_on_and_which_point_of_the_sheet_it_is(
    client: Client, stay: Intake
) -> None:
    sign_in(client)
    answered = client.get(page(stay, fluid="brake"))
    assert "Directive 2014/45/EU Annex I, 1.1.10 (text seen)" in words(answered)
    link = reverse("inspection:reading_page", args=[stay.pk, "brake-master"])
    assert link in answered.content.decode()
    assert "Common practice, no source (from memory, text not seen)" in shown(
        client, stay, "coolant"
    )


def test_what_the_maker_said_before_stays_to_be_seen(client: Client, stay: Intake) -> None:
    sign_in(client)
    first = say_maker(stay)
    changed: dict[str, Any] = MAKER | {"specification": "0W-20 API SP", "seen_id": first.pk}
    text = words(send(client, stay, "set_demand", **changed))
    assert "Specification 0W-20 API SP" in text
    assert "Noted before 5W-30 API SN, engine off, hot (Owner’s book)" in text


def test_an_answer_over_one_not_seen_can_be_sent_again(client: Client, stay: Intake) -> None:
    sign_in(client)
    row = say_maker(stay)
    changed = MAKER | {"specification": "0W-20 API SP"}
    refused = send(client, stay, "set_demand", **changed)
    assert (refused.status_code, FluidRule.objects.count()) == (422, 1)
    assert "Somebody else recorded what the maker says meanwhile." in words(refused)
    form = refused.context["maker_form"]
    assert form["seen_id"].value() == str(row.pk)
    send(client, stay, "set_demand", **changed, seen_id=row.pk)
    assert FluidRule.objects.count() == 2


def test_slips_stand_beside_their_fields(client: Client, stay: Intake) -> None:
    sign_in(client)
    refused = send(client, stay, "set_demand", **MAKER | {"between": "2 psi", "source": ""})
    text = words(refused)
    assert (refused.status_code, FluidRule.objects.count()) == (422, 0)
    assert "A number in psi can't be turned into quarts." in text
    assert "Where that stands: an answer is missing." in text
    refused = send(client, stay, "record_reading", **READ)
    assert refused.status_code == 422
    assert "What it shows: an answer is missing." in words(refused)


def test_a_stale_page_pours_nothing(client: Client, stay: Intake) -> None:
    sign_in(client)
    say_maker(stay)
    old = read(stay, Level.LOW)
    read(stay, Level.LOW)
    fields: dict[str, Any] = {"reading": old.pk, "typed": "1/2", "unit": "qt", "opened": "no"}
    refused = send(client, stay, "pour", specification="5W-30 API SN", **fields)
    assert (refused.status_code, TopUp.objects.count()) == (422, 0)
    assert "This is not the newest reading any more." in words(refused)


def test_readings_and_top_ups_are_taken_back(client: Client, stay: Intake) -> None:
    sign_in(client)
    say_maker(stay)
    row = read(stay, Level.LOW)
    poured = top_up(row)
    back = page(stay, "take_back_reading", "engine-oil", row.pk)
    text = words(client.post(back, follow=True))
    assert "Something was poured in after this reading. Take that back first." in text
    text = words(client.post(page(stay, "take_back_pour", "engine-oil", poured.pk), follow=True))
    assert "1/2 qt poured in, taken back" in text
    text = words(client.post(back, follow=True))
    assert "Below the low mark, taken back" in text
    assert "Read it: on level ground, engine off, hot." in text


def test_what_is_of_another_fluid_or_stay_is_not_taken_back(client: Client, stay: Intake) -> None:
    sign_in(client)
    row, other = read(stay, Level.LOW), make_intake()
    assert client.post(page(stay, "take_back_reading", "brake", row.pk)).status_code == 404
    assert client.post(page(other, "take_back_reading", "engine-oil", row.pk)).status_code == 404
    assert FluidReading.objects.get().withdrawn_at is None


def test_after_the_stay_its_fluids_are_read_only_on_paper(client: Client, stay: Intake) -> None:
    sign_in(client)
    say_maker(stay)
    read(stay, Level.LOW, look=Look.MILKY)
    Intake.objects.filter(pk=stay.pk).update(left_on=TODAY)
    answered = client.get(page(stay))
    assert "This stay has ended; nothing more can be recorded on it." in words(answered)
    assert "<form" not in answered.content.decode().partition("<main")[2]
    text = words(client.get(page(stay, "fluid_list")))
    assert "This stay has ended; nothing more can be recorded on it." in text
    refused = send(client, stay, "record_reading", level="low", **READ)
    assert (refused.status_code, FluidReading.objects.count()) == (422, 1)


def test_without_consent_the_refusal_stands_on_the_page(client: Client) -> None:
    sign_in(client)
    stay = make_intake(consents=(Act.REPAIR,))
    refused = send(client, stay, "record_reading", level="low", **READ)
    assert (refused.status_code, FluidReading.objects.count()) == (422, 0)
    assert "thing to put right" in words(refused)


def test_cars_of_others_and_unknown_fluids_are_not_there(client: Client, stay: Intake) -> None:
    sign_in(client)
    other = make_intake(program=make_program(name="Other"))
    assert client.get(page(other)).status_code == 404
    assert client.get(page(other, "fluid_list")).status_code == 404
    assert client.get(page(stay, fluid="blinker")).status_code == 404


def test_who_is_not_of_the_shop_does_not_open_the_pages(client: Client, stay: Intake) -> None:
    sign_in(client, RoleKind.TREASURER)
    assert client.get(page(stay, "fluid_list")).status_code == 403
    assert client.post(page(stay, "pour")).status_code == 403


def test_the_page_of_the_car_and_that_of_its_diagnoses_lead_there(
    client: Client, stay: Intake
) -> None:
    sign_in(client)
    for name in ("intake:vehicle_page", "diagnosis:diagnosis_list"):
        answered = client.get(reverse(name, args=[stay.pk]))
        assert f'href="{page(stay, "fluid_list")}"' in answered.content.decode()
