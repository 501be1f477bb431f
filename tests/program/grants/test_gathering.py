"""Grants, costs and claims as pages list them."""

from __future__ import annotations

from datetime import date

import pytest

from program.grants.actions import CLAIM_PAPERS, choose_costs
from program.grants.duties import Book, due
from program.grants.gathering import (
    Barred,
    ClaimSums,
    allowed_rows,
    barred,
    capital,
    claim_sums,
    claimed_rows,
    draft_rows,
    draft_share,
    grant_rows,
    lines_of,
    other_rows,
    own_share_met,
    papers_job,
)
from program.grants.queries import book_of
from program.ledger.actions import reverse_entry
from program.models import Claim
from shared.say import say
from tests.factories import make_case, make_fund, make_program
from tests.program.grants.awards import (
    NOVEMBER,
    OCTOBER,
    begun,
    general,
    make_cost,
    make_grant,
    make_terms,
    sent,
    spent,
    treasurer,
)

ALDER, PADS = say("It pays only in Orrin."), say("It pays only for brakes.")


def sums(claim: Claim) -> ClaimSums:
    return claim_sums(claim, book_of(claim.grant, NOVEMBER, draft=claim))


@pytest.mark.django_db
def test_a_row_of_the_list_holds_the_figures_and_the_first_warning() -> None:
    spent(general(), 20_000)
    grant = make_grant()
    sent(grant)
    (row,), found = grant_rows(make_program(), NOVEMBER)
    assert (row.pk, row.name, row.funder) == (grant.pk, "Commuter grant", "Orrin County")
    assert (row.award, row.claimed, row.paid, row.left) == (50_000, 20_000, 0, 30_000)
    assert (row.ends_on, row.due_on) == (date(2026, 12, 31), date(2027, 1, 20))
    assert row.warning == found[0].sentence


@pytest.mark.django_db
def test_problems_of_all_grants_come_together() -> None:
    spent(general(), 1_000)
    grants = [make_grant(make_fund(name=name, restricted=True)) for name in ("east", "west")]
    rows, found = grant_rows(make_program(), NOVEMBER)
    assert {row.pk for row in rows} == {grant.pk for grant in grants}
    lapsing = [str(one.sentence) for one in found if "will lapse" in str(one.sentence)]
    assert [("east" in text, "west" in text) for text in lapsing] == [(True, False), (False, True)]


@pytest.mark.django_db
def test_costs_are_shown_with_their_account_and_their_fund_in_words() -> None:
    case = make_case(number="26-777")
    row = spent(general(), 5_000, case=case)
    (cost,) = allowed_rows(book_of(make_grant(), NOVEMBER))
    assert (cost.id, cost.entry, cost.on) == (row.pk, row.entry_id, date(2026, 10, 9))
    assert (cost.what, cost.case, cost.account) == ("Front pads", "26-777", "6010 Parts bought")
    assert (cost.fund, cost.cents, cost.why) == ("General fund", 5_000, None)


@pytest.mark.django_db
def test_costs_that_do_not_qualify_say_why() -> None:
    spent(general(), 5_000, debit="6030")
    book = book_of(make_grant(accounts=["6010"]), NOVEMBER)
    (row,) = other_rows(book)
    assert str(row.why).startswith("The grant does not allow 6030 ")
    assert allowed_rows(book) == []


@pytest.mark.django_db
def test_a_draft_ticks_what_is_in_it_and_marks_an_earlier_cycle() -> None:
    fund = general()
    early, late = spent(fund, 1_000), spent(fund, 2_000, date(2026, 11, 2))
    claim = begun(make_grant(), NOVEMBER)
    choose_costs(claim=claim, version=1, shown=[late.pk], chosen=[], by=treasurer())
    rows = draft_rows(book_of(claim.grant, NOVEMBER, draft=claim), claim)
    assert [(row.id, row.ticked, row.earlier) for row in rows] == [
        (early.pk, True, True),
        (late.pk, False, False),
    ]
    assert lines_of(claim) == {early.pk}


@pytest.mark.django_db
def test_the_sums_of_a_draft_follow_its_costs_as_they_are_now() -> None:
    fund = general()
    spent(fund, 40_000)
    gone = spent(fund, 30_000)
    claim = begun(make_grant(own_percent=20))
    assert sums(claim) == ClaimSums(total=70_000, own=20_000, cents=50_000, count=2, beyond=6_000)
    reverse_entry(entry=gone.entry, on=NOVEMBER, reason="Wrong car.", by=treasurer())
    assert sums(claim) == ClaimSums(total=40_000, own=8_000, cents=32_000, count=2, gone=1)


@pytest.mark.django_db
def test_a_draft_in_which_more_came_back_than_was_spent_is_stuck() -> None:
    fund = general()
    row = spent(fund, 9_000)
    spent(fund, 2_000, debit="1010", credit="6010", what="Pads sent back")
    claim = begun(make_grant())
    reverse_entry(entry=row.entry, on=NOVEMBER, reason="Wrong car.", by=treasurer())
    book = book_of(claim.grant, NOVEMBER, draft=claim)
    assert draft_share(book, claim) == (None, 1)
    expected = ClaimSums(total=0, own=0, cents=0, count=2, gone=1, stuck=True)
    assert claim_sums(claim, book) == expected


@pytest.mark.django_db
def test_a_claim_that_was_sent_keeps_its_sums() -> None:
    spent(general(), 12_551)
    claim = sent(make_grant(own_percent=20))
    assert claim_sums(claim, None) == ClaimSums(total=12_551, own=2_511, cents=10_040, count=1)
    assert [(row.fund, row.cents) for row in claimed_rows(claim)] == [("General fund", 12_551)]
    assert own_share_met(claim.grant) == 2_511


@pytest.mark.django_db
def test_money_that_came_back_lowers_the_own_share_that_is_met() -> None:
    fund = general()
    spent(fund, 10_000)
    spent(fund, 2_000, debit="1010", credit="6010", what="Pads sent back")
    assert own_share_met(sent(make_grant(own_percent=20)).grant) == 1_600


@pytest.mark.django_db
def test_a_draft_meets_no_own_share() -> None:
    spent(general(), 12_551)
    assert own_share_met(begun(make_grant(own_percent=20)).grant) == 0


@pytest.mark.django_db
def test_what_is_due_is_what_the_cycles_owe() -> None:
    spent(general(), 5_000)
    (one,) = due(book_of(make_grant(), NOVEMBER), NOVEMBER)
    assert (one.cycle.until_on, one.cents, one.due_on) == (OCTOBER, 5_000, date(2026, 11, 20))


@pytest.mark.django_db
def test_the_job_of_a_claim_is_found_once_it_was_sent() -> None:
    spent(general(), 5_000)
    grant = make_grant()
    assert papers_job(begun(grant), CLAIM_PAPERS) is None
    job = papers_job(sent(grant), CLAIM_PAPERS)
    assert job is not None
    assert job.payload == {"claim": Claim.objects.get().pk}


def test_each_reason_is_counted_and_the_dearest_comes_first() -> None:
    others = (
        (make_cost(1, 1_000), PADS),
        (make_cost(2, 9_000), ALDER),
        (make_cost(3, 500), PADS),
        (make_cost(4, -200), PADS),
    )
    book = Book(id=1, name="commuter grant", terms=make_terms(), cycles=(), others=others)
    assert barred(book) == [
        Barred(why=ALDER, count=1, cents=9_000),
        Barred(why=PADS, count=3, cents=1_300),
    ]


def test_a_fund_opens_a_line_with_a_capital() -> None:
    named = [capital(name) for name in ("tool fund", "US grant", "")]
    assert named == ["Tool fund", "US grant", ""]
