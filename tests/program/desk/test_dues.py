"""What waits for whoever keeps the books."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING
from uuid import uuid4

import pytest
import time_machine

from program.desk.dues import money_slips, to_agree
from program.gifts.actions import enter_offer
from program.models import BankStatement, Proposal, ShutMonth
from shared.accounts.roles import RoleKind
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.grants.awards import make_grant
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.test import Client

    from program.desk.wording import Slip
    from shared.models import User

pytestmark = pytest.mark.django_db
DUTIES = "duties of the year"


@pytest.fixture(autouse=True)
def _monday() -> Iterator[None]:
    with time_machine.travel("2026-11-30 15:00:00+00:00", tick=False):
        yield


def lines(found: list[Slip]) -> list[tuple[str, str, str]]:
    shown = [(str(slip.title), str(slip.why), str(slip.by)) for slip in found]
    return [line for line in shown if DUTIES not in line[0]]


def propose(by: User) -> Proposal:
    return Proposal.objects.create(
        program=make_program(),
        key=f"form:{uuid4()}",
        on=date(2026, 11, 27),
        what="A lift",
        lines=[],
        why="It is above $1,000.00.",
        by=by,
    )


def offer(giver: str = "Alder Grange") -> None:
    enter_offer(
        program=make_program(),
        client_key=uuid4(),
        by=make_user(RoleKind.COORDINATOR),
        giver=giver,
        cents=60_000,
        income="4020",
        on=date(2026, 11, 26),
        terms="For tires.",
        fund_name="Grange gift",
    )


def test_only_duties_wait_in_new_books() -> None:
    user = make_user(RoleKind.TREASURER)
    assert lines(money_slips(user)) == []
    assert [slip.url for slip in money_slips(user)] == ["/money/months/duties/"]


def test_a_spend_waits_for_another_than_the_one_who_asks() -> None:
    asks, other = make_user(RoleKind.COORDINATOR), make_user(RoleKind.TREASURER)
    proposal = propose(asks)
    assert list(to_agree(asks)) == []
    [slip] = to_agree(other)
    assert lines([slip]) == [
        ("Agree to a spend, or decline it", "A lift: two people decide it.", "by Dec 7")
    ]
    assert slip.url == f"/money/entries/waiting/{proposal.pk}/"
    propose(asks)
    [both] = to_agree(other)
    assert (str(both.title), both.count) == ("Agree to two spends, or decline them", 2)


def test_a_gift_with_a_purpose_waits_for_a_yes_or_a_no() -> None:
    offer()
    user = make_user(RoleKind.TREASURER)
    assert lines(money_slips(user)) == [
        (
            "Accept or refuse a gift of $600.00",
            "Alder Grange gives it for a purpose.",
            "by Thursday",
        )
    ]
    offer("Quayside Club")
    assert lines(money_slips(user))[0][0] == "Accept or refuse two gifts"


def test_the_oldest_open_month_that_is_over_is_to_be_shut() -> None:
    fund, user = make_fund(), make_user(RoleKind.TREASURER)
    for month in (9, 10, 11):
        make_entry(("1010", "4010", 100, fund), on=date(2026, month, 5))
    assert lines(money_slips(user)) == [
        ("Shut September 2026", "Its list says what is still open.", "46 days late")
    ]
    ShutMonth.objects.create(program=make_program(), month=date(2026, 9, 1), shut_by=user)
    ShutMonth.objects.create(program=make_program(), month=date(2026, 10, 1), shut_by=user)
    assert lines(money_slips(user)) == []


def test_a_bank_statement_that_is_not_finished_waits() -> None:
    user = make_user(RoleKind.TREASURER)
    statement = BankStatement.objects.create(
        program=make_program(),
        account="1010",
        from_on=date(2026, 10, 1),
        until_on=date(2026, 11, 29),
        opening_cents=0,
        closing_cents=0,
        file_name="october.csv",
        sha256="0" * 64,
        by=user,
    )
    [slip] = [slip for slip in money_slips(user) if "bank" in str(slip.title)]
    assert (slip.url, str(slip.by)) == (f"/money/bank/{statement.pk}/", "by Dec 14")


def test_a_grant_whose_claims_are_due_is_one_thing() -> None:
    grant = make_grant(pays="ahead", begins_on=date(2026, 8, 1), due_days=20)
    [slip] = [one for one in money_slips(make_user(RoleKind.TREASURER)) if "grants" in one.url]
    assert (slip.url, slip.count) == (f"/money/grants/{grant.pk}/", 3)
    assert str(slip.by) == "71 days late"


def test_another_programs_books_are_left_out() -> None:
    offer()
    stranger = make_user(RoleKind.TREASURER, program=make_program(name="Other garage"))
    assert lines(money_slips(stranger)) == []


def test_the_treasurers_desk_says_it_and_the_boards_does_not(client: Client) -> None:
    offer()
    sign_in(client, RoleKind.TREASURER)
    desk = words(client.get("/"))
    assert "things wait for you" in desk
    assert "Accept or refuse a gift of $600.00" in desk
    sign_in(client, RoleKind.BOARD)
    board = words(client.get("/"))
    assert "Accept or refuse" not in board
    assert "Money and cars today" in board
