"""The rules of grants, claims and their lines, as sentences and as refusals of the database."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from program.models import Claim, ClaimAnswer, ClaimLine, Grant
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.grants.awards import begun, general, make_grant, spent
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def grant(**fields: Any) -> Grant:
    defaults = {
        "program": make_program(),
        "fund": fields.get("fund") or make_fund(restricted=True),
        "funder": "Orrin County",
        "cents": 50_000,
        "pays": "after",
        "cycle": "monthly",
        "begins_on": date(2026, 10, 1),
        "ends_on": date(2026, 12, 31),
    }
    return Grant(**defaults | fields)


def claim(**fields: Any) -> Claim:
    defaults = {
        "program": make_program(),
        "grant": fields.get("grant") or make_grant(),
        "number": 1,
        "from_on": date(2026, 10, 1),
        "until_on": date(2026, 10, 31),
        "cents": 0,
        "by": make_user(),
    }
    return Claim(**defaults | fields)


def test_how_a_grant_pays_is_known() -> None:
    assert_refused(
        grant(pays="maybe"), "grant_pays_known", "This pays is not known to the program."
    )


def test_the_cycle_of_a_grant_is_known() -> None:
    row = grant(cycle="weekly")
    assert_refused(row, "grant_cycle_known", "This cycle is not known to the program.")


def test_an_award_is_more_than_nothing() -> None:
    assert_refused(grant(cents=0), "grant_cents_above_zero", "An award must be more than zero.")


def test_a_grant_does_not_end_before_it_begins() -> None:
    row = grant(ends_on=date(2026, 9, 30))
    assert_refused(row, "grant_days_in_order", "A grant can't end before it begins.")


def test_the_own_share_leaves_the_funder_something() -> None:
    row = grant(own_percent=100)
    sentence = "The own share lies between 0 and 99 percent."
    assert_refused(row, "grant_own_share_possible", sentence)


def test_one_form_writes_one_grant() -> None:
    key = make_grant().client_key
    assert_refused(grant(client_key=key), "grant_written_once", "This grant is on record already.")


def test_where_a_claim_stands_is_known() -> None:
    assert_refused(
        claim(state="lost"), "claim_state_known", "This state is not known to the program."
    )


def test_a_grant_has_one_claim_of_each_number() -> None:
    first = claim()
    first.save()
    sentence = "This grant has a claim of this number already."
    assert_refused(claim(grant=first.grant), "claim_number_once", sentence)


def test_a_claim_asks_for_nothing_or_more() -> None:
    assert_refused(claim(cents=-1), "claim_not_negative", "A claim can't be negative.")


def test_a_claim_does_not_end_before_it_begins() -> None:
    row = claim(until_on=date(2026, 9, 30))
    assert_refused(row, "claim_days_in_order", "A claim can't end before it begins.")


def test_a_cost_stands_in_one_claim_of_any_grant() -> None:
    cost = spent(general(), 5_000)
    begun(make_grant())
    other = claim(grant=make_grant(make_fund(restricted=True)))
    other.save()
    again = ClaimLine(program=make_program(), claim=other, transfer=cost)
    assert_refused(again, "cost_claimed_once", "This cost stands in a claim already.")
    ClaimLine.objects.update(freed=True)
    again.save()


def answer(**fields: Any) -> ClaimAnswer:
    first = claim()
    first.save()
    defaults = {
        "program": first.program,
        "claim": first,
        "kind": "paid",
        "on": date(2026, 11, 20),
        "cents": 100,
        "by": make_user(),
        "entry": make_entry(("1010", "1110", 100, make_fund())),
    }
    return ClaimAnswer(**defaults | fields)


def test_what_a_funder_answers_is_known() -> None:
    row = answer(kind="maybe")
    assert_refused(row, "answer_kind_known", "This kind is not known to the program.")


def test_an_answer_is_about_more_than_nothing() -> None:
    sentence = "What a funder pays or refuses must be more than zero."
    assert_refused(answer(cents=0), "answer_cents_above_zero", sentence)


def test_a_refusal_says_why() -> None:
    assert_refused(answer(kind="refused"), "refused_with_reason", "Say why the funder refuses it.")
