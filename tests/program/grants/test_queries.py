"""Grants read from the ledger, whatever their number."""

from __future__ import annotations

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from program.grants.gathering import own_share_met
from program.grants.queries import all_books, book_of, due_claims
from program.ledger.actions import reverse_entry
from program.models import Entry, Grant, Transfer
from tests.factories import make_case, make_fund, make_household, make_item, make_program
from tests.program.grants.awards import NOVEMBER, begun, general, make_grant, sent, spent, treasurer

pytestmark = pytest.mark.django_db

GRANT_COSTS = 2_000


def reasons(grant: Grant) -> list[str]:
    return [str(why) for _, why in book_of(grant, NOVEMBER).others]


def test_the_rule_looks_at_the_household_of_the_case() -> None:
    fund = general()
    com = make_fund(name="commuter grant", restricted=True, rule={"counties": ["orrin"]})
    grant = make_grant(com)
    here, there = (make_household(county=county) for county in ("Orrin", "Alder"))
    row = spent(fund, 1_000, case=make_case(household=here))
    spent(fund, 2_000, case=make_case(household=there))
    spent(fund, 3_000)
    assert [cost.id for cost in book_of(grant, NOVEMBER).allowed] == [row.pk]
    assert reasons(grant) == [
        "It pays only in Orrin.",
        "No case is named, so nobody knows whether the household is one it pays for.",
    ]


def test_the_rule_looks_at_the_item_of_the_transfer() -> None:
    com = make_fund(name="brake grant", restricted=True, rule={"systems": ["brakes"]})
    spent(general(), 1_000, item=make_item(system="tires"))
    assert reasons(make_grant(com)) == ["It pays only for brakes."]


def test_a_reversed_cost_is_in_no_list() -> None:
    row = spent(general(), 1_000)
    grant = make_grant()
    reverse_entry(entry=row.entry, on=NOVEMBER, reason="Typed twice.", by=treasurer())
    book = book_of(grant, NOVEMBER)
    assert (book.allowed, book.others) == ((), ())


def test_money_that_came_back_is_taken_off() -> None:
    fund = general()
    spent(fund, 9_000)
    spent(fund, 2_000, debit="1010", credit="6010", what="Pads sent back")
    book = book_of(make_grant(), NOVEMBER)
    assert [cost.cents for cost in book.allowed] == [9_000, -2_000]


def test_tomorrows_cost_is_not_there_yet() -> None:
    spent(general(), 1_000, date(2026, 12, 1))
    assert book_of(make_grant(), NOVEMBER).allowed == ()


def test_due_claims_come_by_their_day_for_every_grant_of_the_program() -> None:
    fund = general()
    spent(fund, 1_000, date(2026, 11, 2))
    make_grant()
    make_grant(make_fund(name="spring gift", restricted=True), pays="ahead", due_days=5)
    other = make_fund(program=make_program(name="Other garage"), restricted=True)
    make_grant(other, pays="ahead")
    found = due_claims(make_program(), NOVEMBER)
    assert [(one.name, one.what, one.cycle.name, str(one.due_on)) for one in found] == [
        ("spring gift", "Report", "October 2026", "2026-11-05"),
        ("spring gift", "Report", "November 2026", "2026-12-05"),
        ("commuter grant", "Claim", "November 2026", "2026-12-20"),
    ]


def test_the_own_share_that_is_met_is_what_sent_claims_left_out() -> None:
    fund = general()
    spent(fund, 10_000)
    spent(fund, 1_000, debit="1010", credit="6010")
    grant = make_grant(own_percent=25)
    sent(grant)
    begun_before = own_share_met(grant)
    spent(fund, 4_000, date(2026, 11, 2))
    begun(grant, NOVEMBER)
    assert (begun_before, own_share_met(grant)) == (2_250, 2_250)


def test_any_number_of_grants_and_costs_takes_the_same_queries() -> None:
    fund = general()
    make_grant()
    spent(fund, 1_000, case=make_case(), item=make_item())
    with CaptureQueriesContext(
        connection,
    ) as few:
        all_books(make_program(), NOVEMBER)
    for _ in range(2):
        make_grant(make_fund(restricted=True))
        spent(fund, 1_000, case=make_case(), item=make_item())
    with CaptureQueriesContext(connection) as many:
        all_books(make_program(), NOVEMBER)
    assert len(few) == len(many)


def test_two_thousand_costs_are_claimed_in_one_claim() -> None:
    fund = general()
    entries = Entry.objects.bulk_create(
        Entry(program=fund.program, key=f"many:{n}", on=date(2026, 10, 1 + n % 31), what="Pads")
        for n in range(GRANT_COSTS)
    )
    Transfer.objects.bulk_create(
        Transfer(program=fund.program, entry=one, debit="6010", credit="1010", cents=7, fund=fund)
        for one in entries
    )
    claim = sent(make_grant())
    assert (claim.lines.count(), claim.cents) == (GRANT_COSTS, 14_000)
    assert book_of(claim.grant, NOVEMBER).allowed == ()
