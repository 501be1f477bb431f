"""What the paper of a claim says, read once."""

from __future__ import annotations

from datetime import date

import pytest

from program.grants.sheet import claim_sheet, cost_lines
from program.models import Claim
from tests.factories import make_case, make_fund
from tests.program.grants.awards import (
    NOVEMBER,
    begun,
    general,
    make_grant,
    sent,
    spent,
)

pytestmark = pytest.mark.django_db


def test_the_sheet_holds_the_award_the_span_and_the_figures() -> None:
    spent(general(), 12_550)
    sheet = claim_sheet(sent(make_grant(own_percent=20)))
    assert (sheet.funder, sheet.grant, sheet.award_number, sheet.span) == (
        *("Orrin County", "commuter grant", "OC-117", "October 2026"),
    )
    assert (sheet.total, sheet.own, sheet.cents) == (12_550, 2_510, 10_040)
    assert (sheet.award, sheet.before, sheet.left) == (50_000, 0, 39_960)
    assert (sheet.ahead, sheet.own_percent) == (False, 20)


def test_what_was_claimed_before_are_the_claims_sent_before_it() -> None:
    fund = general()
    spent(fund, 20_000)
    spent(fund, 10_000, date(2026, 11, 2))
    grant = make_grant()
    first, second = sent(grant), sent(grant, NOVEMBER)
    assert [(claim_sheet(one).before, claim_sheet(one).left) for one in (first, second)] == [
        (0, 30_000),
        (20_000, 20_000),
    ]


def test_a_claim_is_dated_on_the_day_it_was_sent_and_a_draft_today() -> None:
    spent(general(), 5_000)
    grant = make_grant()
    draft = claim_sheet(begun(grant))
    assert (draft.sent_on, draft.made_on) == (None, NOVEMBER)
    sheet = claim_sheet(sent(grant, on=date(2026, 11, 3)))
    assert (sheet.sent_on, sheet.made_on) == (date(2026, 11, 3), date(2026, 11, 3))


def test_a_report_says_that_the_money_came_ahead() -> None:
    sheet = claim_sheet(sent(make_grant(pays="ahead", number="")))
    assert (sheet.ahead, sheet.costs, sheet.total, sheet.award_number) == (True, (), 0, "")


def test_costs_come_by_day_with_their_case_and_what_was_written_beside() -> None:
    fund = general()
    late = spent(fund, 1_000, date(2026, 10, 20), memo="rear")
    early = spent(fund, 2_000, case=make_case(number="26-777"))
    first, second = cost_lines(sent(make_grant()))
    assert (first.id, first.case, first.what) == (early.pk, "26-777", "Front pads")
    assert (second.id, second.case, second.what) == (late.pk, "", "Front pads, rear")
    assert (first.account, first.fund) == ("6010 Parts bought", "general fund")


def test_money_that_came_back_is_below_zero() -> None:
    fund = general()
    spent(fund, 9_000)
    spent(fund, 2_000, date(2026, 10, 12), debit="1010", credit="6010", what="Pads sent back")
    sheet = claim_sheet(sent(make_grant()))
    assert ([cost.cents for cost in sheet.costs], sheet.total) == ([9_000, -2_000], 7_000)


def test_only_the_costs_before_the_cycle_are_earlier_ones() -> None:
    fund = general()
    spent(fund, 1_000)
    spent(fund, 2_000, date(2026, 11, 1))
    assert [cost.earlier for cost in cost_lines(begun(make_grant(), NOVEMBER))] == [True, False]


def test_a_claim_without_costs_has_no_line() -> None:
    claim = begun(make_grant(make_fund(code="COM", restricted=True), pays="ahead"))
    assert (cost_lines(claim), Claim.objects.get()) == ([], claim)
