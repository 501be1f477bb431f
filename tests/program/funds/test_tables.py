"""What the funds and their books show."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from program.funds.tables import TrialTable
from program.funds.trying import Row, Work
from shared.say import say
from tests.factories import (
    make_entry,
    make_fund,
)
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

from tests.program.ledger.books import MONEY, TREASURER, books, put_aside

pytestmark = pytest.mark.django_db


def test_the_funds_say_what_is_there_and_that_the_books_balance(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    put_aside(general, 20_000)
    text = words(client.get(MONEY))
    assert "$600.00 in two funds" in text
    assert "The books balance: $900.00 on both sides, from 4 transfers." in text
    assert "General fund Anything the program does. 500.00 200.00 300.00" in text
    assert "Pruitt gift It pays only for brakes or tires. 100.00 0.00 100.00" in text
    assert "Together 600.00 200.00 400.00" in text


def test_without_any_fund_the_page_says_so(client: Client) -> None:
    sign_in(client, TREASURER)
    text = words(client.get(MONEY))
    assert "$0.00 in no funds" in text
    assert "No fund is open yet Each amount stands in a fund" in text


def test_a_fund_that_lapses_or_closed_says_when(client: Client) -> None:
    sign_in(client, TREASURER)
    make_fund(name="winter collection", lapses_on="2027-03-31")
    make_fund(name="old gift", closed_on="2026-06-30")
    text = words(client.get(MONEY))
    assert "Lapses on Mar 31, 2027." in text
    assert "Closed on Jun 30, 2026." in text


def test_a_fund_shows_its_transfers_with_what_is_free_after_each(client: Client) -> None:
    sign_in(client, TREASURER)
    general, _ = books()
    put_aside(general, 20_000)
    text = words(client.get(reverse("funds:fund_page", args=[general.pk])))
    assert "General fund: $300.00 free" in text
    assert "$200.00 more is set aside for approved repairs." in text
    lines = ("−200.00 300.00", "−100.00 500.00", "600.00 600.00")
    places = [text.index(line) for line in lines]
    assert places == sorted(places)
    assert "Two front tires 200.00" in text


def test_a_fund_below_zero_says_what_to_do(client: Client) -> None:
    sign_in(client, TREASURER)
    fund = make_fund(name="general fund")
    make_entry(("6010", "1010", 500, fund))
    text = words(client.get(reverse("funds:fund_page", args=[fund.pk])))
    assert "This fund is below zero. Cover it before anything new is promised from it." in text


def test_a_sentence_that_refuses_all_is_not_repeated_and_two_sentences_are_told_apart() -> None:
    def row(system: str, *why: str) -> Row:
        work = Work(item=1, case="26-041", title=system, cents=1, spends=())
        return Row(work=work, why=say(why[0]) if why else None, was=not why)

    tires, brakes = row("tires", "It pays only for lights."), row("brakes", "It has ended.")
    alike = TrialTable([tires, tires, row("lights")])
    assert [alike.render_answer(one) for one in alike.data] == ["No.", "No.", "Yes."]
    apart = TrialTable([tires, brakes])
    assert [apart.render_answer(one) for one in apart.data] == [
        "No. It pays only for lights.",
        "No. It has ended.",
    ]
