"""A car goes back unrepaired: everything it held is free, at once or not at all."""

from __future__ import annotations

from typing import Any

import pytest
from django.core import mail
from django.core.exceptions import ValidationError

from program.handback.actions import return_unrepaired
from program.handback.pdf import notice_paper
from program.handback.wording import After
from program.models import Case, Commitment, Entry, Fund, Household, Pin, Plan, PlannedCase
from program.planning.actions import pin_case
from shared.models import Document, Event, Job, Message
from shared.outbox.sending import send
from sponsors.models import Reservation, Supply
from tests.factories import (
    make_content,
    make_intake,
    make_item,
    make_key_tag,
    make_standing,
    make_user,
    make_vehicle,
)
from tests.program.handback.story import (
    free_money,
    make_held_case,
    make_other_case,
    returning,
    send_back,
    stay_of,
)
from vehicles.custody.kinds import NoticeHow
from vehicles.models import Condition, Departure, Finding, Need, RepairItem

pytestmark = pytest.mark.django_db


def sentences(refusal: pytest.ExceptionInfo[ValidationError]) -> list[str]:
    return list(refusal.value.messages)


def test_nothing_of_the_case_is_reserved_needed_or_set_aside_afterwards() -> None:
    case, other = make_held_case(), make_other_case()
    send_back(case)
    assert list(Reservation.objects.standing()) == [other]
    assert not RepairItem.objects.open().filter(intake=stay_of(case)).exists()
    assert list(Need.objects.open()) == [other.need]
    assert not Commitment.objects.filter(released_by=None).exists()
    assert set(Supply.objects.values_list("state", flat=True)) == {"pledged"}
    assert PlannedCase.objects.count() == 0
    assert Finding.objects.open().count() == 2  # what is wrong with the car is wrong still


def test_the_money_is_free_once_and_the_books_are_otherwise_as_they_were() -> None:
    case = make_held_case()
    before = free_money()
    send_back(case)
    assert free_money() == {code: cents + 6_000 for code, cents in before.items()}
    entry = Entry.objects.get(key=f"returned:{stay_of(case).pk}")
    assert entry.transfers.values_list("debit", "credit", "cents").get() == ("9020", "9010", 6_000)
    assert Commitment.objects.get().released_by == entry


def test_money_of_a_fund_that_was_closed_meanwhile_is_freed_too() -> None:
    case = make_held_case()
    Fund.objects.update(closed_on=case.program.today())
    send_back(case)
    assert not Commitment.objects.filter(released_by=None).exists()


def test_the_car_is_returned_with_its_keys_and_the_stay_ends() -> None:
    case = make_held_case()
    stay = stay_of(case)
    tag = make_key_tag(stay)
    Condition.objects.update(place="Space 5")
    departure = send_back(case, interpreter="Ines Ocampo")
    tag.refresh_from_db()
    assert (tag.holder, tag.returned_on) == ("Dana Haskell", departure.on)
    assert stay_of(case).left_on == departure.on
    condition = Condition.objects.get(vehicle=stay.vehicle)
    assert (condition.step, condition.place) == ("returned_unrepaired", "")
    assert departure.dangers == ["A tire may lose its grip or burst (front left)."]


def test_the_notice_is_issued_as_it_was_handed_out() -> None:
    case = make_held_case()
    departure = send_back(case)
    document = Document.objects.get()
    assert (document.holder_kind, document.holder_id) == ("departure", departure.pk)
    assert document.number == f"{case.number}-U{stay_of(case).pk}"
    assert bytes(document.content).startswith(b"%PDF-")


def test_the_case_waits_for_a_decision_with_a_day_to_be_called_by() -> None:
    case = make_held_case()
    send_back(case)
    found = Case.objects.select_related("household").get(pk=case.pk)
    assert found.household
    assert (found.closed_on, found.household.stage) == (None, "deciding")
    assert found.next_word_on
    assert 2 <= (found.next_word_on - case.program.today()).days <= 4
    assert found.version == case.version + 1


@pytest.mark.parametrize("after", [After.REFERRED, After.WITHDRAWN])
def test_the_case_closes_with_the_household_s_way_out(after: After) -> None:
    case = make_held_case()
    send_back(case, after=after)
    found = Case.objects.select_related("household").get(pk=case.pk)
    assert found.household
    assert found.household.stage == after.value
    assert found.closed_on == case.program.today()
    assert found.closed_because == "Returned unrepaired: The frame is rusted through."


def test_a_household_that_decides_already_goes_on_deciding() -> None:
    case = make_held_case()
    Household.objects.update(stage="deciding")
    send_back(case)
    case.refresh_from_db()
    assert (Household.objects.get().stage, case.closed_on) == ("deciding", None)
    assert case.next_word_on


def test_a_case_whose_household_waits_needs_an_answer_to_what_becomes_of_it() -> None:
    case = make_held_case()
    with pytest.raises(ValidationError) as refusal:
        send_back(case, after=None)
    assert refusal.value.message_dict == {"after": ["Say what becomes of the case."]}


def test_the_pin_ends_and_a_new_plan_is_asked_for() -> None:
    case = make_held_case()
    pin_case(case=case, direction="in", reason="Promised.", by=make_user())
    Plan.objects.filter(state="asked").update(state="failed")
    send_back(case)
    assert not Pin.objects.filter(ended_at=None).exists()
    assert Plan.objects.filter(state="asked").count() == 1
    assert Job.objects.filter(key=f"match:returned:{stay_of(case).pk}", kind="match").exists()


def test_sending_the_form_twice_returns_the_car_once() -> None:
    case = make_held_case()
    how = returning(stay_of(case))
    first = send_back(case, returning=how)
    entries = Entry.objects.count()
    assert send_back(case, returning=how) == first
    assert (Entry.objects.count(), Document.objects.count()) == (entries, 1)
    assert Message.objects.count() == 1


def test_a_stay_that_has_ended_is_not_ended_again() -> None:
    case = make_held_case()
    send_back(case)
    with pytest.raises(ValidationError, match="This stay ended on"):
        send_back(case)


def test_a_stay_that_somebody_changed_meanwhile_is_looked_at_again() -> None:
    case = make_held_case()
    with pytest.raises(ValidationError) as refusal:
        send_back(case, version=stay_of(case).version + 1)
    assert sentences(refusal) == [
        "Somebody else changed this stay meanwhile. Look at it again, then decide."
    ]


def test_a_notice_that_says_less_than_is_known_now_is_read_again() -> None:
    case = make_held_case()
    how = returning(stay_of(case))
    Finding.objects.filter(deficiency="minor").update(deficiency="dangerous")
    with pytest.raises(ValidationError) as refusal:
        send_back(case, returning=how)
    assert sentences(refusal) == [
        "The notice has changed since it was read. Read it again, then sign."
    ]
    assert not Departure.objects.exists()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"hold": "police"}, "Police hold: it may not leave before a person has decided."),
        ({"hold": "repossession"}, "Repossession order: it may not leave"),
        ({"stolen": "reported"}, "Reported stolen: it may not leave before"),
    ],
)
def test_a_car_that_the_law_holds_stays(fields: dict[str, str], sentence: str) -> None:
    case = make_held_case()
    make_standing(stay_of(case), **fields)
    with pytest.raises(ValidationError) as refusal:
        send_back(case)
    assert sentences(refusal)[0].startswith(sentence)


def test_what_lies_in_the_car_keeps_it_until_somebody_takes_it() -> None:
    case = make_held_case()
    make_content(stay_of(case), what="Booster seat")
    with pytest.raises(ValidationError) as refusal:
        send_back(case)
    assert sentences(refusal) == ["Still here: Booster seat. Say who takes it."]
    send_back(case, contents_to="Dana Haskell")
    assert stay_of(case).contents.get().returned_to == "Dana Haskell"


def test_who_declines_to_sign_does_so_before_a_witness() -> None:
    case = make_held_case()
    with pytest.raises(ValidationError, match="before a witness"):
        send_back(case, notice=NoticeHow.DECLINED, strokes=())
    departure = send_back(case, notice=NoticeHow.DECLINED, strokes=(), witness="R. Amadi")
    assert (departure.notice, departure.witness) == ("declined", "R. Amadi")


def test_a_notice_signed_on_paper_names_who_saw_it_signed() -> None:
    case = make_held_case()
    with pytest.raises(ValidationError, match="The notice is not signed yet"):
        send_back(case, strokes=())
    departure = send_back(case, strokes=(), witness="R. Amadi")
    assert (departure.notice, departure.strokes, departure.witness) == ("signed", [], "R. Amadi")


def test_a_car_without_a_case_goes_back_too() -> None:
    stay = make_intake(vehicle=make_vehicle(step="on_lot"))
    item = make_item(intake=stay)
    how = returning(stay, after=None)
    departure = return_unrepaired(intake=stay, returning=how, draw=notice_paper, by=make_user())
    item.refresh_from_db()
    assert (item.state, departure.intake) == ("withdrawn", stay)
    assert Document.objects.get().number == f"{stay.vehicle_id}-U{stay.pk}"
    assert not Message.objects.exists()


def test_a_donated_car_without_a_household_closes_its_case() -> None:
    case = make_held_case()
    Case.objects.update(household=None)
    send_back(case, after=None)
    assert Case.objects.get().closed_on == case.program.today()
    assert not Message.objects.exists()


def test_the_household_is_told_in_its_language_what_the_rule_allows() -> None:
    case = make_held_case()
    send_back(case)
    message = Message.objects.get()
    day = message.text.partition("on ")[2].partition(".")[0]
    assert message.text.startswith("Do not drive your car. It is not safe.\n\nYour car went back")
    assert day in message.text
    assert "You owe us nothing, and the car stays yours." in message.text
    assert "talk about other help" in message.text


@pytest.mark.parametrize(
    ("rule", "because"),
    [
        ({"barred": True}, "This address must not be written to."),
        ({"says": "call_back"}, "The safe-contact rule allows less than this message tells."),
        ({"says": "nothing"}, "The safe-contact rule allows less than this message tells."),
    ],
)
def test_a_message_that_safe_contact_forbids_is_held_with_the_reason(
    rule: dict[str, Any], because: str
) -> None:
    send_back(make_held_case(**rule))
    message = Message.objects.get()
    send({"message": message.pk}, message.program)
    message.refresh_from_db()
    assert (message.state, message.held_because) == ("held", because)
    assert not mail.outbox


def test_nobody_is_written_to_before_it_was_asked_how() -> None:
    case = make_held_case()
    Household.objects.update(safe_contact_on=None)
    send_back(case)
    assert not Message.objects.exists()
    said = "No message: nobody has asked yet how they may safely be reached."
    assert Event.objects.about("case", case.pk).filter(what=said).count() == 1
