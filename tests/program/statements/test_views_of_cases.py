"""The cost of each case, as the office opens it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from program.models import Tie
from shared.accounts.roles import RoleKind
from tests.factories import (
    make_case,
)
from tests.program.ledger.books import books
from tests.program.statements.asking import SPAN, at, pages, sheet, shown, spend
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client


pytestmark = pytest.mark.django_db


def test_a_case_is_named_by_its_number_and_no_household_is(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    general, _ = books()
    case = make_case()
    spend(general, case, 4_000)
    rows = sheet(client, "cases")
    assert rows[1] == ["", case.number, "40.00", "0.00", "0.00", "0.00", "0.00", "40.00"]
    assert case.household is not None
    assert case.household.name not in shown(client, "cases")
    assert (
        f"/money/entries/?case={case.number}"
        in client.get(at("statement", "cases"), SPAN).content.decode()
    )


def test_a_case_that_a_tie_withholds_is_counted_and_not_named(client: Client) -> None:
    user = sign_in(client, RoleKind.TREASURER)
    general, _ = books()
    case = make_case()
    spend(general, case, 4_000)
    household = case.household
    assert household is not None
    Tie.objects.create(program=case.program, user=user, household=household)
    text = shown(client, "cases")
    assert case.number not in text
    assert "Withheld from you 40.00" in text
    assert "Everything ties: 11 checks." in text


def test_many_cases_are_shown_in_pages_and_the_sums_are_of_all(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    general, _ = books()
    numbers = []
    for _number in range(27):
        case = make_case()
        spend(general, case, 100)
        numbers.append(case.number)
    first, last = shown(client, "cases"), shown(client, "cases", page="2")
    assert "27 lines, 1 to 25 shown." in first
    assert "27 lines, 26 to 27 shown." in last
    assert [number for number in numbers if number in first] == numbers[:25]
    assert [number for number in numbers if number in last] == numbers[25:]
    assert [text.count("All cases 27.00") for text in (first, last)] == [1, 1]
    assert [text.count("All expenses 127.00") for text in (first, last)] == [1, 1]
    assert [row[1] for row in sheet(client, "cases")[1:28]] == numbers
    printed = " ".join(pages(client.get(at("statement_pdf", "cases"), SPAN)))
    assert [number for number in numbers if number not in printed] == []


def test_a_page_of_cases_needs_no_days_in_its_address(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    spend(books()[0], make_case(), 100)
    text = words(client.get(at("statement", "cases"), {"page": "9"}))
    assert "January 1, 2026 to Monday, November 30, 2026." in text
    assert "is needed" not in text
    assert "All cases 1.00" in text


def test_the_next_page_of_cases_comes_alone(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    spend(books()[0], make_case(), 100)
    part = client.get(at("statement", "cases"), SPAN, headers={"HX-Request": "true"})
    assert part.content.decode().strip().startswith('<div id="rows"')


def test_cost_of_cases_is_checked_where_it_is_shown(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    books()
    assert "Everything ties: 11 checks." in shown(client, "cases")
    assert "Everything ties: 10 checks." in shown(client, "trial")
