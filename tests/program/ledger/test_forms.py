"""Booking an entry on its page."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from program.models import Entry, Fund, Proposal
from shared.accounts.roles import RoleKind
from tests.factories import (
    make_case,
    make_entry,
    make_fund,
    make_household,
    make_intake,
    make_item,
    make_program,
    make_user,
)
from tests.vehicles.pages import BACKEND, sign_in, words

if TYPE_CHECKING:
    from django.test import Client

from tests.program.ledger.books import JOURNAL, KEY, NEW, TREASURER, books, page, typed

pytestmark = pytest.mark.django_db


def test_an_entry_is_booked_as_it_was_typed(client: Client) -> None:
    user = sign_in(client, TREASURER)
    general, gift = books()
    Fund.objects.filter(pk=gift.pk).update(rule={})
    more = {
        "debit_2": "6010",
        "credit_2": "1010",
        "fund_2": str(gift.pk),
        "amount_2": "$1.50",
        "memo_2": "clips",
    }
    response = client.post(NEW, typed(general, **more), follow=True)
    entry = Entry.objects.get(key=f"form:{KEY}")
    assert f"Booked as entry {entry.pk}." in words(response)
    assert (entry.what, entry.by) == ("Rags and gloves", user)
    rows = entry.transfers.order_by("pk").values_list("debit", "credit", "cents", "fund", "memo")
    assert list(rows) == [
        ("6050", "1010", 2_500, general.pk, ""),
        ("6010", "1010", 150, gift.pk, "clips"),
        ("3210", "3220", 150, gift.pk, "released"),
    ]


def test_an_overdraft_is_refused_with_the_sentence_and_keeps_what_was_typed(
    client: Client,
) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    response = client.post(NEW, typed(general, amount_1="640.00"))
    assert response.status_code == 422
    assert "The general fund has $500.00 free. This needs $640.00: $140.00 more." in words(response)
    assert 'value="640.00"' in response.content.decode()
    assert Entry.objects.count() == 3


def test_what_has_happened_anyway_is_booked(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    assert client.post(NEW, typed(general, amount_1="640.00", fact="on")).status_code == 302
    assert Entry.objects.filter(key=f"form:{KEY}").exists()


def test_a_form_sent_twice_books_once_and_leads_to_the_same_entry(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    first = client.post(NEW, typed(general))
    second = client.post(NEW, typed(general))
    assert (first.status_code, second.status_code) == (302, 302)
    assert first["Location"] == second["Location"] == page(Entry.objects.get(key=f"form:{KEY}"))
    assert Entry.objects.count() == 4


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"amount_1": ""}, "Amount: an answer is missing."),
        ({"amount_1": "0"}, "$0.00 is too little. Type at least $0.01."),
        ({"amount_1": "x"}, "“x” is not an amount. Type dollars and cents, such as 1240.50."),
        ({"on": "soon"}, "“soon” is not a date. Type 2026-12-01 or 12/1/2026."),
        ({"credit_1": "6050"}, "Account 6050 is on both sides."),
        ({"debit_2": "6010"}, "Line 2 lacks its amount."),
    ],
)
def test_a_line_that_can_not_be_is_refused(
    client: Client, fields: dict[str, str], sentence: str
) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    response = client.post(NEW, typed(general, **fields))
    assert response.status_code == 422
    assert sentence in words(response)
    assert Entry.objects.count() == 3


def test_another_programs_fund_can_not_be_chosen(client: Client) -> None:
    sign_in(client, TREASURER)
    other = make_fund(program=make_program(name="Other garage"))
    assert client.post(NEW, typed(other)).status_code == 422
    assert not Entry.objects.exists()


def for_tires(**fields: str) -> dict[str, str]:
    """Return what a person typed to buy tires out of a gift."""
    return {"what": "Two tires", "debit_1": "6010", "amount_1": "60.00"} | fields


def test_a_line_names_its_case_and_then_chooses_its_repair(client: Client) -> None:
    sign_in(client, TREASURER)
    _, gift = books()
    case = make_case(household=make_household(), number="26-041")
    item = make_item(intake=make_intake(vehicle=case.vehicle))
    make_item(title="Another car's tires")
    refused = client.post(NEW, typed(gift, **for_tires(case_1="26-041")))
    text = words(refused)
    assert refused.status_code == 422
    assert (
        "The Pruitt gift can't pay this yet. It pays only for brakes or tires. "
        "Name the repair item."
    ) in text
    assert refused.context["form"].errors.keys() == {"item_1"}
    assert "Two front tires" in text
    assert "Another car's tires" not in text
    sent = for_tires(case_1="26-041", item_1=str(item.pk), function_1="program")
    response = client.post(NEW, typed(gift, **sent), follow=True)
    entry = Entry.objects.get(key=f"form:{KEY}")
    row = entry.transfers.order_by("pk")[0]
    assert (row.case, row.item, row.function) == (case, item, "program")
    assert "26-041 Two front tires program" in words(response)


@pytest.mark.parametrize(
    ("fields", "field", "sentence"),
    [
        ({"case_1": "26-999"}, "case_1", "There is no case 26-999."),
        (
            {"debit_1": "1020", "function_1": "program"},
            "function_1",
            "Only an expense has a function; line 1 is none. Leave the function empty.",
        ),
        (
            {"amount_1": "640.00"},
            "amount_1",
            "The general fund has $500.00 free. This needs $640.00: $140.00 more.",
        ),
        ({"credit_1": "6050"}, "debit_1", "Account 6050 is on both sides."),
    ],
)
def test_a_refusal_stands_beside_its_field(
    client: Client, fields: dict[str, str], field: str, sentence: str
) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    errors = client.post(NEW, typed(general, **fields)).context["form"].errors
    assert errors == {field: [sentence]}


def test_a_gift_for_a_purpose_is_tested_before_it_is_booked(client: Client) -> None:
    sign_in(client, TREASURER)
    _, gift = books()
    response = client.post(NEW, typed(gift, debit_1="1010", credit_1="4010"))
    assert response.context["form"].errors == {
        "fund_1": [
            (
                "The Pruitt gift is restricted: a gift is tested before it is booked there. "
                "Enter it under gifts. Accepting it books it."
            )
        ]
    }


def test_a_purchase_over_the_limit_waits_for_a_second_person(client: Client) -> None:
    asks = sign_in(client, TREASURER)
    general, _ = books()
    make_entry(("1010", "4010", 200_000, general))
    sent = typed(general, what="A lift", debit_1="1410", amount_1="1200.00")
    response = client.post(NEW, sent, follow=True)
    assert client.post(NEW, sent)["Location"] == response.redirect_chain[0][0]
    asked = Proposal.objects.get()
    text = words(response)
    assert "Waits for a second person. Nothing is booked yet." in text
    assert "The program asks for two people over $1,000.00. This is $1,200.00." in text
    assert "1410 Tools and equipment 1010 Checking account General fund" in text
    assert "You asked for it, so another person who keeps the books answers." in text
    assert "A lift" in words(client.get(JOURNAL)).partition("Waits for a second person")[2]
    own = client.post(reverse("ledger:proposal_agree", args=[asked.pk]))
    assert "A second person has to agree, not the one who asks." in words(own)
    client.force_login(make_user(RoleKind.COORDINATOR), BACKEND)
    agree = reverse("ledger:proposal_agree", args=[asked.pk])
    assert client.post(agree)["Location"] == client.post(agree)["Location"]
    entry = Entry.objects.get(key=f"form:{KEY}")
    assert (entry.by, entry.second == asks, entry.proposal) == (asks, False, asked)
    assert f"agreed by {entry.second}" in words(client.get(page(entry)))


def test_a_second_person_declines_with_a_reason(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    make_entry(("1010", "4010", 200_000, general))
    client.post(NEW, typed(general, debit_1="1410", amount_1="1200.00"))
    asked = Proposal.objects.get()
    client.force_login(make_user(RoleKind.COORDINATOR), BACKEND)
    decline = reverse("ledger:proposal_decline", args=[asked.pk])
    assert client.post(decline, {"reason": " "}).status_code == 422
    text = words(client.post(decline, {"reason": "Ask for three prices."}, follow=True))
    assert "Ask for three prices." in text
    assert "Waits for a second person" not in words(client.get(JOURNAL))
    again = client.post(reverse("ledger:proposal_agree", args=[asked.pk]))
    assert (again.status_code, Entry.objects.filter(key=f"form:{KEY}").exists()) == (422, False)


def test_the_one_who_asked_takes_it_back_on_its_page(client: Client) -> None:
    asks = sign_in(client, TREASURER)
    general, _ = books()
    make_entry(("1010", "4010", 200_000, general))
    client.post(NEW, typed(general, debit_1="1410", amount_1="1200.00"))
    asked = Proposal.objects.get()
    back = reverse("ledger:proposal_take_back", args=[asked.pk])
    text = words(client.post(back, {"reason": "Found a used one."}, follow=True))
    assert f"{asks} took it back on Nov 30. Nothing was booked. Found a used one." in text
    assert "Take it back" not in text
    assert "Waits for a second person" not in words(client.get(JOURNAL))
    client.force_login(make_user(RoleKind.COORDINATOR), BACKEND)
    for name in ("proposal_agree", "proposal_take_back"):
        response = client.post(reverse(f"ledger:{name}", args=[asked.pk]))
        assert response.status_code == 422
        assert f"{asks} took this back. Nothing was booked." in words(response)


def test_what_has_happened_needs_no_second_person(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    client.post(NEW, typed(general, amount_1="1200.00", fact="on"))
    assert Entry.objects.get(key=f"form:{KEY}").fact


def test_the_board_sees_what_waits_and_does_not_answer(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    make_entry(("1010", "4010", 200_000, general))
    client.post(NEW, typed(general, debit_1="1410", amount_1="1200.00"))
    asked = Proposal.objects.get()
    sign_in(client, RoleKind.BOARD)
    text = words(client.get(reverse("ledger:proposal_page", args=[asked.pk])))
    assert "Agree and book it" not in text
    for name in ("proposal_agree", "proposal_decline", "proposal_take_back"):
        assert client.post(reverse(f"ledger:{name}", args=[asked.pk])).status_code == 403
    stranger = make_user(TREASURER, program=make_program(name="Other garage"))
    client.force_login(stranger, BACKEND)
    assert client.get(reverse("ledger:proposal_page", args=[asked.pk])).status_code == 404
