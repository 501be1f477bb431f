"""Whose an entry is, and which room takes it back."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError
from django.urls import reverse
from django.utils import timezone

from program.ledger.actions import reverse_by_hand, reverse_entry
from program.ledger.labels import CAUSES
from program.ledger.owners import cause_of, owner_of
from program.models import BankLine, BankMatch, BankStatement, Entry
from tests.factories import TODAY, make_entry, make_fund, make_item, make_plan, make_user
from tests.program.ledger.books import TREASURER, books, page
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db


def test_an_entry_leads_to_what_caused_it(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    plan, item = make_plan(number=7), make_item()
    plan_page = reverse("planning:plan_page", args=[7])
    work = reverse("repairs:item_page", args=[item.intake_id, item.pk])
    for key, said, address in (
        (f"plan:{plan.pk}:freed", "An approved plan", plan_page),
        (f"withdrawn:{item.pk}", "Work that is not to be done", work),
        ("import:t-9", "An import of sheets", reverse("importing:run_list")),
        ("plan:999999", "An approved plan", ""),
        ("form:0b5f", "Booked by hand", ""),
        ("till:4", "till:4", ""),
    ):
        entry = make_entry(("6010", "1010", 1, general), key=key)
        assert cause_of(entry) == (said, address)
        linked = f'href="{address}"' in client.get(page(entry)).content.decode()
        assert linked == bool(address)


def booked(key: str) -> Entry:
    return make_entry(("6010", "1010", 1, make_fund()), key=key)


def by_hand(entry: Entry) -> Entry:
    return reverse_by_hand(entry=entry, on=TODAY, reason="Wrong.", by=make_user())


@pytest.mark.parametrize("kind", CAUSES)
def test_an_entry_is_reversed_by_hand_where_no_room_believes_in_it(kind: str) -> None:
    entry = booked(f"{kind}:0b5f")
    if kind in {"bank", "form", "import", "opening", "reversal"}:
        assert by_hand(entry).reverses == entry
        return
    with pytest.raises(ValidationError, match="This was booked for "):
        by_hand(entry)
    assert not Entry.objects.filter(reverses=entry).exists()


def test_a_room_reverses_its_own_entry() -> None:
    entry = booked("claim:1")
    assert reverse_entry(entry=entry, on=TODAY, reason="Wrong.", by=make_user()).reverses == entry


def test_a_key_of_no_known_kind_is_the_journals() -> None:
    assert owner_of(booked("till:4")) is None


def test_the_reversal_of_a_rooms_entry_is_not_turned_round_by_hand() -> None:
    back = reverse_entry(entry=booked("claim:1"), on=TODAY, reason="Wrong.", by=make_user())
    with pytest.raises(ValidationError) as error:
        by_hand(back)
    assert error.value.messages == ["This was booked for a claim to a grantor: withdraw it there."]


def test_the_reversal_of_a_hands_entry_is_turned_round_by_hand() -> None:
    back = by_hand(booked("form:0b5f"))
    assert by_hand(back).reverses == back


def test_an_entry_names_the_row_that_owns_it_and_leads_there() -> None:
    plan = make_plan(number=7)
    owner = owner_of(booked(f"plan:{plan.pk}:freed"))
    assert owner is not None
    assert owner.sentence == "This was booked for plan 7: the next approved plan changes it."
    assert owner.address == reverse("planning:plan_page", args=[7])


def found_in(entry: Entry) -> BankMatch:
    """Return that a line of the bank is this entry."""
    program = entry.program
    statement = BankStatement.objects.create(
        program=program,
        account="1010",
        from_on=TODAY - timedelta(days=29),
        until_on=TODAY,
        opening_cents=0,
        closing_cents=-1,
        sha256="0" * 64,
        by=make_user(),
    )
    line = BankLine.objects.create(
        program=program, statement=statement, account="1010", number=1, on=TODAY, cents=-1
    )
    return BankMatch.objects.create(
        program=program, line=line, entry=entry, account="1010", by=make_user()
    )


def test_what_was_booked_from_a_line_of_the_bank_is_the_journals_once_its_match_is_undone() -> None:
    entry = booked("bank:1")
    match = found_in(entry)
    with pytest.raises(ValidationError) as error:
        by_hand(entry)
    assert error.value.messages == [
        (
            "This was booked for a line of the bank’s statement: take back what the line is there,"
            " and then reverse it here."
        )
    ]
    match.undone_at = timezone.now()
    match.save()
    assert by_hand(entry).reverses == entry


def test_the_page_of_a_rooms_entry_offers_no_reversal_and_leads_to_the_room(
    client: Client,
) -> None:
    sign_in(client, TREASURER)
    plan = make_plan(number=7)
    entry = booked(f"plan:{plan.pk}")
    response = client.get(page(entry))
    assert "This was booked for plan 7: the next approved plan changes it." in words(response)
    assert f"Reverse entry {entry.pk}" not in words(response)
    response = client.post(page(entry, "entry_reverse"), {"reason": "Wrong."})
    assert response.status_code == 422
    assert not Entry.objects.filter(reverses=entry).exists()
